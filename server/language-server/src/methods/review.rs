//! `drycall.review`: the review report of a job, as text.

use crate::shared::Held;
use checks::Severity;
use reports::Review;
use serde_json::Value;

pub(super) fn review(held: &Held) -> Value {
    let text = reports::review_text(&Review::of(&held.workspace), "", Severity::Note);
    Value::String(anstream::adapter::strip_str(&text).to_string())
}
