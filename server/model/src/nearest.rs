//! The known names that a mistyped one most likely means.

use strsim::damerau_levenshtein;

/// At most three names near `text`, nearest first, equal ones in the order of `known`'s names.
/// Near means: the same but for case, or up to a third of the letters changed.
pub fn nearest<'a>(text: &str, known: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    let wanted = text.to_lowercase();
    let allowed = (text.chars().count() / 3).max(1);
    let mut near: Vec<(usize, &str)> = known
        .filter(|name| name.len().abs_diff(text.len()) <= 4 * allowed)
        .map(|name| (damerau_levenshtein(&wanted, &name.to_lowercase()), name))
        .filter(|(distance, _)| *distance <= allowed)
        .collect();
    near.sort_unstable();
    near.dedup();
    near.truncate(3);
    near.into_iter().map(|(_, name)| name).collect()
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn near_names_come_nearest_first() {
        let known = ["HP1-DEHUM", "HP2-DEHUM", "HP1-OCC", "AC1-CLG1"];
        assert_eq!(nearest("HP1-DEHUMX", known.into_iter()), ["HP1-DEHUM", "HP2-DEHUM"]);
        assert_eq!(nearest("hp1-occ", known.into_iter()), ["HP1-OCC"]);
        assert!(nearest("boiler", known.into_iter()).is_empty());
    }
}
