//! Judging the limits of a zone at every value that the schedules they follow give them.

use crate::check::{FindingBuilder, Sink};
use crate::context::Ctx;
use analysis::Setting;
use model::{Found, Name, Quantity, Schedule, Zone};

/// Judges each setting of a zone in turn. Of several settings that are wrong at one place the first is reported; what
/// follows a schedule is set right there, so that nothing is put in its place here.
pub(crate) fn each(
    ctx: &Ctx<'_>,
    zone: Found<'_, Zone>,
    out: &mut Sink,
    mut judge: impl FnMut(&Setting, &mut Sink),
) {
    let first = out.found.len();
    for setting in ctx.settings(zone) {
        let before = out.found.len();
        judge(&setting, out);
        let mut found = out.found.split_off(before);
        found.retain(|finding| !out.found.iter().skip(first).any(|known| known.0.spot == finding.0.spot));
        for finding in &mut found {
            for limit in &setting.limits.followed {
                let about =
                    |place: &model::Place| place.entry == ctx.id && place.spot.node() == Some(limit.at);
                let here = finding.0.spot.node() == Some(limit.at);
                if let Some(value) = setting.limits.value(limit.key)
                    && (here || finding.0.because.iter().any(|b| about(&b.place)))
                {
                    because(ctx, finding, &limit.schedule.value, value.value);
                }
                if here {
                    finding.0.instead.clear();
                }
            }
        }
        out.found.append(&mut found);
    }
}

/// Gives a finding the schedule that a limit follows as a reason, with the value that is judged.
pub(crate) fn because(ctx: &Ctx<'_>, finding: &mut FindingBuilder, schedule: &Name, value: Quantity) {
    if let Some(found) = ctx.view.find::<Schedule>(schedule) {
        finding.because(found.head(), format!("`{schedule}` sets it to {value}"));
    }
}
