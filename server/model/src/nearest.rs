//! The known names that a mistyped one most likely means.

use crate::renamed::renamed;
use strsim::damerau_levenshtein;

/// At most three names near `text`, nearest first, equal ones in the order of `known`'s names.
/// Near means: the same but for case, or up to a third of the letters changed.
pub fn nearest<'a>(text: &str, known: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    let (wanted, new) = (Wanted::new(text), renamed(text));
    let distance = |name: &str| if new == Some(name) { Some(0) } else { wanted.distance(name) };
    let mut near: Vec<(usize, &str)> = known.filter_map(|name| Some((distance(name)?, name))).collect();
    near.sort_unstable();
    near.dedup();
    near.truncate(3);
    near.into_iter().map(|(_, name)| name).collect()
}

/// A name that nothing goes by.
struct Wanted {
    lower: String,
    bytes: usize,
    /// So many letters may differ.
    allowed: usize,
}

impl Wanted {
    fn new(text: &str) -> Wanted {
        Wanted { lower: text.to_lowercase(), bytes: text.len(), allowed: (text.chars().count() / 3).max(1) }
    }

    /// How far a name is from it; nothing where that is too far.
    fn distance(&self, name: &str) -> Option<usize> {
        // A letter has up to four bytes.
        if name.len().abs_diff(self.bytes) > 4 * self.allowed {
            return None;
        }
        let name = name.to_lowercase();
        if self.lower.is_ascii() && name.is_ascii() && letters_missing(&self.lower, &name) > self.allowed {
            return None;
        }
        let distance = damerau_levenshtein(&self.lower, &name);
        (distance <= self.allowed).then_some(distance)
    }
}

/// How many letters one of two texts in ASCII has and the other has not, wherever they stand: each takes a change
/// of its own, and counting them is far quicker than to look for the changes.
fn letters_missing(one: &str, other: &str) -> usize {
    let mut counts = [0_i32; 128];
    one.bytes().for_each(|b| counts[usize::from(b & 0x7f)] += 1);
    other.bytes().for_each(|b| counts[usize::from(b & 0x7f)] -= 1);
    let (more, less) =
        counts.iter().fold((0, 0), |(more, less), count| (more + (*count).max(0), less + (-*count).max(0)));
    more.max(less).unsigned_abs() as usize
}

/// Whether only a slip of the keyboard explains the difference of a name and what was written: another
/// case, or a letter in five, at most two. A name that differs in a digit is the next one's, and a short
/// one another word.
pub fn is_slip(written: &str, name: &str) -> bool {
    let (written, name) = (written.to_lowercase(), name.to_lowercase());
    let digits = |text: &str| text.chars().filter(char::is_ascii_digit).collect::<String>();
    let allowed = (name.chars().count() / 5).min(2);
    digits(&written) == digits(&name) && damerau_levenshtein(&written, &name) <= allowed
}

#[cfg(test)]
mod tests {
    use super::{is_slip, nearest};

    #[test]
    fn the_next_name_of_a_row_is_no_slip() {
        assert!(is_slip("HP1-DHEUM", "HP1-DEHUM"));
        assert!(is_slip("Staff-Hours", "staff-hours"));
        assert!(is_slip("S", "s"));
        for (written, name) in [("office2", "office"), ("HP2-COOL1", "HP1-COOL1"), ("T", "S"), ("fin", "fan")]
        {
            assert!(!is_slip(written, name), "{written} for {name}");
        }
    }

    #[test]
    fn near_names_come_nearest_first() {
        let known = ["HP1-DEHUM", "HP2-DEHUM", "HP1-OCC", "AC1-COOL1"];
        assert_eq!(nearest("HP1-DEHUMX", known.into_iter()), ["HP1-DEHUM", "HP2-DEHUM"]);
        assert_eq!(nearest("hp1-occ", known.into_iter()), ["HP1-OCC"]);
        assert!(nearest("boiler", known.into_iter()).is_empty());
    }
}
