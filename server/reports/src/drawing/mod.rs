//! Drawings of a unit and of a job, from the plain data of `analysis::sheet::page`: the board of all units, a unit's
//! week with its calls, its year, the ladder of its limits.
//!
//! Each is a pure function that gives a piece of SVG or of HTML. Horizontal places are shares of the width, so that one
//! piece fits a narrow panel, a wide page and paper; what would not fit is left out by `drawing.css` (`need-…`).
//! Colours are custom properties with plain fallbacks: a page sets them, a drawing that stands alone needs none.
//! Colour never says anything by itself.

mod board;
mod dew_points;
mod ladder;
mod legend;
mod link;
mod marks;
mod page;
mod saved;
#[cfg(test)]
mod tests;
mod tracks;
mod what_if;
mod why;
mod words;
mod year;

mod headline;
mod measure;
mod week;

pub use link::{Link, link};
pub use page::{Pieces, pieces};
pub use saved::week_svg;

/// The looks of all drawings.
pub const STYLE: &str = include_str!("drawing.css");

/// How the pieces of a page are laid out.
pub const PAGE_STYLE: &str = include_str!("page.css");

pub(crate) use marks::escaped;

use analysis::sheet::UnitPage;
use serde_json::Value;

/// A unit's page for programs.
pub fn unit_json(page: &UnitPage<Link>) -> Value {
    serde_json::to_value(page).unwrap_or_default()
}
