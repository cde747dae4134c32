//! What a zone's air is predicted to do: in words, for programs, and as a picture.

mod json;
mod svg;
mod text;

pub use json::drift_json;
pub use svg::drift_svg;
pub use text::drift_text;
