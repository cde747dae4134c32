//! What may stand behind a key, in words and as an example.

use model::{Field, Kind, ValueShape};

/// So many words are listed.
const MOST_WORDS: usize = 12;

/// What may stand there: ``the name of a zone``, ``one of `auto` and `continuous` ``.
pub(super) fn words(shape: ValueShape) -> String {
    match shape {
        ValueShape::Text => "text".to_owned(),
        ValueShape::Number => "a number".to_owned(),
        ValueShape::Whole(low, high) => format!("a whole number, {low} to {high}"),
        ValueShape::Quantity(example) => format!("a number with its unit, like `{example}`"),
        ValueShape::Range => "`LOW..HIGH`".to_owned(),
        ValueShape::Date => "a date, year-month-day".to_owned(),
        ValueShape::NameOf(kind) => format!("the name of a {}", kind.noun()),
        ValueShape::LocalName => "a name".to_owned(),
        ValueShape::Word(words) => listed(words),
        ValueShape::Logic => "names joined by `and`, `or`, `not` and brackets".to_owned(),
        ValueShape::Object => "a BACnet object type and its instance".to_owned(),
        ValueShape::EngineeringUnits => "a BACnet engineering unit".to_owned(),
        ValueShape::DayPlan => "a window, a list of windows, `all-day` or `none`".to_owned(),
        ValueShape::Fields(_) => "keys".to_owned(),
        ValueShape::Named(shape) => format!("names, each with {}", words(*shape)),
        ValueShape::List(shape) => format!("{}, or a list of such", words(*shape)),
        ValueShape::Either(shapes) => {
            let each: Vec<String> = shapes.iter().map(|shape| words(*shape)).collect();
            // A list of what may also stand alone says both.
            let is_said =
                |one: &str| each.iter().any(|other| other.starts_with(&format!("{one}, or a list")));
            let told: Vec<&str> = each.iter().map(String::as_str).filter(|one| !is_said(one)).collect();
            told.join(", or ")
        }
    }
}

fn listed(words: &[&str]) -> String {
    let quoted: Vec<String> = words.iter().take(MOST_WORDS).map(|word| format!("`{word}`")).collect();
    match quoted.as_slice() {
        _ if words.len() > MOST_WORDS => {
            format!("{} or {} others", quoted.join(", "), words.len() - MOST_WORDS)
        }
        [] => "nothing".to_owned(),
        [only] => only.clone(),
        [head @ .., last] => format!("{} or {last}", head.join(", ")),
    }
}

/// A value that may stand there; nothing where only the job itself can say one.
pub(super) fn example(shape: ValueShape) -> Option<String> {
    Some(match shape {
        ValueShape::Text | ValueShape::LocalName | ValueShape::Named(_) => return None,
        ValueShape::Number => "4".to_owned(),
        ValueShape::Whole(low, high) => high.min(low.max(8)).to_string(),
        ValueShape::Quantity(example) => example.to_owned(),
        ValueShape::Range => "32..122".to_owned(),
        ValueShape::Date => "2027-06-07".to_owned(),
        ValueShape::NameOf(kind) => name(kind)?.to_owned(),
        ValueShape::Word(words) => (*words.first()?).to_owned(),
        ValueShape::Logic => "AC1-COOL1 and not AC1-DEHUM".to_owned(),
        ValueShape::Object => "binary-output 3".to_owned(),
        ValueShape::EngineeringUnits => "degrees-fahrenheit".to_owned(),
        ValueShape::DayPlan => "08:00-17:30".to_owned(),
        ValueShape::Fields(fields) => {
            let needed: Vec<&Field> = fields.iter().filter(|field| field.needed).collect();
            let chosen = if needed.is_empty() { fields.iter().take(1).collect() } else { needed };
            let pair = |field: &Field| Some(format!("{}: {}", field.key, example(field.shape)?));
            let pairs: Option<Vec<String>> = chosen.into_iter().map(pair).collect();
            format!("{{{}}}", pairs?.join(", "))
        }
        ValueShape::List(shape) => example(*shape)?,
        ValueShape::Either(shapes) => shapes.iter().find_map(|shape| example(*shape))?,
    })
}

/// A name in the example of each section.
fn name(kind: Kind) -> Option<&'static str> {
    Some(match kind.section() {
        "calendars" => "closures",
        "schedules" => "staff-hours",
        "zones" => "stacks",
        "units" => "AC-1",
        "devices" => "controller-1",
        "points" => "AC1-COOL1",
        "unit-types" => "air-conditioner-with-hot-gas-reheat",
        _ => return None,
    })
}
