//! What is said of a name that nothing goes by follows the names there are, and nothing else.

#![allow(clippy::unwrap_used)]

use std::sync::atomic::{AtomicUsize, Ordering};
use syntax::Edit;
use workspace::Workspace;

const JOB: &str = "\
points:
  HP1-OCC: {description: Occupied, driven-by: {operator: on-or-off}}
  A: {description: First, driven-by: {point: HP1-OCX}}
  B: {description: Second, driven-by: {point: HP1-OCX}}
  C: {description: Third, driven-by: {point: HP1-OCX}}
";

/// Puts `new` in place of `old`; how many entries are looked at for it.
fn replace(workspace: &mut Workspace, old: &str, new: &str) -> usize {
    let file = workspace.file("job.yaml").unwrap();
    let text = workspace.job().file(file).unwrap().file().text().to_string();
    let start = text.find(old).unwrap() as u32;
    workspace.edit(file, &Edit { range: start..start + old.len() as u32, new: new.to_owned() });
    check(workspace)
}

fn check(workspace: &mut Workspace) -> usize {
    let looked_at = AtomicUsize::new(0);
    workspace.check(&|_, all| looked_at.store(all, Ordering::Relaxed));
    looked_at.into_inner()
}

fn unknown(workspace: &Workspace) -> Vec<String> {
    let file = workspace.file("job.yaml").unwrap();
    let findings = workspace.findings(file).filter(|(_, finding)| finding.check.id == "name-unknown");
    findings.map(|(_, finding)| finding.shown(workspace.job()).into_owned()).collect()
}

#[test]
fn a_suggestion_follows_the_names_there_are() {
    let mut workspace = Workspace::empty(std::path::Path::new(""));
    workspace.open("job.yaml", JOB);
    check(&mut workspace);
    assert_eq!(unknown(&workspace), ["Unknown point `HP1-OCX`. Did you mean `HP1-OCC`?"; 3]);
    // What a point says is nothing to those that miss another.
    assert_eq!(replace(&mut workspace, "Occupied", "Occupied or not"), 1);
    assert_eq!(replace(&mut workspace, "on-or-off", "off"), 1);
    // Nor is its name, until what is said is shown.
    assert_eq!(replace(&mut workspace, "  HP1-OCC:", "  HP1-OCY:"), 1);
    assert_eq!(unknown(&workspace), ["Unknown point `HP1-OCX`. Did you mean `HP1-OCY`?"; 3]);
    replace(&mut workspace, "points:\n", "points:\n  HP1-OC: {description: Another}\n");
    assert_eq!(unknown(&workspace), ["Unknown point `HP1-OCX`. Did you mean `HP1-OC` or `HP1-OCY`?"; 3]);
    replace(&mut workspace, "  HP1-OC: {description: Another}\n", "");
    replace(&mut workspace, "  HP1-OCY: {description: Occupied or not, driven-by: {operator: off}}\n", "");
    let lost = "Unknown point `HP1-OCX`. Correct the name, or add it under `points:`.";
    assert_eq!(unknown(&workspace), [lost; 3]);
}

/// How names are searched goes by how many there are, of a kind and with one half: what is said must not
/// depend on which way a job came to have them.
#[test]
fn a_suggestion_is_the_same_whichever_way_the_names_came() {
    // The first shares no half with what it means, the second one that many have.
    let wanted = "  A: {driven-by: {point: HX0001-OXC}}\n  B: {driven-by: {point: XX0002-STATUS}}
  HP0001-OCC: {description: One}\n  PU0002-STATUS: {description: Two}\n";
    // From 501 names of a kind on, and from 257 of one half on, they are searched otherwise.
    let point = |n: usize| {
        let letter = |n: usize| char::from(b'a' + (n % 26) as u8);
        let code: String = [letter(n), letter(n / 26), letter(n / 7), letter(n / 3)].iter().collect();
        match n % 2 {
            0 => format!("  ww{code}-STATUS: {{description: Point {n}}}\n"),
            _ => format!("  {code}{n:04}-fan-command: {{description: Point {n}}}\n"),
        }
    };
    let text = |count: usize| format!("points:\n{wanted}{}", (0..count).map(point).collect::<String>());
    let fresh = |count: usize| {
        let mut workspace = Workspace::empty(std::path::Path::new(""));
        workspace.open("job.yaml", &text(count));
        check(&mut workspace);
        workspace
    };
    for around in [498, 511] {
        let mut workspace = fresh(around - 8);
        let counts = (around - 7..around + 8).chain((around - 8..around + 7).rev());
        for count in counts {
            let file = workspace.file("job.yaml").unwrap();
            let (old, new) = (text(count), workspace.job().file(file).unwrap().file().text().to_string());
            let (shorter, longer) = if old.len() < new.len() { (&old, &new) } else { (&new, &old) };
            assert!(longer.starts_with(shorter.as_str()));
            let range = old.len().min(new.len()) as u32..new.len() as u32;
            let added = old.get(range.start as usize..).unwrap_or_default().to_owned();
            workspace.edit(file, &Edit { range, new: added });
            check(&mut workspace);
            assert_eq!(unknown(&workspace), unknown(&fresh(count)), "{count}");
        }
    }
}
