//! What stands at each input of a unit through a day, and which of it blocks a service.

use super::days::{DaySpan, Piece};
use crate::proof::moment::Moment;
use crate::unit::UnitAnalysis;
use crate::variables;
use crate::verdict::Verdict;
use crate::words::on_off;
use logic::Function;
use model::{Name, Wiring};
use serde::Serialize;

/// An input through a day.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct Track {
    /// The input.
    pub input: String,
    /// What is wired to it: a point, `not wired`, `tied on`.
    pub wired: String,
    /// Its stretches, in order.
    pub stretches: Vec<TrackStretch>,
}

/// A stretch in which nothing changes at an input, in minutes of the wall clock.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize)]
pub struct TrackStretch {
    /// Its first minute.
    pub from: u16,
    /// The minute behind it, at most 1440.
    pub to: u16,
    /// What the input is.
    pub level: InputLevel,
    /// Whether it blocks the service.
    pub blocks: InputBlocks,
}

/// What an input can be.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum InputLevel {
    /// On throughout.
    On,
    /// Off throughout.
    Off,
    /// It may be on or off.
    Free,
    /// That was too large to prove.
    NotProven,
}

/// What an input does to the service.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum InputBlocks {
    /// It keeps the service off: were it otherwise, the service could run.
    Here,
    /// It keeps the service off whenever it is on.
    IfOn,
    /// It keeps the service off whenever it is off.
    IfOff,
    /// Nothing.
    No,
}

/// The tracks of a day before anything is known of it, in the order of the type's inputs.
pub(super) fn empty(analysis: &UnitAnalysis<'_>) -> Vec<Track> {
    let track = |input: &Name| {
        let wiring = analysis.unit.is.wiring(input).map(|(_, wiring)| &wiring.value);
        let wired = match wiring {
            Some(Wiring::Point(point)) => point.to_string(),
            Some(Wiring::Tied(on)) => format!("tied {}", on_off(*on)),
            Some(Wiring::TiedTo(other)) => format!("tied to {other}"),
            Some(Wiring::NotWired) | None => "not wired".to_owned(),
            Some(Wiring::Unreadable) => "not readable".to_owned(),
        };
        Track { input: input.to_string(), wired, stretches: Vec::new() }
    };
    analysis.logic.inputs.iter().map(track).collect()
}

/// What is known of each input at the kinds of moments looked at so far.
pub(super) struct Tracker<'t, 'j> {
    analysis: &'t UnitAnalysis<'j>,
    service: &'t str,
    /// The service with an input left open; nothing where it does not look at the input.
    open: Vec<Option<Function>>,
    known: Vec<(usize, Vec<(InputLevel, InputBlocks)>)>,
}

impl<'t, 'j> Tracker<'t, 'j> {
    pub(super) fn new(analysis: &'t UnitAnalysis<'j>, service: &'t str) -> Self {
        let open = analysis.logic.inputs.iter().map(|input| {
            let var = variables::of_type(analysis.logic.input(input)?)?;
            let open = analysis.service_with_free(service, &[input.as_str()])?;
            (!open.depends_on(var).is_no()).then_some(open)
        });
        Tracker { analysis, service, open: open.collect(), known: Vec::new() }
    }

    /// Takes a stretch of a day into its tracks.
    pub(super) fn add(&mut self, tracks: &mut [Track], piece: &Piece<'_>) {
        let DaySpan { from, to } = piece.span;
        let number = piece.moment.number;
        if !self.known.iter().any(|(known, _)| *known == number) {
            let states = self.states(piece.moment);
            self.known.push((number, states));
        }
        let Some((_, states)) = self.known.iter().find(|(known, _)| *known == number) else { return };
        for (track, (level, blocks)) in tracks.iter_mut().zip(states) {
            match track.stretches.last_mut() {
                Some(last) if (last.level, last.blocks) == (*level, *blocks) => last.to = to,
                _ => track.stretches.push(TrackStretch { from, to, level: *level, blocks: *blocks }),
            }
        }
    }

    fn states(&self, moment: &Moment) -> Vec<(InputLevel, InputBlocks)> {
        let verdict = self.analysis.verdict_at(self.service, moment);
        let inputs = self.analysis.logic.inputs.iter().zip(&self.open);
        let state = |(input, open): (&Name, &Option<Function>)| {
            let level = self.level(input, moment);
            let blocks = match (verdict, open) {
                (Verdict::Never, Some(open)) if matches!(level, InputLevel::On | InputLevel::Off) => {
                    let otherwise = self.analysis.can_be_on_at(moment, open).is_yes();
                    if otherwise { InputBlocks::Here } else { InputBlocks::No }
                }
                (Verdict::Conditional, Some(_)) => self.blocks_if(input, moment),
                _ => InputBlocks::No,
            };
            (level, blocks)
        };
        inputs.map(state).collect()
    }

    fn level(&self, input: &Name, moment: &Moment) -> InputLevel {
        let reach = self.analysis.reach(input);
        let Some(reach) = reach.as_ref().and_then(|reach| reach.get(moment.number)) else {
            return InputLevel::NotProven;
        };
        match (reach.on.is_no(), reach.off.is_no()) {
            (true, _) => InputLevel::Off,
            (_, true) => InputLevel::On,
            _ if reach.on.is_unknown() || reach.off.is_unknown() => InputLevel::NotProven,
            _ => InputLevel::Free,
        }
    }

    /// Whether what stands at an input is among the sets that block the service at a moment.
    fn blocks_if(&self, input: &Name, moment: &Moment) -> InputBlocks {
        let found = self.analysis.blocking(self.service, moment);
        let (Some(found), Some(terminal)) = (found, self.analysis.terminal(input)) else {
            return InputBlocks::No;
        };
        let terminal = terminal.restrict_all(&moment.scheduled);
        let mut literals = found.items.iter().flat_map(logic::Cube::literals);
        let blocking = literals.find(|literal| terminal.depends_on(literal.var).is_yes());
        let Some(literal) = blocking else { return InputBlocks::No };
        // Behind a relay that is normally closed it is the other way round.
        let direct = !terminal.restrict(literal.var, literal.value).can_be_on().is_no();
        if direct { InputBlocks::IfOn } else { InputBlocks::IfOff }
    }
}
