//! One fact of a unit written otherwise, to see what would become of it. Nobody asked for it to be written, so nothing
//! is proven of it.

use super::PartEdit;
use super::text::Target;
use crate::written::value;
use model::{Found, Job, Name, Unit, View, Wiring};
use syntax::write::scalar;

/// A fact that is supposed to be otherwise.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Supposed {
    /// A choice of an option.
    Option {
        /// The option.
        name: String,
        /// The choice.
        choice: String,
    },
    /// An input tied on or off.
    Input {
        /// The input.
        name: String,
        /// Whether it is on.
        on: bool,
    },
}

/// The edit that writes it; nothing where the job has no such unit, or its type no such option, choice or input.
pub fn supposed(job: &Job, unit: &str, supposed: &Supposed) -> Option<PartEdit> {
    let view = View::new(job);
    let unit: Found<'_, Unit> = view.find(&Name::new(unit))?;
    let unit_type: Found<'_, model::UnitType> = view.find(&unit.is.type_.as_ref()?.value)?;
    let part = &unit.entry.part;
    let target = Target::new(unit.id, unit.entry);
    let (section, name, written, at) = match supposed {
        Supposed::Option { name, choice } => {
            let option = unit_type.is.options.iter().find(|option| option.name.value == name.as_str())?;
            option.choices.iter().find(|known| known.value == choice.as_str())?;
            let set = unit.is.options.iter().find(|(set, _)| set.value == name.as_str());
            ("options", name, scalar(choice), set.map(|(_, choice)| choice.at))
        }
        Supposed::Input { name, on } => {
            unit_type.is.inputs.iter().find(|input| input.name.value == name.as_str())?;
            let tied = Wiring::Tied(*on);
            let wiring = unit.is.wiring(name);
            if wiring.is_some_and(|(_, wiring)| wiring.value == tied) {
                return None;
            }
            let written = if *on { "{tied: on}" } else { "{tied: off}" };
            ("inputs", name, written.to_owned(), wiring.map(|(_, wiring)| wiring.at))
        }
    };
    match (at, value(part, part.value(), section)) {
        (Some(at), _) => target.yaml(at, &written),
        (None, Some(map)) => target.pair(map, name, &written),
        (None, None) => target.pair(part.value(), section, &format!("{{{}: {written}}}", scalar(name))),
    }
}
