//! `drycall.chart`: a unit's logic chart, as text to show and as data.

use super::command::{Done, no_unit};
use crate::shared::Held;
use serde_json::json;

/// `{text, chart}`.
pub(super) fn chart(held: &Held, unit: &str) -> Done {
    let text = reports::chart_text(&held.workspace, unit).ok_or_else(|| no_unit(unit))?;
    Ok(json!({"text": text, "chart": reports::chart_json(&held.workspace, unit)}))
}
