//! What a check may see.

use analysis::drift::{ZoneDrift, drift};
use analysis::{Memo, Setting, UnitAnalysis};
use model::{Entry, EntryId, Found, Unit, View, Zone};
use std::cell::OnceCell;

/// The entry looked at, the job around it, and what is worked out once for all checks of the entry.
pub struct Ctx<'j> {
    /// The job; what is read through it decides when the checks run again.
    pub view: View<'j>,
    /// What entries have in common, worked out once.
    pub memo: &'j Memo,
    /// The entry's number.
    pub id: EntryId,
    /// The entry.
    pub entry: &'j Entry,
    unit: OnceCell<Option<UnitAnalysis<'j>>>,
    drift: OnceCell<Option<ZoneDrift<'j>>>,
}

impl<'j> Ctx<'j> {
    pub(crate) fn new(view: View<'j>, memo: &'j Memo, id: EntryId, entry: &'j Entry) -> Self {
        Ctx { view, memo, id, entry, unit: OnceCell::new(), drift: OnceCell::new() }
    }

    /// The analysis of the unit looked at; nothing when its type is unknown.
    pub fn unit(&self) -> Option<&UnitAnalysis<'j>> {
        let analyse = || {
            let unit: Found<'j, Unit> = self.view.as_found(self.id)?;
            analysis::analyse(&self.view, self.memo, unit)
        };
        self.unit.get_or_init(analyse).as_ref()
    }

    /// The limits of a zone by mode, and by the values of the schedules that they follow.
    pub fn settings(&self, zone: Found<'_, Zone>) -> Vec<Setting> {
        analysis::settings(&self.view, self.memo, zone)
    }

    /// The zone looked at, as predictions see it; nothing without weather.
    pub fn drift(&self) -> Option<&ZoneDrift<'j>> {
        let predicted = || {
            let zone: Found<'j, Zone> = self.view.as_found(self.id)?;
            drift(&self.view, self.memo, zone)
        };
        self.drift.get_or_init(predicted).as_ref()
    }
}
