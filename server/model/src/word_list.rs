//! Words in a message.

/// Words as a list for a message: each in code quotes, the last behind `last`, as in `` `a`, `b` and `c` ``.
pub fn list_words<'a>(words: impl Iterator<Item = &'a str>, last: &str) -> String {
    let quoted: Vec<String> = words.map(|w| format!("`{w}`")).collect();
    match quoted.split_last() {
        None => "nothing".to_owned(),
        Some((only, [])) => only.clone(),
        Some((end, before)) => format!("{} {last} {end}", before.join(", ")),
    }
}
