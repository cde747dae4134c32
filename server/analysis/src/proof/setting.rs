//! The limits of a zone as they are set at one time and another: by mode, and by the values of the schedules that
//! they follow.

use crate::analysis::Analysis;
use crate::proof::followed::Followed;
use model::{Found, Mode, ModeLimits, Zone};

/// Limits that hold together at some time of a period.
#[derive(Clone, PartialEq)]
pub struct Setting {
    pub mode: Mode,
    /// The limits, with the values of the schedules that they follow.
    pub limits: ModeLimits,
}

/// The settings of a zone that follow no schedule: at most one for each mode.
pub fn fixed_settings(zone: Found<'_, Zone>) -> Vec<Setting> {
    let written = Mode::ALL.into_iter().filter_map(|mode| Some((mode, zone.is.limits(mode)?)));
    let fixed = written.filter(|(_, limits)| limits.followed.is_empty());
    fixed.map(|(mode, limits)| Setting { mode, limits: limits.clone() }).collect()
}

impl<'j> Analysis<'_, 'j> {
    /// The settings of a zone: one for each mode, or for each set of values that come together in it in the period.
    pub fn settings(&self, zone: Found<'j, Zone>) -> Vec<Setting> {
        let mut settings = fixed_settings(zone);
        let follows = |mode: &Mode| zone.is.limits(*mode).is_some_and(|limits| !limits.followed.is_empty());
        let following: Vec<Mode> = Mode::ALL.into_iter().filter(follows).collect();
        if following.is_empty() {
            return settings;
        }
        let followed = Followed::of(self, &[], Some(zone));
        let schedules = &followed.schedules;
        for kind in &followed.course(self).kinds {
            let states = schedules.states(kind);
            let own = schedules.own.mode(&states);
            for mode in following.iter().filter(|mode| own.is_none_or(|own| own == **mode)) {
                let limits = schedules.limits(zone.is, *mode, &states);
                let setting = limits.map(|limits| Setting { mode: *mode, limits });
                settings.extend(setting.filter(|setting| !settings.contains(setting)));
            }
        }
        // Stable: of one mode in the order in which they first come.
        settings.sort_by_key(|setting| setting.mode == Mode::Unoccupied);
        settings
    }
}
