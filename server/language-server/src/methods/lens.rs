//! `textDocument/codeLens`: above each unit and zone, the hours in which it can dehumidify, or be dried.
//!
//! Which entries have a lens is quick to tell; what it says is worked out when the client shows it.

use crate::context::Context;
use crate::convert;
use analysis::{Analysis, Gap, can_dry, drying_units, hours_words, moment_words, share_words};
use calendar::Period;
use model::{Call, EntryId, Found, Item, Name, Service, Unit, View, Zone};
use serde::{Deserialize, Serialize};
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
            Item::Unit(unit) if can_dry(&view, unit) => Of::Unit,
            Item::Zone(_) if !drying_units(&view, view.as_found(*id)?).is_empty() => Of::Zone,
            _ => return None,
        };
        let about = About { uri: uri.clone(), of, name: entry.part.key()?.to_owned() };
        let range = convert::range(state, &context.client, *id, &entry.part.key_node().into())?;
        Some(lsp::CodeLens { range, command: None, data: serde_json::to_value(about).ok() })
    };
    Some(job.file(context.file)?.entries().iter().filter_map(lens).collect())
}

/// A lens with its words; as it came where what it is about is gone.
pub(super) fn resolve(context: &Context, mut lens: lsp::CodeLens) -> lsp::CodeLens {
    let about = lens.data.clone().and_then(|data| serde_json::from_value::<About>(data).ok());
    let title = about.and_then(|about| title(context, &about));
    // Without a command's name, clients show the words and nothing to press.
    lens.command = title.map(|title| lsp::Command { title, command: String::new(), arguments: None });
    lens
}

fn title(context: &Context, about: &About) -> Option<String> {
    let workspace = &context.snapshot.workspace;
    let view = View::new(workspace.job());
    let over = Analysis::of_review(&view, workspace.memo())?;
    let name = Name::new(&about.name);
    let drying = Service::Dehumidification.name();
    match about.of {
        Of::Unit => {
            let unit: Found<'_, Unit> = view.find(&name)?;
            let analysis = over.unit(unit)?;
            if analysis.left_out_on_purpose(Call::Dehumidify.name()) {
                return Some(format!("{drying}: left out on purpose"));
            }
            let verdict = analysis.verdict(&Name::new_static(drying));
            Some(words(drying, &analysis.period, verdict.hours, verdict.longest_gap))
        }
        Of::Zone => {
            let zone: Found<'_, Zone> = view.find(&name)?;
            let dried = over.zone_drying(zone)?;
            let units = drying_units(&view, zone).len();
            let any = format!("{drying} by any of {units} units");
            let what = if units == 1 { drying } else { &any };
            Some(words(what, &dried.period, dried.hours, dried.longest_gap))
        }
    }
}

/// `dehumidification: 2,345 of 8,760 h (27 %), about 45 h a week; longest gap 63 h from Fri May 28 17:00`.
fn words(what: &str, period: &Period, hours: Option<f64>, longest_gap: Option<Gap>) -> String {
    let Some(hours) = hours else { return format!("{what}: not proven") };
    let Some(gap) = longest_gap else { return format!("{what}: at any hour") };
    if hours == 0.0 {
        return format!("{what}: never");
    }
    let weekly = hours * 168.0 / period.hours();
    format!(
        "{what}: {}, about {weekly:.0} h a week; longest gap {} from {}",
        share_words(hours, period.hours()),
        hours_words(gap.hours()),
        moment_words(period, gap.from)
    )
}
