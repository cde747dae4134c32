//! What the facts behind a unit are, where they are written, and what they say there.

use crate::calls::Mode;
use crate::circuit::Fact;
use crate::constraint::About;
use crate::reasons::{Because, ReasonKind};
use crate::signal::Feed;
use crate::unit::UnitAnalysis;
use model::Wiring;

impl UnitAnalysis<'_> {
    pub(crate) fn kind(&self, fact: Fact) -> ReasonKind {
        match fact {
            Fact::Choice(_) => ReasonKind::Option,
            Fact::Wiring(i) => match self.signals.get(i).map(|s| &s.feed) {
                Some(Feed::Open) => ReasonKind::NotWired,
                _ if self.is_tied(i) => ReasonKind::Tie,
                _ => ReasonKind::Wiring,
            },
            Fact::Point(n) if self.wires.lines().get(n).is_some_and(|l| l.undriven) => ReasonKind::Undriven,
            Fact::Point(_) => ReasonKind::Source,
            Fact::Windows(_) | Fact::Follows(_) => ReasonKind::Schedule,
            Fact::Limit(z, mode, k) => match self.about(z, mode, k) {
                Some(About::NoLimit(call)) => ReasonKind::NoLimit(call),
                Some(About::Beyond(call)) => ReasonKind::BeyondSensor(call),
                Some(About::Apart(..)) | None => ReasonKind::LimitsApart,
            },
            Fact::Line(_) => ReasonKind::Logic,
        }
    }

    fn about(&self, zone: usize, mode: Mode, constraint: usize) -> Option<About> {
        let rules = self.followed.zones.get(zone)?.modes.iter().find(|m| m.mode == mode)?;
        rules.constraints.get(constraint).map(|c| c.about)
    }

    /// What a fact says, where it is written.
    pub(crate) fn because(&self, fact: Fact) -> Vec<Because> {
        match fact {
            Fact::Choice(option) => self.choice_because(option).into_iter().collect(),
            // A path begins at its terminal.
            Fact::Wiring(i) => {
                self.signals.get(i).and_then(|s| s.path.first().cloned()).into_iter().collect()
            }
            Fact::Point(n) => self.wires.lines().get(n).and_then(|l| l.because.clone()).into_iter().collect(),
            Fact::Windows(n) => self.windows_because(n).into_iter().collect(),
            Fact::Follows(z) => self.follows_because(z).into_iter().collect(),
            Fact::Limit(z, mode, k) => {
                let (Some(calling), Some(about)) = (self.followed.zones.get(z), self.about(z, mode, k))
                else {
                    return Vec::new();
                };
                let rules = calling.modes.iter().find(|m| m.mode == mode);
                rules.map_or_else(Vec::new, |m| about.because(calling.zone, &m.rules, mode))
            }
            Fact::Line(n) => self.line_because(n).into_iter().collect(),
        }
    }

    fn choice_because(&self, option: usize) -> Option<Because> {
        let decl = self.unit_type.is.options.get(option)?;
        let choice = &decl.choices.get((*self.chosen.get(option)?)?)?.value;
        let name = &decl.name;
        Some(match self.unit.is.options.iter().find(|(n, _)| n.value == name.value) {
            Some((_, written)) => {
                Because::new(self.unit.place(written.at), format!("`{}` is `{choice}`", name.value))
            }
            None => Because::new(
                self.unit_type.place(name.at),
                format!("`{}` is `{choice}` as shipped", name.value),
            ),
        })
    }

    fn windows_because(&self, n: usize) -> Option<Because> {
        let schedule = self.followed.schedules.get(n)?;
        let kinds = self.course.kinds.iter();
        let occupied = kinds.filter(|k| k.values.get(n).and_then(|v| schedule.is_on(*v)) == Some(true));
        let occupied: f64 = occupied.map(|k| k.hours).sum();
        let all = self.period.hours();
        let text = if occupied == 0.0 {
            format!("schedule `{}` is not occupied at any hour of the review period", schedule.name)
        } else if occupied >= all {
            format!("schedule `{}` is occupied at every hour of the review period", schedule.name)
        } else {
            let (occupied, all) = (crate::hours_words(occupied), crate::hours_words(all));
            format!("schedule `{}` is occupied in {occupied} of {all}", schedule.name)
        };
        Some(Because::new(schedule.found.head(), text))
    }

    fn follows_because(&self, zone: usize) -> Option<Because> {
        let zone = self.followed.zones.get(zone)?.zone;
        let schedule = zone.is.schedule.as_ref()?;
        Some(Because::new(
            zone.place(schedule.at),
            format!("`{}` follows schedule `{}`", zone.name(), schedule.value),
        ))
    }

    fn line_because(&self, n: usize) -> Option<Because> {
        let gate = self.logic.gates.get(n)?;
        let words = self.unit_type.entry.part.scalar(gate.at).unwrap_or("this");
        Some(Because::new(self.unit_type.place(gate.at), format!("`{}` is on when {words}", gate.name)))
    }

    fn is_tied(&self, input: usize) -> bool {
        let name = self.logic.inputs.get(input);
        let wiring = name.and_then(|name| self.unit.is.wiring(name)).map(|(_, w)| &w.value);
        matches!(wiring, Some(Wiring::Tied(_) | Wiring::TiedTo(_)))
    }

    /// Whether an input is left without a wire on purpose: `not-wired`, or tied off.
    pub fn left_out_on_purpose(&self, input: &str) -> bool {
        let wiring = self.unit.is.wiring(input).map(|(_, w)| &w.value);
        matches!(wiring, Some(Wiring::NotWired | Wiring::Tied(false)))
    }
}
