//! Hover over a requirement: what is predicted of its zone. The reviewing engineer reads it as a
//! prediction, which it is: nothing here is proven.

use super::{Look, Sheet};
use model::{Found, Requirement, Zone};

impl<'j> Look<'_, 'j> {
    /// Hours above the limits that the requirement sets, and in those in which nothing may dry the zone.
    /// Silent where nothing can be predicted, such as without weather.
    pub(super) fn requirement(&self, sheet: &mut Sheet, asked: Found<'j, Requirement>) {
        let zone: Option<Found<'j, Zone>> =
            asked.is.zone.as_ref().and_then(|zone| self.view.find(&zone.value));
        let Some(drift) = zone.and_then(|zone| analysis::drift::drift(self.view, self.memo, zone)) else {
            return;
        };
        let Some(prediction) = drift.prediction(self.memo) else { return };
        let limits: Vec<&str> = drift.held.iter().map(|held| held.words.as_str()).collect();
        sheet.line(format!(
            "prediction for `{}`: above {} in {} h of {}, {} h of them while nothing may dry it",
            drift.zone.name(),
            limits.join(" or "),
            prediction.above,
            prediction.hours,
            prediction.above_in_gaps
        ));
        sheet.line(format!("`drycall drift {}` shows what it takes for granted", drift.zone.name()));
    }
}
