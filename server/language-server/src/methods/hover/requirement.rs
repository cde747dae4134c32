//! Hover over a requirement: what is predicted of its zone. Nothing here is proven.

use super::{Look, Sheet};
use crate::markdown::code;
use analysis::Analysis;
use model::{Found, Requirement, Zone};

impl<'j> Look<'_, 'j> {
    /// Hours above the limits that the zone is held to, and of those, hours in which nothing may dry the zone.
    /// Silent where nothing can be predicted, such as without weather.
    pub(super) fn requirement(&self, sheet: &mut Sheet, asked: Found<'j, Requirement>) {
        let zone: Option<Found<'j, Zone>> =
            asked.is.zone.as_ref().and_then(|zone| self.view.find(&zone.value));
        let Some(drift) = zone.and_then(|zone| Analysis::of_review(self.view, self.memo)?.drift(zone)) else {
            return;
        };
        let Some(prediction) = drift.prediction(self.memo) else { return };
        // Without a limit of the owner's, the published one is what is judged by, and is named.
        let words = |criterion: &analysis::drift::HumidityCriterion| {
            if criterion.required {
                criterion.words.clone()
            } else {
                format!("{} ({})", criterion.words, criterion.source)
            }
        };
        let limits: Vec<String> = drift.criteria.iter().map(words).collect();
        sheet.line(format!(
            "prediction for {}: above {} in {} h of {}, {} h of them while nothing may dry it",
            code(drift.zone.name()),
            limits.join(" or "),
            prediction.above,
            prediction.hours,
            prediction.above_in_gaps
        ));
        sheet.line(format!(
            "{} shows what it takes for granted",
            code(&format!("drycall predict {}", drift.zone.name()))
        ));
    }
}
