//! What a zone's air does over a period, above all while nothing may dry it. A prediction from
//! weather of a typical year and from assumptions that are printed: it proves nothing, unlike a verdict.

mod hours;
mod outdoors;
mod prediction;
mod requirement;
mod room;
mod zone;

pub use hours::{Conditioning, HourKind};
pub use outdoors::{Outdoors, SiteWeather, read_weather, weather};
pub use prediction::{Prediction, SurfacePeak, WorstGap, WorstHour};
pub use requirement::{HumidityCriterion, humidity_criteria};
pub use room::{Room, Taken, room};
pub use zone::{DriftRun, ZoneDrift};
