//! How a review is shown.

use checks::Severity;

/// How a review is shown to people.
#[derive(Clone, Copy, Debug)]
pub struct Form {
    /// Columns of the window.
    pub width: usize,
    /// Whether it shows colours.
    pub coloured: bool,
    /// What is less severe is left out.
    pub from: Severity,
    /// Whether the lines of a unit type's logic are shown among the reasons.
    pub reasons: bool,
}

impl Form {
    /// Columns of a window whose width is not known.
    pub const WIDTH: usize = 100;
}
