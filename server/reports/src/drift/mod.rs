//! What a zone's air is predicted to do: in words, for programs, and as a picture.

mod json;
mod picture;
mod svg;
mod text;

pub use json::drift_json;
pub use svg::drift_svg;
pub use text::drift_text;

use analysis::Analysis;
use analysis::drift::{Prediction, ZoneDrift};
use model::{Name, View, Zone};
use std::sync::Arc;
use workspace::Workspace;

/// A zone with its prediction, and with those for half and twice the infiltration.
struct Predicted<'j> {
    zone: ZoneDrift<'j>,
    prediction: Arc<Prediction>,
    tight: Arc<Prediction>,
    leaky: Arc<Prediction>,
}

/// The prediction for a zone.
///
/// # Errors
/// Why there is none, in plain words.
fn predicted<'j>(view: &View<'j>, workspace: &Workspace, name: &str) -> Result<Predicted<'j>, String> {
    let memo = workspace.memo();
    let Some(found) = view.find::<Zone>(&Name::new(name)) else {
        let near = view.near(model::Kind::Zone, name);
        let hint = near.first().map_or_else(String::new, |near| format!("; did you mean `{near}`?"));
        return Err(format!("the job has no zone `{name}`{hint}"));
    };
    if analysis::drift::weather(view, memo).is_none() {
        if view.site_field("weather").is_some() {
            return Err(
                "the weather that the site names cannot be read; `drycall review` says why".to_owned()
            );
        }
        return Err(
            "there is no weather to predict by; name a TMY2, TMY3 or EPW file inside the job folder \
                    (`site: {weather: {file: …}}`), or a constant state (`dry-bulb` and `dew-point`)"
                .to_owned(),
        );
    }
    let over = Analysis::of_review(view, memo);
    let zone = over.and_then(|over| over.drift(found)).ok_or_else(|| {
        format!(
            "nothing can be predicted for `{name}`: no unit that dries serves it, or something about it \
             cannot be told; `drycall review` says more"
        )
    })?;
    // The equations refuse numbers that no room can have.
    zone.runs().map_err(|why| format!("nothing can be predicted for `{name}`: {why}"))?;
    let with = |times| {
        let prediction = zone.prediction_with(memo, times);
        prediction
            .ok_or_else(|| format!("nothing can be predicted for `{name}` at {times} times its infiltration"))
    };
    let (prediction, tight, leaky) = (with(1.0)?, with(0.5)?, with(2.0)?);
    if prediction.hours == 0 {
        return Err(format!(
            "nothing can be predicted for `{name}`: the weather has no hour of the review period"
        ));
    }
    Ok(Predicted { zone, prediction, tight, leaky })
}

impl Predicted<'_> {
    /// The weather in words: its file and station, or the constant state.
    fn weather(&self) -> String {
        let site = &self.zone.outdoors.weather;
        match &site.file {
            Some(file) => format!("{file} ({})", site.weather.station.name),
            None => site.weather.station.name.clone(),
        }
    }
}
