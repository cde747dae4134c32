//! `drycall.explain`: a check's page, as Markdown.

use super::command::Done;
use serde_json::Value;

pub(crate) fn explain(check: &str) -> Done {
    let found = checks::find(check).ok_or_else(|| format!("there is no check `{check}`"))?;
    Ok(Value::String(reports::check_page(found)))
}
