//! What a review shows, in every form, from the same findings and verdicts. Recomputes nothing.

mod chart;
pub mod drawing;
mod drift;
mod explain;
mod form;
mod hours;
mod json;
mod paint;
mod requirements;
mod review;
mod table;
mod terminal;
#[cfg(test)]
mod tests;
mod text;
mod words;

pub use chart::{chart_json, chart_text};
pub use drift::{drift_json, drift_svg, drift_text};
pub use explain::{EXAMPLE, check_page, contents, explain, message_list};
pub use form::Form;
pub use hours::hours_text;
pub use json::review_json;
pub use requirements::{Kept, RequirementLine};
pub use review::{FileSpan, FindingLine, RepairLine, Review, UnitLine};
pub use terminal::review_window;
pub use text::review_lines;
