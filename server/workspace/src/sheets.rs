//! What is known of a unit or a zone of the job, as plain data.

use crate::Workspace;
use analysis::sheet::page::Locate;
use analysis::sheet::{Board, Forecast, UnitPage, UnitSheet, Week};
use analysis::{Analysis, Chart};
use calendar::Date;
use model::{Name, Place, Unit, View};

impl Workspace {
    /// The units of the job, in the order of files and lines.
    pub fn unit_names(&self) -> Vec<String> {
        View::new(self.job()).all::<Unit>().iter().map(|unit| unit.name().to_owned()).collect()
    }

    /// When the services of a unit can run, with the week from a day. Nothing when the job has no such unit,
    /// or its type is unknown.
    pub fn unit_sheet(&self, unit: &str, week: Option<Date>) -> Option<UnitSheet> {
        let view = View::new(self.job());
        UnitSheet::of(&Analysis::of_review(&view, self.memo())?, unit, week)
    }

    /// A unit's logic chart; likewise.
    pub fn chart(&self, unit: &str) -> Option<Chart> {
        let view = View::new(self.job());
        let over = Analysis::of_review(&view, self.memo())?;
        Some(analysis::chart(&over.unit(view.find::<Unit>(&Name::new(unit))?)?))
    }

    /// A unit's week, from a day or around its longest gap; likewise. `locate` turns a place into what the
    /// reader can go to.
    pub fn week<P: PartialEq>(
        &self,
        unit: &str,
        from: Option<Date>,
        locate: &dyn Fn(&Place) -> Option<P>,
    ) -> Option<Week<P>> {
        let view = View::new(self.job());
        Week::of(&Analysis::of_review(&view, self.memo())?, unit, from, locate)
    }

    /// A service of a unit with a week of it, from a day or the one most worth seeing.
    ///
    /// # Errors
    /// Why there is nothing to show, in plain words.
    pub fn unit_page<P: Clone + PartialEq>(
        &self,
        unit: &str,
        service: Option<&str>,
        from: Option<Date>,
        locate: Locate<'_, P>,
    ) -> Result<UnitPage<P>, String> {
        let view = View::new(self.job());
        let over = Analysis::of_review(&view, self.memo());
        let over = over.ok_or_else(|| "the job has no review period that can be told".to_owned())?;
        UnitPage::of(&over, unit, service, from, locate)
    }

    /// All units that have a service, in the week from a day; nothing where none has it.
    pub fn board<P>(&self, service: &str, from: Date, locate: Locate<'_, P>) -> Option<Board<P>> {
        let view = View::new(self.job());
        Board::of(&Analysis::of_review(&view, self.memo())?, service, from, locate)
    }

    /// What is predicted of a zone.
    ///
    /// # Errors
    /// Why nothing is, in plain words.
    pub fn forecast(&self, zone: &str) -> Result<Forecast, String> {
        Forecast::of(&View::new(self.job()), self.memo(), zone)
    }
}
