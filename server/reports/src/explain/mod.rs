//! Pages about drycall itself: a check, a unit type, a section of the format, a key, and the contents of them all.
//! They are readable at 80 columns.

mod keys;
mod messages;
mod shapes;
#[cfg(test)]
mod tests;

pub use messages::message_list;

use crate::table::wrap;
use crate::words::headline;
use checks::{ALL, Check, FAMILIES};
use keys::{Key, fields, keys};
use model::{Entries, Field, Kind, LIBRARY, entry_shape};
use std::fmt::Write as _;

/// Columns of a terminal.
const WIDTH: usize = 80;

/// A sentence of fewer letters does not tell a unit type from others.
const SHORT: usize = 45;

/// So many names near a mistyped one are told.
const MOST_NEAR: usize = 4;

/// A small job with something in every section, which reviews without an error.
pub const EXAMPLE: &str = include_str!("example.yaml");

/// A check's page, as Markdown with its name, severity and family at the top.
pub fn check_page(check: &Check) -> String {
    let family = checks::family(check).map_or("", |family| family.title);
    format!("{} ({}; {family})\n\n{}", check.id, check.severity.word(), check.page())
}

/// What there is to explain: checks by family, unit types, sections of the format.
pub fn contents() -> String {
    let mut text =
        "drycall explain NAME, where NAME is a check, a unit type, a section or a key.\n".to_owned();
    for family in &FAMILIES {
        let _ = writeln!(text, "\nChecks: {}", family.title);
        for check in family.checks {
            let severity = check.severity.word();
            entry(&mut text, &format!("{} ({severity})", check.id), &check.summary());
        }
    }
    text.push_str("\nUnit types\n");
    for (file, page) in LIBRARY {
        entry(&mut text, type_name(file), &in_a_line(page));
    }
    text.push_str("\nSections of the format\n");
    for kind in Kind::ALL {
        let keys: Vec<&str> = fields(entry_shape(kind)).iter().map(|field| field.key).collect();
        entry(&mut text, kind.section(), &keys.join(", "));
    }
    text
}

/// The page of a check, a unit type, a section or a key, or why there is none.
///
/// # Errors
/// What to say where nothing has this name, with the names near it.
pub fn explain(name: &str) -> Result<String, String> {
    let name = name.trim_end_matches(':');
    if let Some(check) = checks::find(name) {
        return Ok(check_page(check));
    }
    if let Some((_, page)) = LIBRARY.iter().find(|(file, _)| type_name(file) == name) {
        return Ok((*page).to_owned());
    }
    let all = keys();
    let asked: Vec<&str> = name.split('.').collect();
    let found: Vec<&Key> = all.iter().filter(|key| key.is(&asked)).collect();
    if let Some(kind) = Kind::ALL.into_iter().find(|kind| kind.section() == name) {
        return Ok(section_page(kind, &found));
    }
    if !found.is_empty() {
        return Ok(found.iter().map(|key| key_page(key)).collect::<Vec<_>>().join("\n"));
    }
    Err(format!("nothing is called `{name}`. {}", near(name, &all)))
}

/// The names that a mistyped one may mean: those near it, and those that have its words in common with it.
fn near(name: &str, keys: &[Key]) -> String {
    let types = || LIBRARY.iter().map(|(file, _)| type_name(file));
    let mut known: Vec<String> = ALL.iter().map(|check| check.id).chain(types()).map(str::to_owned).collect();
    known.extend(Kind::ALL.map(|kind| kind.section().to_owned()));
    if name.contains('.') {
        known.extend(keys.iter().map(Key::dotted));
    } else {
        known.extend(keys.iter().map(|key| key.field.key.to_owned()));
    }
    let words: Vec<&str> = name.split(['-', '.', ' ']).filter(|word| word.len() > 2).collect();
    let shares = |other: &&str| {
        let theirs: Vec<&str> = other.split('-').collect();
        !words.is_empty() && words.iter().all(|word| theirs.contains(word))
    };
    let is_plural =
        |other: &&str| other.strip_suffix('s') == Some(name) || name.strip_suffix('s') == Some(other);
    // A kind of unit is meant by the words of its name more often than by its letters.
    let mut likely: Vec<&str> = known.iter().map(String::as_str).filter(is_plural).collect();
    likely.extend(types().filter(shares));
    likely.extend(model::nearest(name, known.iter().map(String::as_str)));
    if likely.is_empty() {
        likely.extend(known.iter().map(String::as_str).filter(shares));
    }
    let mut seen: Vec<&str> = Vec::new();
    for one in likely {
        if !seen.contains(&one) {
            seen.push(one);
        }
    }
    seen.truncate(MOST_NEAR);
    if seen.is_empty() {
        return "`drycall explain` lists what there is.".to_owned();
    }
    model::did_you_mean(name, seen.into_iter())
}

fn type_name(file: &'static str) -> &'static str {
    file.trim_end_matches(".yaml")
}

/// The first sentence or two of what a unit type's page says behind its heading.
fn in_a_line(page: &str) -> String {
    let paragraph = page.lines().skip(1).map_while(|line| line.strip_prefix('#')).map(str::trim);
    let said: Vec<&str> =
        paragraph.skip_while(|line| line.is_empty()).take_while(|line| !line.is_empty()).collect();
    let said = said.join(" ");
    let (first, rest) = headline(&said);
    // A short sentence says what many units are.
    if first.len() < SHORT && !rest.is_empty() {
        return format!("{first}. {}", headline(rest).0);
    }
    first.to_owned()
}

/// A name, and what is said of it under it.
fn entry(text: &mut String, name: &str, said: &str) {
    let _ = writeln!(text, "  {name}");
    paragraph(text, said, 6);
}

fn paragraph(text: &mut String, said: &str, indent: usize) {
    for line in wrap(said, WIDTH - indent) {
        let _ = writeln!(text, "{:indent$}{line}", "");
    }
}

fn section_page(kind: Kind, keys_called_so: &[&Key]) -> String {
    let section = kind.section();
    let mut text = format!("{section}: a section of a job's files\n\n");
    let what = match kind.entries() {
        Entries::Fields => "What holds for the whole job. Its keys may stand in several files:".to_owned(),
        Entries::Listed => format!("A list. Each item is a {} with these keys:", kind.noun()),
        Entries::Named => format!("Names, each of a {} with these keys:", kind.noun()),
    };
    paragraph(&mut text, &what, 0);
    text.push('\n');
    put_fields(&mut text, &fields(entry_shape(kind)));
    let _ = writeln!(text, "\nExample\n\n{}", indented(section_example(section)));
    text.push_str(&format!("drycall explain {section}.KEY says more of a key.\n"));
    for key in keys_called_so {
        let _ = writeln!(text, "\nAlso a key:\n\n{}", key_page(key).trim_end());
    }
    text
}

/// The lines of a section of the example.
fn section_example(section: &str) -> &'static str {
    let head = format!("{section}:\n");
    let mut parts = EXAMPLE.split("\n\n");
    parts.find(|part| part.starts_with(&head)).unwrap_or("")
}

fn indented(block: &str) -> String {
    block.lines().map(|line| format!("  {line}\n")).collect()
}

fn put_fields(text: &mut String, fields: &[Field]) {
    for field in fields {
        let needed = if field.needed { " (needed)" } else { "" };
        let _ = writeln!(text, "  {}{needed}", field.key);
        paragraph(text, field.text, 6);
    }
}

fn key_page(key: &Key) -> String {
    let (field, dotted) = (&key.field, key.dotted());
    let needed = if field.needed { "needed" } else { "may be left out" };
    let mut text = format!("{dotted} ({needed})\n\n");
    paragraph(&mut text, &format!("{}.", field.text), 2);
    let mut labelled = |label: &str, said: &str| {
        for (number, line) in wrap(said, WIDTH - 13).into_iter().enumerate() {
            let label = if number == 0 { label } else { "" };
            let _ = writeln!(text, "  {label:9}  {line}");
        }
    };
    labelled("value", &shapes::words(field.shape));
    if let Some(example) = shapes::example(field.shape) {
        labelled("example", &format!("{}: {example}", field.key));
    }
    let inner = fields(field.shape);
    if !inner.is_empty() {
        text.push_str("\n  Its keys:\n\n");
        put_fields(&mut text, &inner);
    }
    text
}
