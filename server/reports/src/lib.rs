//! What a review shows, in every form, from the same findings and verdicts. Recomputes nothing.

mod chart;
pub mod drawing;
mod drift;
mod hours;
mod json;
mod page;
mod review;
mod table;
#[cfg(test)]
mod tests;
mod text;

pub use chart::{chart_json, chart_text};
pub use drift::{drift_json, drift_svg, drift_text};
pub use hours::hours_text;
pub use json::review_json;
pub use page::{check_list, check_page};
pub use review::{FileSpan, FindingLine, RepairLine, Review, UnitLine};
pub use text::review_text;
