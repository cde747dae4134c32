//! Every message says what is wrong, its effect and the fix in a few plain sentences.

use crate::ALL;
use crate::example::{Message, messages};
use std::fmt::Write as _;

/// What a message may be at most.
const WORDS: usize = 25;
const SENTENCES: usize = 3;

/// Turns of phrase that nobody in the trade uses, or that leave the reader to work out what is meant.
const STIFF: &[&str] = &[
    " will not do",
    " is no ",
    " is none",
    " are none",
    "holds at no hour",
    " holds in",
    "that of those",
    "which nothing",
    "which no ",
    "of which",
    "in which",
    "nothing that is",
    "nothing is wired",
    "stands for",
    "stands here",
    "stands where",
    " stands ",
    "leave the wire out",
    "finds nothing",
    "hides nothing",
    "take it out",
    "take the ",
    " is told",
    " has no say",
    "begins",
    "comes in ordinary",
    "is meant",
    "cannot be meant",
    "so that it",
    "say of it",
    "by way of",
    "mould",
    "per cent",
    "(from memory)",
    "; ",
];

/// The sentences of a text; what is in backticks is one word, whatever it holds.
fn sentences(text: &str) -> Vec<Vec<String>> {
    let (mut sentences, mut words, mut word, mut code) = (Vec::new(), Vec::new(), String::new(), false);
    for c in text.chars().chain([' ']) {
        code ^= c == '`';
        if code || c != ' ' {
            word.push(c);
            continue;
        }
        let ends = word.ends_with(['.', '?', '!']) || word.ends_with(".)");
        if !word.is_empty() {
            words.push(std::mem::take(&mut word));
        }
        if ends {
            sentences.push(std::mem::take(&mut words));
        }
    }
    if !words.is_empty() {
        sentences.push(words);
    }
    sentences
}

/// What is wrong with a text; `whole` if it must be in whole sentences.
fn faults(text: &str, whole: bool) -> Vec<String> {
    let mut faults = Vec::new();
    let sentences = sentences(text);
    if sentences.len() > SENTENCES {
        faults.push(format!("{} sentences", sentences.len()));
    }
    for sentence in &sentences {
        if sentence.len() > WORDS {
            faults.push(format!("{} words: {}", sentence.len(), sentence.join(" ")));
        }
        let first = sentence.first().and_then(|word| word.chars().next());
        if !first.is_some_and(|c| c.is_uppercase() || c.is_ascii_digit() || c == '`') {
            faults.push(format!("begins small: {}", sentence.join(" ")));
        }
    }
    // What is in backticks is the job's.
    let own: String = text.split('`').step_by(2).collect::<Vec<_>>().join("`");
    // That there is no such thing is plain.
    let own = own.replace("here is no ", "");
    faults.extend(STIFF.iter().filter(|stiff| own.contains(*stiff)).map(|stiff| format!("says {stiff:?}")));
    if text.matches('`').count() % 2 == 1 {
        faults.push("an open backtick".to_owned());
    }
    if whole && !text.ends_with(['.', '?']) {
        faults.push("ends without a full stop".to_owned());
    }
    if !whole && text.ends_with('.') {
        faults.push("ends with a full stop".to_owned());
    }
    faults
}

#[test]
fn every_message_is_plain() {
    let mut wrong = String::new();
    for check in ALL {
        for Message { text, reasons, repairs, .. } in messages(check) {
            let labels = reasons.iter().chain(&repairs).map(|label| (label, false));
            for (text, whole) in std::iter::once((&text, true)).chain(labels) {
                let faults = faults(text, whole);
                if !faults.is_empty() {
                    let _ = writeln!(wrong, "{}: {text}\n    {}", check.id, faults.join("\n    "));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn faults_are_found() {
    assert!(faults("`A` is off. Wire `B and C. D`.", true).is_empty());
    assert_eq!(faults("wire it.", true).len(), 1);
    assert_eq!(faults("Wire it", true), ["ends without a full stop"]);
    assert_eq!(faults("One. Two. Three. Four.", true), ["4 sentences"]);
    assert_eq!(faults(&format!("{}end.", "Word ".repeat(25)), true).len(), 1);
    assert_eq!(faults("Write one; `x; y` will not do.", true).len(), 2);
}
