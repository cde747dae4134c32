//! `textDocument/inlayHint`: dew points behind relative humidity limits, hours a week behind schedules.

use super::hover;
use crate::context::Context;
use crate::convert;
use crate::entry_ranges::EntryRanges;
use analysis::hours_words;
use model::{Entry, Item, LimitKey, ModeLimits, Quantity, QuantityKind, Schedule, View, Zone};
use serde::{Deserialize, Serialize};
use syntax::NodeId;
use tower_lsp_server::ls_types as lsp;

/// Where the hover is that tells more of a hint.
#[derive(Serialize, Deserialize)]
struct More {
    uri: lsp::Uri,
    at: lsp::Position,
}

/// Words behind a byte of an entry, and the node that a hover tells more of.
struct Hint {
    words: String,
    behind: u32,
    about: NodeId,
}

/// The hints of the entries that a range touches.
pub(super) fn hints(context: &Context, range: lsp::Range) -> Option<Vec<lsp::InlayHint>> {
    let settings = context.client.settings;
    let encoding = context.client.abilities.encoding;
    let job = context.snapshot.workspace.job();
    let read = job.file(context.file)?;
    let uri = convert::file_uri(&context.snapshot, &context.client, context.file)?;
    let wanted = convert::span(read.file().text(), range, encoding);
    let first = read.file().piece_at(wanted.start).unwrap_or(0);
    let view = View::new(job);
    let mut hints = Vec::new();
    for (piece, id) in read.file().pieces().iter().zip(read.entries()).skip(first) {
        if piece.start > wanted.end {
            break;
        }
        let (Some(entry), Some(place)) = (job.entry(*id), EntryRanges::of(job, *id, encoding)) else {
            continue;
        };
        let found = match &entry.facts.item {
            Item::Schedule(schedule) if settings.hint_hours => hours(entry, schedule).into_iter().collect(),
            Item::Zone(zone) if settings.hint_dew_points => dew_points(&view, entry, zone),
            _ => Vec::new(),
        };
        for hint in found {
            let about = entry.part.span(hint.about);
            let more = More { uri: uri.clone(), at: place.range(&about).start };
            let late = context.client.abilities.late_tooltips;
            hints.push(lsp::InlayHint {
                position: place.range(&(hint.behind..hint.behind)).start,
                label: lsp::InlayHintLabel::String(hint.words),
                kind: None,
                text_edits: None,
                tooltip: if late { None } else { tooltip(hover::of_entry(context, *id, about.start)) },
                padding_left: Some(true),
                padding_right: None,
                data: serde_json::to_value(more).ok(),
            });
        }
    }
    Some(hints)
}

/// A hint with what a hover there tells.
pub(super) fn resolve(context: &Context, mut hint: lsp::InlayHint) -> lsp::InlayHint {
    let more = hint.data.clone().and_then(|data| serde_json::from_value::<More>(data).ok());
    hint.tooltip = more.and_then(|more| tooltip(hover::hover(context, more.at)));
    hint
}

fn tooltip(hover: Option<lsp::Hover>) -> Option<lsp::InlayHintTooltip> {
    match hover?.contents {
        lsp::HoverContents::Markup(text) => Some(lsp::InlayHintTooltip::MarkupContent(text)),
        _ => None,
    }
}

/// `45 h a week` behind the schedule's name.
fn hours(entry: &Entry, schedule: &Schedule) -> Option<Hint> {
    let part = &entry.part;
    let hours = hover::week_hours(schedule).filter(|_| !part.broken())?;
    let name = part.span(part.key_node());
    let colon = part.text().get(name.end as usize..).is_some_and(|behind| behind.starts_with(':'));
    let behind = name.end + u32::from(colon);
    Some(Hint { words: format!("{} a week", hours_words(hours)), behind, about: part.key_node() })
}

/// `dew point 51.1 °F to 57.4 °F` behind each relative humidity limit: from the driest to the most humid
/// that the mode's own setpoints and schedules make of it.
fn dew_points(view: &View<'_>, entry: &Entry, zone: &Zone) -> Vec<Hint> {
    let mut hints = Vec::new();
    for limits in zone.each_limits() {
        let setpoints = LimitKey::SETPOINTS.into_iter().flat_map(|key| values(view, limits, key));
        let Some((coolest, warmest)) = ends(setpoints) else { continue };
        for key in LimitKey::ALL.into_iter().filter(|key| !key.is_temperature()) {
            let written = limits.value(key).map(|limit| limit.at);
            let Some(at) = written.or_else(|| limits.followed(key).map(|followed| followed.at)) else {
                continue;
            };
            let relative = values(view, limits, key);
            let relative = relative.into_iter().filter(|value| value.is(QuantityKind::RelativeHumidity));
            let Some((driest, dampest)) = ends(relative) else { continue };
            let mut each: Vec<String> = [(coolest, driest), (warmest, dampest)]
                .into_iter()
                .filter_map(|(setpoint, limit)| hover::dew_point_at(setpoint, limit))
                .collect();
            each.dedup();
            if !each.is_empty() {
                let words = format!("dew point {}", each.join(" to "));
                hints.push(Hint { words, behind: entry.part.span(at).end, about: at });
            }
        }
    }
    hints
}

/// All that a limit can be: the one value that is written, or those of the schedule that it follows.
fn values(view: &View<'_>, limits: &ModeLimits, key: LimitKey) -> Vec<Quantity> {
    if let Some(written) = limits.value(key) {
        return vec![written.value];
    }
    let Some(followed) = limits.followed(key) else { return Vec::new() };
    let Some(schedule) = view.find::<Schedule>(&followed.schedule.value) else { return Vec::new() };
    let values = schedule.is.states.iter().filter_map(|state| state.quantity);
    values.filter(|value| followed.takes(*value)).collect()
}

/// The least and the greatest.
fn ends(values: impl Iterator<Item = Quantity>) -> Option<(Quantity, Quantity)> {
    let mut values: Vec<Quantity> = values.collect();
    values.sort_by(|a, b| a.si().total_cmp(&b.si()));
    Some((*values.first()?, *values.last()?))
}
