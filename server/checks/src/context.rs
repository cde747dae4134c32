//! What a check may see.

use analysis::drift::ZoneDrift;
use analysis::{Analysis, Memo, Setting, TimedSchedule, UnitAnalysis, fixed_settings};
use calendar::Period;
use model::{Entry, EntryId, Found, Schedule, Unit, View, Zone};
use std::cell::OnceCell;
use std::sync::Arc;

/// The entry looked at, the job around it, and what is worked out once for all checks of the entry.
pub struct Ctx<'j> {
    /// The job; what is read through it decides when the checks run again.
    pub view: View<'j>,
    /// What entries have in common, worked out once.
    pub memo: &'j Memo,
    /// The entry's number.
    pub id: EntryId,
    pub entry: &'j Entry,
    period: OnceCell<Option<Arc<Period>>>,
    unit: OnceCell<Option<UnitAnalysis<'j>>>,
    drift: OnceCell<Option<ZoneDrift<'j>>>,
}

impl<'j> Ctx<'j> {
    pub(crate) fn new(view: View<'j>, memo: &'j Memo, id: EntryId, entry: &'j Entry) -> Self {
        let (period, unit, drift) = (OnceCell::new(), OnceCell::new(), OnceCell::new());
        Ctx { view, memo, id, entry, period, unit, drift }
    }

    /// The job over its review period; nothing where there is no such.
    pub fn analysis(&self) -> Option<Analysis<'_, 'j>> {
        let review = || Some(Analysis::of_review(&self.view, self.memo)?.over);
        let period = self.period.get_or_init(review).clone();
        Some(Analysis::over(&self.view, self.memo, period?))
    }

    /// The analysis of the unit looked at; nothing when its type is unknown.
    pub fn unit(&self) -> Option<&UnitAnalysis<'j>> {
        let analyse = || {
            let unit: Found<'j, Unit> = self.view.as_found(self.id)?;
            self.analysis()?.unit(unit)
        };
        self.unit.get_or_init(analyse).as_ref()
    }

    /// A schedule over the review period; nothing where there is no such.
    pub fn timed(&self, schedule: Found<'_, Schedule>) -> Option<Arc<TimedSchedule>> {
        Some(self.analysis()?.schedule(schedule))
    }

    /// The limits of a zone by mode, and by the values of the schedules that they follow.
    pub fn settings(&self, zone: Found<'_, Zone>) -> Vec<Setting> {
        self.analysis().map_or_else(|| fixed_settings(zone), |analysis| analysis.settings(zone))
    }

    /// The zone looked at, as predictions see it; nothing without weather.
    pub fn drift(&self) -> Option<&ZoneDrift<'j>> {
        let predicted = || {
            let zone: Found<'j, Zone> = self.view.as_found(self.id)?;
            self.analysis()?.drift(zone)
        };
        self.drift.get_or_init(predicted).as_ref()
    }
}
