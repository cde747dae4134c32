//! What may be supposed otherwise of a unit.

use crate::unit::UnitAnalysis;
use crate::words::on_off;
use model::{Mode, Wiring};
use serde::Serialize;

/// A fact of a unit, and what else it could be.
#[derive(Clone, PartialEq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct WhatIf {
    /// The kind of the fact.
    pub of: WhatIfKind,
    /// The option, or the input.
    pub name: String,
    /// What it is as written: a choice, or what is wired.
    pub now: String,
    /// What else it can be: choices, or `on` and `off`.
    pub others: Vec<String>,
}

/// Kinds of facts that may be supposed otherwise.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum WhatIfKind {
    /// The choice made for an option.
    Option,
    /// What an input is tied to.
    Input,
}

/// Each option that has another choice, and the input for occupancy.
pub(super) fn choices(analysis: &UnitAnalysis<'_>) -> Vec<WhatIf> {
    let options = analysis.unit_type.is.options.iter().filter_map(|option| {
        let now = analysis.choice(option.name.value.as_str())?;
        let others = option.choices.iter().map(|choice| &choice.value).filter(|choice| *choice != now);
        let others: Vec<String> = others.map(ToString::to_string).collect();
        let (name, now) = (option.name.value.to_string(), now.to_string());
        (!others.is_empty()).then_some(WhatIf { of: WhatIfKind::Option, name, now, others })
    });
    let input = Mode::OCCUPIED_INPUT;
    let has = analysis.logic.input(input).is_some();
    let wiring = analysis.unit.is.wiring(input).map(|(_, wiring)| &wiring.value);
    let (now, tied) = match wiring {
        Some(Wiring::Point(point)) => (format!("wired to {point}"), None),
        Some(Wiring::Tied(on)) => (format!("tied {}", on_off(*on)), Some(*on)),
        Some(Wiring::TiedTo(other)) => (format!("tied to {other}"), None),
        Some(Wiring::NotWired) | None => ("not wired".to_owned(), Some(false)),
        Some(Wiring::Unreadable) => ("not readable".to_owned(), None),
    };
    let others = [true, false].into_iter().filter(|on| tied != Some(*on)).map(|on| on_off(on).to_owned());
    let occupied = WhatIf { of: WhatIfKind::Input, name: input.to_owned(), now, others: others.collect() };
    options.chain(has.then_some(occupied)).collect()
}
