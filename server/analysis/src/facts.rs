//! What the facts behind a unit are, where they are written, and what they say there.

use crate::proof::circuit::Fact;
use crate::proof::constraint::Exclusion;
use crate::proof::schedules::FollowedSchedule;
use crate::reasons::{Because, ReasonKind};
use crate::signal::Feed;
use crate::unit::UnitAnalysis;
use calendar::Value;
use model::Mode;
use model::Wiring;
use model::schedule::Values;

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
                Some(Exclusion::NoLimit(call)) => ReasonKind::NoLimit(call),
                Some(Exclusion::Beyond(call)) => ReasonKind::BeyondSensor(call),
                Some(Exclusion::Apart(..)) | None => ReasonKind::LimitsApart,
            },
            Fact::Line(_) => ReasonKind::Logic,
        }
    }

    fn about(&self, zone: usize, mode: Mode, constraint: usize) -> Option<Exclusion> {
        self.ruled.zones.get(zone)?.rules.get(mode).constraints.get(constraint).copied()
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
                let (Some(calling), Some(about)) = (self.ruled.zones.get(z), self.about(z, mode, k)) else {
                    return Vec::new();
                };
                about.because(calling.zone, calling.rules.get(mode).rules_of(k), mode)
            }
            Fact::Line(n) => self.line_because(n).into_iter().collect(),
        }
    }

    fn choice_because(&self, option: usize) -> Option<Because> {
        let decl = self.unit_type.is.options.get(option)?;
        let choice = &decl.choices.get(self.chosen(option)?)?.value;
        let name = &decl.name;
        Some(match self.unit.is.options.iter().find(|(n, _)| n.value == name.value) {
            Some((_, written)) => {
                Because::new(self.unit.place(written.at), format!("`{}` is `{choice}`", name.value))
            }
            None => Because::new(
                self.unit_type.place(name.at),
                format!("`{}` is `{choice}` by default", name.value),
            ),
        })
    }

    fn windows_because(&self, n: usize) -> Option<Because> {
        let schedule = self.ruled.schedules.all.get(n)?;
        let kinds = || self.course.kinds.iter().filter_map(|k| Some((*k.values.get(n)?, k.hours)));
        let words = match schedule.found.is.values.as_ref().map(|v| &v.value) {
            Some(Values::Quantity(_)) => values_words(schedule, kinds()),
            _ => {
                let occupied = kinds().filter(|(v, _)| schedule.state(*v).is_on() == Some(true));
                self.occupied_words(occupied.map(|(_, hours)| hours).sum())
            }
        };
        Some(Because::new(schedule.found.head(), format!("`{}` is {words}", schedule.name)))
    }

    fn occupied_words(&self, occupied: f64) -> String {
        let all = self.period.hours();
        if occupied == 0.0 {
            "never occupied in the review period".to_owned()
        } else if occupied >= all {
            "occupied all the time".to_owned()
        } else {
            format!("occupied in {}", crate::share_words(occupied, all))
        }
    }

    fn follows_because(&self, zone: usize) -> Option<Because> {
        let zone = self.ruled.zones.get(zone)?.zone;
        let schedule = zone.is.schedule.as_ref()?;
        Some(Because::new(zone.place(schedule.at), format!("`{}` follows `{}`", zone.name(), schedule.value)))
    }

    fn line_because(&self, n: usize) -> Option<Because> {
        let gate = self.logic.gates.get(n)?;
        let words = self.unit_type.entry.part.scalar(gate.at).unwrap_or("this");
        Some(Because::new(self.unit_type.place(gate.at), format!("`{}` is on when `{words}`", gate.name)))
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

/// Values that are named one by one; a setpoint schedule seldom has more.
const MOST_VALUES: usize = 4;

/// The quantities that a schedule gives, each with its hours: `70 °F in 2,349 h and 62 °F in 6,411 h`.
fn values_words(schedule: &FollowedSchedule<'_>, kinds: impl Iterator<Item = (Value, f64)>) -> String {
    let mut values: Vec<(Value, f64)> = Vec::new();
    for (value, hours) in kinds {
        match values.iter_mut().find(|(known, _)| *known == value) {
            Some((_, known)) => *known += hours,
            None => values.push((value, hours)),
        }
    }
    let mut words: Vec<String> = values
        .iter()
        .filter_map(|(value, hours)| {
            let quantity = schedule.quantity(schedule.state(*value))?;
            Some(format!("{quantity} in {}", crate::hours_words(*hours)))
        })
        .collect();
    if words.len() > MOST_VALUES {
        let rest = words.split_off(MOST_VALUES - 1).len();
        words.push(format!("{rest} other values in the rest"));
    }
    match words.split_last() {
        Some((last, before @ [_, ..])) => format!("{} and {last}", before.join(", ")),
        Some((only, _)) => only.clone(),
        None => "not known".to_owned(),
    }
}
