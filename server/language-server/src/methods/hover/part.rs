//! Hover over a part of a unit or a unit type: an input, an output, an option, a name in logic.

use super::sheet::listed;
use super::{Look, Sheet};
use crate::markdown::code;
use crate::methods::subject::Detail;
use analysis::{Answer, UnitAnalysis};
use model::{EntryId, Found, Item, OptionDecl, Unit, UnitType, Wiring};
use syntax::NodeId;

impl<'j> Look<'_, 'j> {
    /// The input that a use of a point is wired to, if it is.
    pub(super) fn wired(&self, id: EntryId, node: NodeId) -> Option<Sheet> {
        let Item::Unit(unit) = &self.view.entry(id)?.facts.item else { return None };
        let wired = |w: &model::Written<Wiring>| w.at == node;
        let (input, _) = unit.inputs.iter().find(|(_, wiring)| wired(wiring))?;
        self.of_unit(self.view.as_found(id)?, &Detail::Input(input.value.clone()))
    }

    /// A part of a unit: what it is for, and what comes of it here.
    pub(super) fn of_unit(&self, unit: Found<'j, Unit>, detail: &Detail) -> Option<Sheet> {
        let analysis = self.analysis(unit)?;
        let mut sheet = of_type(analysis.unit_type, detail)?;
        match detail {
            Detail::Input(input) => input_here(&mut sheet, &analysis, input),
            Detail::Output(output) => output_here(&mut sheet, &analysis, output),
            Detail::Option(option) | Detail::Choice { option, .. } => {
                let written = unit.is.options.iter().any(|(name, _)| name.value == *option);
                if let Some(choice) = analysis.choice(option) {
                    let by = if written { "chosen here" } else { "the default, since none is chosen here" };
                    sheet.line(format!("in force: {}, {by}", code(choice)));
                }
            }
            Detail::Logic(_) => {}
        }
        Some(sheet)
    }
}

/// A part of a unit type: what it is for.
pub(super) fn of_type(unit_type: Found<'_, UnitType>, detail: &Detail) -> Option<Sheet> {
    let text = |text: &Option<model::Written<model::Name>>| {
        text.as_ref().map_or_else(String::new, |text| text.value.to_string())
    };
    match detail {
        Detail::Option(option) | Detail::Choice { option, .. } => {
            Some(option_sheet(unit_type.is.option(option)?))
        }
        Detail::Input(name) => {
            let input = unit_type.is.input(name)?;
            let mut sheet = Sheet::titled(name, &text(&input.text));
            if let Some(terminal) = &input.terminal {
                sheet.line(format!("terminal {}", terminal.value));
            }
            Some(sheet)
        }
        Detail::Output(name) => {
            let output = unit_type.is.output(name)?;
            let mut sheet = Sheet::titled(name, &text(&output.text));
            let part = &unit_type.entry.part;
            if let Some(when) = output.when.as_ref().and_then(|when| part.scalar(when.at)) {
                sheet.line(format!("on when {}", code(when)));
            }
            if let Some(role) = output.role {
                sheet.line(format!("{}: {}", role.value, role.value.text()));
            }
            Some(sheet)
        }
        Detail::Logic(name) => {
            let of_kind = |detail| of_type(unit_type, &detail);
            let named =
                of_kind(Detail::Input(name.clone())).or_else(|| of_kind(Detail::Output(name.clone())));
            named.or_else(|| {
                let (_, words) = unit_type.is.terms.iter().find(|(term, _)| term.value == *name)?;
                let mut sheet = Sheet::titled(name, "a part of the logic");
                sheet.line(format!("on when {}", code(unit_type.entry.part.scalar(words.at)?)));
                Some(sheet)
            })
        }
    }
}

fn option_sheet(option: &OptionDecl) -> Sheet {
    let text = option.text.as_ref().map_or("option", |text| text.value.as_str());
    let mut sheet = Sheet::titled(&option.name.value, text);
    sheet.line(format!("choices: {}", listed(option.choices.iter().map(|c| c.value.as_str()), 6)));
    if let Some(default) = option.choices.get(option.default) {
        sheet.line(format!("default: {}", code(&default.value)));
    }
    sheet
}

/// What is wired to an input, from the terminal to the source.
fn input_here(sheet: &mut Sheet, analysis: &UnitAnalysis<'_>, input: &str) {
    let Some(signal) = analysis.signal(input) else { return };
    for because in &signal.path {
        sheet.item(because.text.as_str());
    }
    match analysis.has_effect(input) {
        Answer::Yes => {}
        Answer::No => sheet.line("as wired and set, it changes no output"),
        Answer::Unknown => sheet.line("whether it changes an output is not proven: the logic is too large"),
    }
}

/// Whether an output can be on, and what reads it back.
fn output_here(sheet: &mut Sheet, analysis: &UnitAnalysis<'_>, output: &str) {
    let function = analysis.outputs().iter().find(|(name, _)| name == output).map(|(_, function)| function);
    if let Some(function) = function {
        let (on, off) = (analysis.can_be_on(function), analysis.can_be_on(&function.not()));
        sheet.line(match (on, off) {
            (Answer::No, _) => "as wired and set, it is never on",
            (Answer::Yes, Answer::No) => "as wired and set, it is always on",
            (Answer::Yes, Answer::Yes) => "as wired and set, it is on at times",
            (Answer::Unknown, _) | (_, Answer::Unknown) => {
                "when it is on is not proven: the logic is too large"
            }
        });
    }
    let read_back = analysis.unit.is.outputs.iter().find(|(name, _)| name.value == output);
    if let Some((_, point)) = read_back {
        sheet.line(format!("read back by {}", code(&point.value)));
    }
}
