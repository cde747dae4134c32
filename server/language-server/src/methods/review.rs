//! `drycall.review`: the review report of a job, as text.

use crate::shared::Held;
use checks::Severity;
use reports::Review;
use serde_json::Value;

pub(super) fn review(held: &Held) -> Value {
    let mut text = String::new();
    let put = |piece: &str| {
        text.push_str(piece);
        Ok(())
    };
    // Nothing fails where nothing is written.
    let _ = reports::review_text(&Review::of(&held.workspace), "", Severity::Note, false, put);
    // What a job names may hold codes of its own.
    Value::String(anstream::adapter::strip_str(&text).to_string())
}
