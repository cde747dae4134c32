//! What a repair does to the hours of services, in words.

use analysis::Verdicts;
use model::{EntryId, Job};

/// So many effects are named.
const MOST: usize = 2;

/// Less than this a week is given for the review period.
const FEW_A_WEEK: f64 = 1.0;

/// Less than this, in hours, is none.
const NONE: f64 = 0.05;

/// How much the hours of a service differ at a unit.
pub(super) struct Effect {
    at: EntryId,
    unit: String,
    service: String,
    /// In hours of the review period.
    more: f64,
    weeks: f64,
}

/// How the hours of a unit's services differ.
pub(super) fn effects_at<'v>(
    job: &Job,
    id: EntryId,
    before: &'v Verdicts,
    after: &'v Verdicts,
) -> impl Iterator<Item = Effect> + use<'v> {
    let unit = job.entry(id).and_then(|entry| entry.part.key()).unwrap_or_default().to_owned();
    after.services.iter().filter_map(move |service| {
        let was = before.services.iter().find(|s| s.service == service.service)?;
        // Of hours that are not proven no difference is given.
        let more = service.hours? - was.hours?;
        (more.abs() >= NONE).then(|| Effect {
            at: id,
            unit: unit.clone(),
            service: service.service.to_string(),
            more,
            weeks: after.period_hours / 168.0,
        })
    })
}

/// `adds 123 h a week of dehumidification`; nothing if all hours stay. The unit that the repair
/// `is_about` is not named.
pub(super) fn in_words(effects: &[Effect], is_about: impl Fn(EntryId) -> bool) -> Option<String> {
    let words = |effect: &Effect| {
        let Effect { at, unit, service, more, weeks } = effect;
        let verb = if *more > 0.0 { "adds" } else { "takes away" };
        let a_week = more.abs() / weeks;
        let (hours, span) = if a_week < FEW_A_WEEK && *weeks > 1.0 {
            (more.abs(), "in the review period")
        } else {
            (a_week, "a week")
        };
        let at = if is_about(*at) { String::new() } else { format!(" at {unit}") };
        format!("{verb} {} h {span} of {service}{at}", figure(hours))
    };
    let told: Vec<String> = effects.iter().take(MOST).map(words).collect();
    let more = effects.len().saturating_sub(MOST);
    let rest = if more > 0 { format!(", and {more} more such changes") } else { String::new() };
    (!told.is_empty()).then(|| told.join(", ") + &rest)
}

/// Hours to the whole, or to a tenth below ten.
fn figure(hours: f64) -> String {
    if hours < 9.95 {
        let text = format!("{hours:.1}");
        text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
    } else {
        format!("{hours:.0}")
    }
}
