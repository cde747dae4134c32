//! Edits that follow one another, as edits of the text before all of them.

use super::FileEdit;
use model::FileId;
use std::ops::Range;
use syntax::Edit;

/// Edits as they were made, and what they come to.
#[derive(Clone, Default)]
pub(super) struct Patches {
    /// Each of the text as those before it leave it.
    steps: Vec<(FileId, Edit)>,
    files: Vec<(FileId, Vec<Patch>)>,
}

/// Bytes of the first text, and what stands in their place in the last.
#[derive(Clone)]
struct Patch {
    old: Range<u32>,
    new: String,
}

impl Patches {
    /// The edits as they were made.
    pub(super) fn steps(&self) -> &[(FileId, Edit)] {
        &self.steps
    }

    /// Adds an edit of the text as it stands now, unless that takes back what an earlier one wrote.
    pub(super) fn add(&mut self, file: FileId, edit: Edit) -> Option<()> {
        let at = self.files.iter().position(|(known, _)| *known == file).unwrap_or_else(|| {
            self.files.push((file, Vec::new()));
            self.files.len() - 1
        });
        let (_, patches) = self.files.get_mut(at)?;
        add(patches, &edit)?;
        self.steps.push((file, edit));
        Some(())
    }

    /// The edits of the first text, in the order of files and bytes; none overlaps another.
    pub(super) fn whole(mut self) -> Vec<FileEdit> {
        self.files.sort_by_key(|(file, _)| *file);
        let files = self.files.into_iter();
        files.flat_map(|(file, all)| all.into_iter().map(move |p| (file, p.old, p.new))).collect()
    }
}

impl Patch {
    /// How much longer the text becomes by it.
    fn growth(&self) -> i64 {
        self.new.len() as i64 - self.old.len() as i64
    }
}

/// Adds an edit of the text that patches, in order, make. Those that it touches become one with it.
fn add(patches: &mut Vec<Patch>, edit: &Edit) -> Option<()> {
    let (start, end) = (i64::from(edit.range.start), i64::from(edit.range.end));
    // From here on an offset of the first text plus `shift` is one of the text that is edited.
    let (mut shift, mut first) = (0, 0);
    while let Some(patch) = patches.get(first)
        && i64::from(patch.old.end) + shift + patch.growth() < start
    {
        shift += patch.growth();
        first += 1;
    }
    let mut old = start - shift..end - shift;
    let (mut head, mut tail, mut last) = ("", "", first);
    while let Some(patch) = patches.get(last)
        && i64::from(patch.old.start) + shift <= end
    {
        let begins = i64::from(patch.old.start) + shift;
        let ends = begins + patch.new.len() as i64;
        if start.max(begins) < end.min(ends) {
            return None;
        }
        let of_new = |at: i64| usize::try_from(at - begins).ok();
        if let Some(before) = of_new(start) {
            head = patch.new.get(..before)?;
        }
        tail = of_new(end).and_then(|behind| patch.new.get(behind..)).unwrap_or_default();
        shift += patch.growth();
        old = old.start.min(i64::from(patch.old.start))..(end - shift).max(i64::from(patch.old.end));
        last += 1;
    }
    let new = format!("{head}{}{tail}", edit.new);
    let old = u32::try_from(old.start).ok()?..u32::try_from(old.end).ok()?;
    patches.splice(first..last, [Patch { old, new }]);
    Some(())
}

#[cfg(test)]
mod tests {
    use super::Patches;
    use model::FileId;
    use proptest::prelude::*;
    use syntax::Edit;

    proptest! {
        #[test]
        fn edits_of_the_first_text_make_the_last(
            text in "[a-z]{0,24}",
            steps in prop::collection::vec((0_usize..40, 0_usize..6, "[A-Z]{0,4}"), 0..6),
        ) {
            let (mut last, mut patches) = (text.clone(), Patches::default());
            for (at, length, new) in steps {
                let start = at.min(last.len());
                let end = (start + length).min(last.len());
                let takes_back = last[start..end].contains(char::is_uppercase);
                let edit = Edit { range: start as u32..end as u32, new: new.clone() };
                prop_assert_eq!(patches.add(FileId(0), edit).is_none(), takes_back);
                if !takes_back {
                    last.replace_range(start..end, &new);
                }
            }
            let whole = patches.whole();
            prop_assert!(whole.windows(2).all(|pair| pair[0].1.end <= pair[1].1.start));
            let mut made = text;
            for (_, range, new) in whole.into_iter().rev() {
                made.replace_range(range.start as usize..range.end as usize, &new);
            }
            prop_assert_eq!(made, last);
        }
    }
}
