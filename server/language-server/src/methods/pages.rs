//! The pages behind commands: a check's page, a unit's logic chart and week, a job's review.

use crate::client_handle::ClientHandle;
use crate::convert;
use crate::shared::JobState;
use calendar::Date;
use checks::Severity;
use reports::{Form, Review};
use serde_json::{Value, json, to_value};

/// A page, or why there is none, in words for the user.
pub(crate) type Page = Result<Value, String>;

/// `drycall.explain`: a check's page, as Markdown.
pub(super) fn explain(check: &str) -> Page {
    let found = checks::find(check).ok_or_else(|| format!("there is no check `{check}`"))?;
    Ok(Value::String(reports::check_page(found)))
}

/// `drycall.chart`: a unit's logic chart, as text to show and as data, `{text, chart}`.
pub(super) fn chart(state: &JobState, unit: &str) -> Page {
    let chart = state.workspace.chart(unit).ok_or_else(|| no_unit(unit))?;
    Ok(json!({"text": reports::chart_text(&chart), "chart": reports::chart_json(&chart)}))
}

/// `drycall.week`: a [`Week`](analysis::sheet::Week), of which a place is a `Location` of the protocol.
pub(super) fn week(state: &JobState, client: &ClientHandle, unit: &str, from: Option<Date>) -> Page {
    let locate = |place: &model::Place| convert::location(state, client, place.entry, &place.spot);
    let week = state.workspace.week(unit, from, &locate).ok_or_else(|| no_unit(unit))?;
    to_value(week).map_err(|why| why.to_string())
}

/// `drycall.review`: the review report of a job, as text.
pub(super) fn review(state: &JobState) -> Value {
    let mut text = String::new();
    let put = |piece: &str| {
        text.push_str(piece);
        Ok(())
    };
    // Nothing fails where nothing is written.
    let form = Form { width: Form::WIDTH, coloured: false, from: Severity::Note, reasons: true };
    let _ = reports::review_lines(&Review::of(&state.workspace), "", &form, put);
    Value::String(text)
}

fn no_unit(unit: &str) -> String {
    format!("the job has no unit `{unit}` of a known type")
}
