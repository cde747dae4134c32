//! `site:` — each of its fields is an entry of its own, so that sites merge across files.

use super::limits::{self, OwnLimit};
use super::reader::{Reader, shortened};
use super::section::Section;
use crate::fields::{Field, ValueShape, free, needed};
use crate::names::{Name, Written};
use crate::quantity::{Quantity, QuantityKind};
use jiff::civil::Date;
use syntax::NodeId;

const FIELDS: &[Field] = &[
    needed("name", ValueShape::Text, "the site's name, for reports"),
    needed(
        "time-zone",
        ValueShape::Text,
        "the IANA time zone that schedules run in, like `America/New_York`",
    ),
    free(
        "review",
        ValueShape::Fields(REVIEW),
        "the period every verdict is about; a year from 1 January 2027 when left out",
    ),
    free("weather", ValueShape::Fields(WEATHER), "a weather file of the job, or a constant design state"),
    free("altitude", ValueShape::Quantity("20 ft"), "height above sea level, for air pressure"),
    free(
        "limits",
        ValueShape::Fields(limits::FIELDS),
        "published limits to hold setpoints against, where the local value differs",
    ),
    free(
        "point-name",
        ValueShape::Text,
        "the pattern a point's name must follow: letters as they stand, `#` a digit, `@` a letter, `*` anything",
    ),
];

const REVIEW: &[Field] = &[
    needed("from", ValueShape::Date, "the first day of the review period"),
    free("days", ValueShape::Whole(1, MOST_DAYS), "its length in days; 365 when left out"),
];

const WEATHER: &[Field] = &[
    free("file", ValueShape::Text, "a TMY2, TMY3 or EPW file inside the job folder"),
    free("dry-bulb", ValueShape::Quantity("30 °C"), "a constant outdoor dry-bulb temperature"),
    free("dew-point", ValueShape::Quantity("25 °C"), "a constant outdoor dew point"),
];

/// Ten years: verdicts beyond that are about another building.
const MOST_DAYS: u64 = 3660;

/// One field of `site:`.
#[derive(Clone, PartialEq, Debug)]
pub enum SiteField {
    /// The site's name.
    Name(Written<Name>),
    /// The IANA time zone as written; whether it exists is for a check to say.
    TimeZone(Written<Name>),
    /// The review period: first day, number of days.
    Review(ReviewPeriod),
    /// Weather to predict by.
    Weather(WeatherSetting),
    /// Height above sea level.
    Altitude(Written<Quantity>),
    /// Local limits in place of the published ones.
    Limits(Vec<OwnLimit>),
    /// The pattern of point names.
    PointName(Written<Name>),
}

/// The period every verdict is about.
#[derive(Clone, PartialEq, Debug)]
pub struct ReviewPeriod {
    /// First day, local.
    pub from: Option<Written<Date>>,
    /// Number of days.
    pub days: u32,
}

/// A weather file, or a constant state.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct WeatherSetting {
    /// File inside the job folder.
    pub file: Option<Written<Name>>,
    /// Constant dry bulb.
    pub dry_bulb: Option<Written<Quantity>>,
    /// Constant dew point.
    pub dew_point: Option<Written<Quantity>>,
}

impl Section for SiteField {
    const ENTRY: ValueShape = ValueShape::Fields(FIELDS);

    fn lower(r: &mut Reader<'_>) -> Option<SiteField> {
        lower(r)
    }
}

fn lower(r: &mut Reader<'_>) -> Option<SiteField> {
    let (key, value) = (r.part.key()?, r.part.value());
    Some(match key {
        "name" => SiteField::Name(r.name(value, "the site's name")?),
        "time-zone" => {
            let zone = r.name(value, "an IANA time zone like `America/New_York`")?;
            if jiff::tz::TimeZone::get(&zone.value).is_err() {
                r.unfit(
                    value,
                    format!(
                        "`{}` is not an IANA time zone. Write one like `America/New_York`.",
                        shortened(&zone.value)
                    ),
                );
                return None;
            }
            SiteField::TimeZone(zone)
        }
        "review" => {
            let f = r.fields(value, REVIEW, "`review`");
            let from = f.get("from").and_then(|n| Some(Written::new(r.date(n)?, n)));
            let days = f.get("days").and_then(|n| r.whole(n, 1, MOST_DAYS, "`days`"));
            let days = days.map_or(DAYS, |d| d as u32);
            if let Some(first) = from.as_ref().filter(|first| !ends_in_time(first.value, days)) {
                let message = format!(
                    "{days} days from `{}` run past the last date there is. Write a date like `2027-01-01`.",
                    first.value
                );
                r.unfit(first.at, message);
            }
            SiteField::Review(ReviewPeriod { from, days })
        }
        "weather" => SiteField::Weather(weather(r, value)),
        "altitude" => {
            let ends = super::zone::ALTITUDES;
            SiteField::Altitude(r.quantity_within(value, &[QuantityKind::Length], "20 ft", ends)?)
        }
        "limits" => SiteField::Limits(limits::lower(r, value)),
        "point-name" => SiteField::PointName(r.name(value, "a pattern like `@@#-*`")?),
        other => {
            let at = r.part.key_node();
            r.unknown_key(at, other, FIELDS.iter().map(|f| f.key), Some("`site`"));
            return None;
        }
    })
}

/// Whether a period, and the day after it, lie within the years that dates are written in.
fn ends_in_time(first: jiff::civil::Date, days: u32) -> bool {
    use jiff::ToSpan;
    // Local time is up to a day off.
    first.checked_add((i64::from(days) + 2).days()).is_ok()
}

/// Beyond the lowest and the highest air temperature on record (World Meteorological Organization).
const OUTDOORS: (&str, &str) = ("-90 °C", "60 °C");

fn weather(r: &mut Reader<'_>, node: NodeId) -> WeatherSetting {
    let f = r.fields(node, WEATHER, "`weather`");
    let t = [QuantityKind::Temperature];
    let weather = WeatherSetting {
        file: f.get("file").and_then(|n| r.name(n, "a file name")),
        dry_bulb: f.get("dry-bulb").and_then(|n| r.quantity_within(n, &t, "30 °C", OUTDOORS)),
        dew_point: f.get("dew-point").and_then(|n| r.quantity_within(n, &t, "25 °C", OUTDOORS)),
    };
    if let Some(file) = &weather.file {
        r.imports.push(file.value.clone());
    }
    let state = [f.get("dry-bulb"), f.get("dew-point")];
    match (f.get("file"), state) {
        (Some(_), [Some(at), _] | [_, Some(at)]) => r.unfit(
            at,
            "`weather` has both a `file` and a constant state, and only the file is used. Delete the constant state.",
        ),
        (None, [Some(at), None] | [None, Some(at)]) => r.unfit(
            at,
            "Constant weather needs both `dry-bulb` and `dew-point`. Write the other one, too.",
        ),
        _ => {}
    }
    if let (Some(dry_bulb), Some(dew_point)) = (&weather.dry_bulb, &weather.dew_point)
        && dew_point.value.si() > dry_bulb.value.si()
    {
        r.unfit(
            dew_point.at,
            format!(
                "The dew point of `{}` is above the dry bulb of `{}`, and no air is like that. Correct one of them.",
                dew_point.value, dry_bulb.value
            ),
        );
    }
    weather
}

/// Length of the review period when none is written: a year.
pub const DAYS: u32 = 365;
