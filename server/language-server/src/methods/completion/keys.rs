//! Keys of mappings, with what must be written behind them.

use super::offer::{Offer, escaped};
use model::{Entries, Field, Kind, Name, ValueShape};
use tower_lsp_server::ls_types::CompletionItemKind;

/// The keys of a shape that are not there yet, those that must be first. `colon` where one stands behind
/// the word already.
pub(super) fn keys(shape: ValueShape, others: &[Name], colon: bool) -> Vec<Offer> {
    let mut found: Vec<&Field> = Vec::new();
    each_field(shape, &mut |field| {
        // A mapping and a list of such are written with the same keys.
        let known = found.iter().any(|other| other.key == field.key);
        if !known && !others.iter().any(|other| other == field.key) {
            found.push(field);
        }
    });
    found.sort_by_key(|field| !field.needed);
    found.into_iter().map(|field| key(field.key, field, colon)).collect()
}

/// The keys of a shape as a mapping in braces, where nothing is written yet.
pub(super) fn braced(shape: ValueShape) -> Vec<Offer> {
    let mut offers = keys(shape, &[], false);
    for offer in &mut offers {
        offer.plain = None;
        offer.snippet = offer.snippet.take().map(|snippet| format!("{{{snippet}\\}}"));
    }
    offers
}

/// The names of mappings whose keys are names, each with what must be written behind it.
pub(super) fn named(offer: Offer, shape: ValueShape, colon: bool) -> Offer {
    let name = syntax::write::scalar(&offer.label);
    match shape {
        ValueShape::Named(inner) if !colon => Offer {
            plain: Some(format!("{name}: ")),
            snippet: Some(format!("{}: {}", escaped(&name), blank(*inner, &mut 1))),
            ..offer
        },
        _ => offer,
    }
}

/// A whole new entry of a kind.
pub(super) fn entry(kind: Kind) -> Offer {
    let snippet = match kind.entries() {
        Entries::Listed => format!("- {}", blank(model::entry_shape(kind), &mut 1)),
        Entries::Fields | Entries::Named => {
            format!("${{1:name}}: {}", blank(model::entry_shape(kind), &mut 2))
        }
    };
    Offer {
        plain: None,
        snippet: Some(snippet),
        ..Offer::word(format!("new {}", kind.noun()), CompletionItemKind::SNIPPET)
    }
}

fn key(label: &str, field: &Field, colon: bool) -> Offer {
    let offer = Offer::word(label, CompletionItemKind::PROPERTY);
    let written = if colon { label.to_owned() } else { format!("{label}: ") };
    Offer {
        text: Some(field.text.to_owned()),
        detail: field.needed.then(|| "needed".to_owned()),
        snippet: (!colon).then(|| format!("{written}{}", blank(field.shape, &mut 1))),
        plain: Some(written),
        ..offer
    }
}

fn each_field(shape: ValueShape, f: &mut dyn FnMut(&'static Field)) {
    match shape {
        ValueShape::Fields(fields) => fields.iter().for_each(f),
        ValueShape::List(inner) => each_field(*inner, f),
        ValueShape::Either(shapes) => shapes.iter().for_each(|shape| each_field(*shape, f)),
        _ => {}
    }
}

/// A value to fill in, with the keys that must be written; `next` is the number of the next blank.
fn blank(shape: ValueShape, next: &mut u32) -> String {
    let mut example = |text: &str| {
        *next += 1;
        let number = *next - 1;
        if text.is_empty() { format!("${number}") } else { format!("${{{number}:{}}}", escaped(text)) }
    };
    match shape {
        ValueShape::Quantity(text) => example(text),
        ValueShape::Range => example("0..100"),
        ValueShape::Date => example("2027-01-01"),
        ValueShape::Fields(fields) => {
            let needed: Vec<String> = fields
                .iter()
                .filter(|field| field.needed)
                .map(|field| format!("{}: {}", field.key, blank(field.shape, next)))
                .collect();
            let inside = if needed.is_empty() { blank(ValueShape::Text, next) } else { needed.join(", ") };
            format!("{{{inside}\\}}")
        }
        ValueShape::Named(_) => format!("{{{}\\}}", example("")),
        ValueShape::List(inner) => format!("[{}]", blank(*inner, next)),
        ValueShape::Word([only]) => example(only),
        ValueShape::Either([first, ..]) => blank(*first, next),
        _ => example(""),
    }
}
