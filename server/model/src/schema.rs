//! The JSON Schema of a job file, from the tables that lowering reads by, so that any editor with
//! a YAML mode completes keys. It checks shape; what the values mean, drycall checks itself.

use crate::bacnet::ENGINEERING_UNITS;
use crate::fields::{Field, ValueShape};
use crate::kind::{Entries, Kind};
use crate::lower::entry_shape;
use serde_json::{Map, Value, json};

/// The schema (JSON Schema 2020-12) of any file of a job.
pub fn schema() -> Value {
    let sections: Map<String, Value> =
        Kind::ALL.into_iter().map(|kind| (kind.section().to_owned(), section(kind))).collect();
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A file of a drycall job",
        "type": "object",
        "additionalProperties": false,
        "properties": sections,
    })
}

fn section(kind: Kind) -> Value {
    let entry = of(entry_shape(kind));
    match kind.entries() {
        // They merge across files, so no one file needs every field.
        Entries::Fields => match entry_shape(kind) {
            ValueShape::Fields(fields) => fields_of(fields, false),
            _ => entry,
        },
        Entries::Listed => json!({"type": ["array", "null"], "items": entry}),
        Entries::Named => json!({"type": ["object", "null"], "additionalProperties": entry}),
    }
}

fn of(shape: ValueShape) -> Value {
    let texts = |pattern: &str| json!({"type": "string", "pattern": pattern});
    match shape {
        ValueShape::Text | ValueShape::LocalName | ValueShape::NameOf(_) | ValueShape::Logic => {
            json!({"type": ["string", "number", "boolean"]})
        }
        ValueShape::Number => json!({"type": "number"}),
        ValueShape::Whole(low, high) => json!({"type": "integer", "minimum": low, "maximum": high}),
        ValueShape::Quantity(example) => json!({"type": ["string", "number"], "examples": [example]}),
        ValueShape::Range => texts(r"\.\."),
        ValueShape::Date => json!({"type": "string", "format": "date"}),
        ValueShape::Word(words) => json!({"enum": words.iter().map(|w| word(w)).collect::<Vec<_>>()}),
        ValueShape::Object => texts("^[A-Za-z-]+[ ,]+[0-9]+$"),
        ValueShape::EngineeringUnits => {
            let names = ENGINEERING_UNITS.iter().flat_map(|u| std::iter::once(&u.name).chain(u.short));
            json!({"enum": names.collect::<Vec<_>>()})
        }
        ValueShape::DayPlan => json!({"anyOf": [
            texts(r"^(all-day|none|[0-9]{1,2}:[0-9]{2}\s*[-–]\s*[0-9]{1,2}:[0-9]{2})$"),
            {"type": "array", "items": {"type": "string"}},
            {"type": "object"},
        ]}),
        ValueShape::Fields(fields) => fields_of(fields, true),
        ValueShape::Named(shape) => json!({"type": ["object", "null"], "additionalProperties": of(*shape)}),
        ValueShape::List(shape) => json!({"anyOf": [{"type": "array", "items": of(*shape)}, of(*shape)]}),
        ValueShape::Either(shapes) => json!({"anyOf": shapes.iter().map(|s| of(*s)).collect::<Vec<_>>()}),
    }
}

/// A word that YAML 1.2 readers of other makes may take for a boolean.
fn word(text: &str) -> Value {
    match text {
        "true" => json!(true),
        "false" => json!(false),
        _ => json!(text),
    }
}

fn fields_of(fields: &[Field], all_needed: bool) -> Value {
    let properties: Map<String, Value> = fields
        .iter()
        .map(|field| {
            let mut value = of(field.shape);
            if let Value::Object(map) = &mut value {
                map.insert("description".to_owned(), json!(field.text));
            }
            (field.key.to_owned(), value)
        })
        .collect();
    let needed: Vec<&str> = fields.iter().filter(|f| f.needed && all_needed).map(|f| f.key).collect();
    json!({
        "type": ["object", "null"],
        "additionalProperties": false,
        "required": needed,
        "properties": properties,
    })
}
