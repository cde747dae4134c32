//! `textDocument/codeLens`: above each unit and zone, the hours in which it can dehumidify, or be dried.
//!
//! Which entries have a lens is quick to tell; what it says is worked out when the client shows it.

use crate::context::Context;
use crate::convert;
use analysis::sheet::page::yields_over_period;
use analysis::{Analysis, Gap, UnitAnalysis, can_dry, drying_units, hours_words, moment_words};
use calendar::Period;
use model::{Call, EntryId, Found, Item, Name, Service, Unit, UnitType, View, Wiring, Zone};
use serde::{Deserialize, Serialize};
use serde_json::json;
use tower_lsp_server::ls_types as lsp;

/// What a lens is about, from when it is given until it is resolved.
#[derive(Serialize, Deserialize)]
struct About {
    uri: lsp::Uri,
    of: Of,
    name: String,
}

#[derive(Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Of {
    Unit,
    Zone,
}

/// The client's command that shows a unit's week.
const SHOW_WEEK: &str = "drycall.showWeek";

/// The lenses of a document, without words.
pub(super) fn lenses(context: &Context) -> Option<Vec<lsp::CodeLens>> {
    if !context.client.settings.lens_hours {
        return None;
    }
    let state = &context.snapshot;
    let job = state.workspace.job();
    let view = View::new(job);
    let uri = convert::file_uri(state, &context.client, context.file)?;
    let lens = |id: &EntryId| {
        let entry = job.entry(*id)?;
        let of = match &entry.facts.item {
            Item::Unit(unit) if can_dry(&view, unit) && !is_half_wired(&view, unit) => Of::Unit,
            Item::Zone(_) => {
                let units = drying_units(&view, view.as_found(*id)?);
                if units.is_empty() || units.iter().any(|unit| is_half_wired(&view, unit.is)) {
                    return None;
                }
                Of::Zone
            }
            _ => return None,
        };
        let about = About { uri: uri.clone(), of, name: entry.part.key()?.to_owned() };
        let range = convert::range(state, &context.client, *id, &entry.part.key_node().into())?;
        Some(lsp::CodeLens { range, command: None, data: serde_json::to_value(about).ok() })
    };
    Some(job.file(context.file)?.entries().iter().filter_map(lens).collect())
}

/// Whether the dehumidify call of a unit is not wired yet, nor left out on purpose: what it can do is not decided.
fn is_half_wired(view: &View<'_>, unit: &Unit) -> bool {
    let call = Call::Dehumidify.name();
    let unit_type: Option<Found<'_, UnitType>> = unit.type_.as_ref().and_then(|t| view.find(&t.value));
    let wiring = unit.wiring(call).map(|(_, wiring)| &wiring.value);
    unit_type.is_some_and(|t| t.is.input(call).is_some()) && matches!(wiring, None | Some(Wiring::Unreadable))
}

/// A lens with its words; as it came where what it is about is gone.
pub(super) fn resolve(context: &Context, mut lens: lsp::CodeLens) -> lsp::CodeLens {
    let about = lens.data.clone().and_then(|data| serde_json::from_value::<About>(data).ok());
    lens.command = about.and_then(|about| command(context, &about));
    lens
}

/// The words, with the week of the unit behind them where the client can show it. Without a command's name, clients
/// show the words and nothing to press.
fn command(context: &Context, about: &About) -> Option<lsp::Command> {
    let workspace = &context.snapshot.workspace;
    let view = View::new(workspace.job());
    let over = Analysis::of_review(&view, workspace.memo())?;
    let name = Name::new(&about.name);
    let (unit, title) = match about.of {
        Of::Unit => {
            let unit: Found<'_, Unit> = view.find(&name)?;
            (unit, of_unit(&over.unit(unit)?))
        }
        Of::Zone => of_zone(&view, &over, view.find(&name)?)?,
    };
    if !context.client.abilities.shows_weeks {
        return Some(lsp::Command { title, command: String::new(), arguments: None });
    }
    let argument = json!({"uri": about.uri, "unit": unit.name()});
    Some(lsp::Command { title, command: SHOW_WEEK.to_owned(), arguments: Some(vec![argument]) })
}

fn of_unit(analysis: &UnitAnalysis<'_>) -> String {
    let drying = Service::Dehumidification.name();
    if analysis.left_out_on_purpose(Call::Dehumidify.name()) {
        return format!("{drying}: left out on purpose");
    }
    let verdict = analysis.verdict(&Name::new_static(drying));
    let yields = yields_over_period(analysis, drying);
    words(drying, &analysis.period, verdict.hours, verdict.longest_gap, &yields)
}

/// The words of a zone, and the unit whose week is behind them. What several units yield to is not one answer.
fn of_zone<'j>(
    view: &View<'j>,
    over: &Analysis<'_, 'j>,
    zone: Found<'j, Zone>,
) -> Option<(Found<'j, Unit>, String)> {
    let dried = over.zone_drying(zone)?;
    let drying = Service::Dehumidification.name();
    let units = drying_units(view, zone);
    let first = *units.first()?;
    let (what, yields) = match units.as_slice() {
        [only] => (drying.to_owned(), yields_over_period(&over.unit(*only)?, drying)),
        several => (format!("{drying} by any of {} units", several.len()), String::new()),
    };
    Some((first, words(&what, &dried.period, dried.hours, dried.longest_gap, &yields)))
}

/// `dehumidification: 45.1 h a week, yields to cooling; longest gap 63 h from Fri May 28 17:00`, and
/// `✕ dehumidification: never`.
fn words(what: &str, period: &Period, hours: Option<f64>, longest_gap: Option<Gap>, yields: &str) -> String {
    let Some(hours) = hours else { return format!("{what}: not proven") };
    if hours == 0.0 {
        return format!("✕ {what}: never");
    }
    let but = |word: &str| if yields.is_empty() { String::new() } else { format!(",{word} {yields}") };
    let Some(gap) = longest_gap else { return format!("{what}: at any hour{}", but(" but")) };
    let yields = but("");
    let weekly = hours * 168.0 / period.hours();
    format!(
        "{what}: {weekly:.1} h a week{yields}; longest gap {} from {}",
        hours_words(gap.hours()),
        moment_words(period, gap.from)
    )
}
