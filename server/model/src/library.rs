//! The built-in unit types: files in the job's own language, carried in the program.

use crate::prepared::Prepared;
use std::sync::OnceLock;
use syntax::File;

macro_rules! library {
    ($($name:literal)*) => {
        &[$((concat!($name, ".yaml"), include_str!(concat!("../library/", $name, ".yaml")))),*]
    };
}

/// File name and text of each built-in type. A type's file bears its name.
pub const TEXTS: &[(&str, &str)] = library! {
    "air-conditioner-with-hot-gas-reheat"
    "heat-pump-with-hot-gas-reheat"
    "two-stage-air-conditioner-with-hot-gas-reheat"
    "two-stage-heat-pump-with-hot-gas-reheat"
    "cooling-with-electric-reheat"
    "terminal-box-with-reheat"
    "outdoor-air-unit-with-wrap-around-coil"
    "outdoor-air-unit-with-hot-gas-reheat"
    "stand-alone-dehumidifier"
    "heat-pump-with-auxiliary-heat-lockout"
    "dual-circuit-rooftop"
    "chilled-water-coil-with-reheat-coil"
    "fan-coil-unit"
    "outdoor-air-unit-with-wheel"
    "desiccant-dehumidifier"
    "humidifier"
    "unit-ventilator"
    "make-up-air-unit"
    "terminal-box-by-zone-state"
};

/// The library, read once a process.
pub(crate) fn files() -> impl Iterator<Item = (&'static str, &'static Prepared)> {
    static FILES: OnceLock<Vec<Prepared>> = OnceLock::new();
    let files = FILES.get_or_init(|| TEXTS.iter().map(|(_, text)| Prepared::new(File::new(text))).collect());
    TEXTS.iter().map(|(name, _)| *name).zip(files)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::TEXTS;
    use crate::{Found, Job, Key, Kind, UnitType, View};
    use std::collections::BTreeMap;

    /// Parts of a page, in their order.
    const PARTS: [&str; 6] =
        ["Sequence of operation", "Priorities", "Options", "Not covered", "Sources", "Cautions"];

    /// Letters that terminals bear in the trade at large.
    const LETTERS: [&str; 10] = ["R", "C", "G", "Y1", "Y2", "W1", "W2", "O", "B", "E"];

    /// The comment at the head of a file.
    fn page(text: &str) -> Vec<&str> {
        let comment = text.lines().map_while(|line| line.strip_prefix('#'));
        comment.map(|line| line.strip_prefix(' ').unwrap_or(line)).collect()
    }

    /// Paragraphs and list items of a page, each on one line.
    fn pieces(page: &[&str]) -> Vec<String> {
        let mut pieces = vec![String::new()];
        for line in page {
            if line.is_empty() || line.trim_start().starts_with("- ") || PARTS.contains(line) {
                pieces.push(String::new());
            }
            let piece = pieces.last_mut().unwrap();
            piece.push(' ');
            piece.push_str(line.trim_start().trim_start_matches("- "));
        }
        pieces.iter().map(|piece| piece.trim().to_owned()).collect()
    }

    fn each_type(mut look: impl FnMut(Found<'_, UnitType>)) {
        let job = Job::new();
        let view = View::new(&job);
        let ids = view.contributors(Key::All(Kind::UnitType));
        assert_eq!(ids.len(), TEXTS.len());
        ids.into_iter().for_each(|id| look(view.as_found(id).unwrap()));
    }

    #[test]
    fn every_page_has_its_parts_in_short_sentences() {
        for (file, text) in TEXTS {
            let page = page(text);
            let parts: Vec<&str> = page.iter().copied().filter(|line| PARTS.contains(line)).collect();
            assert_eq!(parts, PARTS, "{file}");
            let pieces = pieces(&page);
            let warning = "An example of the usual logic: compare it with the maker's sequence before use.";
            assert!(pieces.iter().any(|piece| piece == warning), "{file}");
            for piece in &pieces {
                for sentence in piece.split_inclusive(". ") {
                    assert!(sentence.split_whitespace().count() <= 25, "{file}: {sentence}");
                }
            }
        }
    }

    #[test]
    fn every_page_names_the_inputs_and_choices_of_its_type() {
        each_type(|found| {
            let (_, text) =
                TEXTS.iter().find(|(file, _)| file.strip_suffix(".yaml") == Some(found.name())).unwrap();
            let pieces = pieces(&page(text));
            for input in &found.is.inputs {
                let name = format!("`{}`", input.name.value);
                assert!(pieces.iter().any(|piece| piece.contains(&name)), "{}: {name}", found.name());
            }
            for option in &found.is.options {
                let name = format!("`{}`", option.name.value);
                let at = pieces.iter().position(|piece| *piece == name);
                assert!(at.is_some(), "{}: {name}", found.name());
                let choices = &pieces[at.unwrap() + 1..];
                for (choice, piece) in option.choices.iter().zip(choices) {
                    let begins = format!("`{}`: ", choice.value);
                    assert!(piece.starts_with(&begins), "{}: {name}: {begins}", found.name());
                }
            }
        });
    }

    #[test]
    fn the_same_input_or_option_has_the_same_words_in_every_type() {
        let mut known: BTreeMap<String, String> = BTreeMap::new();
        each_type(|found| {
            let inputs = found.is.inputs.iter().map(|i| (&i.name, i.text.as_ref()));
            for (name, text) in inputs.chain(found.is.options.iter().map(|o| (&o.name, o.text.as_ref()))) {
                let text = text.unwrap().value.to_string();
                let first = known.entry(name.value.to_string()).or_insert_with(|| text.clone());
                assert_eq!(*first, text, "{} of {}", name.value, found.name());
            }
        });
    }

    #[test]
    fn only_letters_of_the_trade_at_large_stand_at_terminals() {
        each_type(|found| {
            for terminal in found.is.inputs.iter().filter_map(|input| input.terminal.as_ref()) {
                assert!(LETTERS.contains(&terminal.value.as_str()), "{}: {}", found.name(), terminal.value);
            }
        });
    }
}
