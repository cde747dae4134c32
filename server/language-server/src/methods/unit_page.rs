//! `drycall.unit`: a unit's page in pieces for whoever places them, as the job is or as it would be with some facts
//! otherwise. Nothing is written.

use super::pages::Page;
use crate::client_handle::ClientHandle;
use crate::convert;
use crate::shared::JobState;
use analysis::sheet::UnitPage;
use calendar::Date;
use checks::Supposed;
use model::{Name, Place, Unit, View};
use reports::drawing::{Link, link, pieces};
use serde::Deserialize;
use serde_json::{json, to_value};
use syntax::Encoding;
use workspace::Overlay;

/// What is asked of a unit.
pub(crate) struct UnitPageQuery {
    pub(super) unit: String,
    pub(super) service: Option<String>,
    pub(super) week: Option<Date>,
    pub(super) suppose: Vec<Suppose>,
}

/// A fact that is to be otherwise, as it comes: `{of: option, name, value}`, `{of: input, name, value: on}`.
#[derive(Deserialize, Clone)]
pub(crate) struct Suppose {
    of: Of,
    name: String,
    value: String,
}

#[derive(Deserialize, Clone, Copy)]
#[serde(rename_all = "kebab-case")]
enum Of {
    Option,
    Input,
}

/// The pieces, with `at`, where the unit is written, in the terms of the protocol.
pub(super) fn unit_page(state: &JobState, client: &ClientHandle, asked: UnitPageQuery) -> Page {
    let UnitPageQuery { unit, service, week, suppose } = asked;
    let workspace = &state.workspace;
    let locate = |place: &Place| {
        let go = convert::location(state, client, place.entry, &place.spot)?;
        Some(Link { go: serde_json::to_string(&go).ok(), ..link(workspace, place)? })
    };
    let written = workspace.unit_page(&unit, service.as_deref(), week, &locate)?;
    let first: Option<Date> = written.week.from.parse().ok();
    let board = first.and_then(|first| workspace.board(&written.service, first, &locate));
    let made = if suppose.is_empty() {
        pieces(&written, board.as_ref(), None)
    } else {
        let facts: Vec<Supposed> = suppose.iter().map(supposed).collect::<Result<_, _>>()?;
        let overlay = workspace.supposing(&unit, &facts)?;
        let locate = |place: &Place| line(&overlay, place);
        let service = Some(written.service.as_str());
        let page = overlay.look(|over| UnitPage::of(over, &unit, service, first, &locate));
        let page = page.ok_or_else(|| "the job has no review period that can be told".to_owned())??;
        let words: Vec<String> = suppose.iter().map(in_words).collect();
        pieces(&page, board.as_ref(), Some((&words.join(" and "), &written)))
    };
    let view = View::new(workspace.job());
    let found = view.find::<Unit>(&Name::new(&unit));
    let at = found.and_then(|found| {
        let place = found.head();
        convert::location(state, client, place.entry, &place.spot)
    });
    let lines = found.map(|found| found.entry.part.text().lines().count());
    Ok(json!({"at": at, "lines": lines, "pieces": to_value(made).map_err(|why| why.to_string())?}))
}

fn supposed(one: &Suppose) -> Result<Supposed, String> {
    let name = one.name.clone();
    Ok(match (one.of, one.value.as_str()) {
        (Of::Option, choice) => Supposed::Option { name, choice: choice.to_owned() },
        (Of::Input, "on") => Supposed::Input { name, on: true },
        (Of::Input, "off") => Supposed::Input { name, on: false },
        (Of::Input, other) => return Err(format!("an input is supposed `on` or `off`, not `{other}`")),
    })
}

fn in_words(one: &Suppose) -> String {
    let tied = match one.of {
        Of::Option => "",
        Of::Input => "tied ",
    };
    format!("`{}` were `{tied}{}`", one.name, one.value)
}

/// A line of what is not written: to be read, and not to be gone to.
fn line(overlay: &Overlay<'_>, place: &Place) -> Option<Link> {
    let (file, range) = overlay.job().span(place.entry, &place.spot)?;
    let file = overlay.job().file(file)?;
    let start = file.file().text().position(range.start, Encoding::Utf32);
    Some(Link { file: file.path.clone(), line: start.line + 1, go: None })
}
