//! What units have in common that are wired and set alike, whatever their names: on a campus, most of them.

use crate::logic_of_type::TypeLogic;
use crate::proof::constraint::CallVar;
use crate::proof::state::{ByMode, OccupiedHours, State};
use crate::same::Same;
use crate::signal::Feed;
use logic::{Expr, Var};

/// All that is proven of a unit goes by this and by nothing else, so it is the key as well. Of names, places and hours
/// it knows nothing, but for the names of calls and those in the logic of its type.
#[derive(PartialEq, Eq, Hash)]
pub(crate) struct Shape {
    pub(crate) logic: Same<TypeLogic>,
    /// The choice of each option, by number; nothing where it is not known.
    pub(crate) chosen: Box<[Option<usize>]>,
    /// What feeds each terminal.
    pub(crate) feeds: Box<[Feed]>,
    /// The points behind them, each after those it takes its value from.
    pub(crate) points: Box<[PointShape]>,
    /// The variable of each schedule.
    pub(crate) schedules: Box<[Var]>,
    /// When the unit's own zone is occupied.
    pub(crate) own: OccupiedHours,
    /// The states that the schedules come to together.
    pub(crate) kinds: Box<[Box<[State]>]>,
    pub(crate) zones: Box<[ZoneShape]>,
}

/// A line of the point list.
#[derive(PartialEq, Eq, Hash)]
pub(crate) struct PointShape {
    /// When it is on, over atoms and points before it.
    pub(crate) near: Expr,
    /// Whether it is written anywhere.
    pub(crate) is_written: bool,
}

/// A zone that calls.
#[derive(PartialEq, Eq, Hash)]
pub(crate) struct ZoneShape {
    pub(crate) hours: OccupiedHours,
    pub(crate) calls: Box<[CallVar]>,
    pub(crate) rules: ByMode<RuleShape>,
}

/// What the limits of a zone rule out in a mode.
#[derive(PartialEq, Eq, Hash)]
pub(crate) struct RuleShape {
    /// What is ruled out at times or always.
    pub(crate) excluded: Box<[Option<Excluded>]>,
    /// The schedules by whose values it differs.
    pub(crate) follows: Box<[usize]>,
    pub(crate) settings: Box<[SettingShape]>,
}

/// A call that cannot be on, or two that cannot be together.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) struct Excluded {
    pub(crate) first: Var,
    pub(crate) second: Option<Var>,
}

/// What is ruled out for some values of the schedules.
#[derive(PartialEq, Eq, Hash)]
pub(crate) struct SettingShape {
    pub(crate) values: Box<[State]>,
    pub(crate) holding: Box<[Holding]>,
}

/// Something that is ruled out, by number, and the schedules that the limits of its calls follow.
#[derive(PartialEq, Eq, Hash)]
pub(crate) struct Holding {
    pub(crate) constraint: usize,
    pub(crate) follow: [Option<usize>; 2],
}

impl RuleShape {
    /// What is ruled out, by number, while the schedules are in these states. What a schedule whose windows are `open`
    /// may set to anything rules nothing out.
    pub(crate) fn holding(
        &self,
        states: &[State],
        open: impl Fn(usize) -> bool,
    ) -> impl Iterator<Item = usize> {
        let values = || self.follows.iter().map(|n| states.get(*n).copied().unwrap_or(State::Unknown));
        let held = self.settings.iter().find(|setting| setting.values.iter().copied().eq(values()));
        let all = held.into_iter().flat_map(|setting| &setting.holding);
        let certain = all.filter(move |holding| !holding.follow.into_iter().flatten().any(&open));
        certain.map(|holding| holding.constraint)
    }
}
