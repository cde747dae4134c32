//! Outdoor air for the hours of a period.

use crate::analysis::Analysis;
use crate::memo::{KeyPart, Memo, MemoKey};
use crate::same::Same;
use air::weather::{HourOfYear, Weather};
use air::{Celsius, Metre, MoistAir, Pascal};
use calendar::{LocalTime, Period};
use model::{Name, SiteField, View};
use std::sync::{Arc, OnceLock};

/// A site's weather.
pub struct SiteWeather {
    pub weather: Weather,
    /// The file it was read from; nothing for a constant state.
    pub file: Option<model::Name>,
}

/// Outdoor air for every hour of the period from its start on, as far as the weather has it.
pub struct Outdoors {
    /// Where it is from.
    pub weather: Arc<SiteWeather>,
    hours: Vec<MoistAir>,
    /// First hour and length of each run of hours without a gap; the runs' air stands in `hours` one
    /// after the other.
    runs: Vec<(usize, usize)>,
    /// Hours of the period without a reading.
    pub missing: Vec<HourOfYear>,
}

/// What weather is made from.
#[derive(PartialEq, Eq, Hash)]
enum Source {
    /// A file; its text is long, and known by its identity.
    File(Name, Same<str>),
    /// A state that is the same at every hour: dry bulb, dew point and pressure, to the bit.
    Constant([u64; 3]),
}

/// A place for what is worked out by the first who asks while all others wait: a thousand zones ask at once, and one
/// reading is enough.
type Once<T> = Arc<OnceLock<Arc<T>>>;

impl MemoKey for Source {
    type Answer = Once<SiteWeather>;
    const MOST: usize = 4;

    fn rests_on(&self, part: &mut dyn FnMut(KeyPart)) {
        if let Source::File(_, text) = self {
            part(KeyPart { holders: text.holders(), held: 1 });
        }
    }
}

impl Source {
    fn weather(self, memo: &Memo, read: impl FnOnce() -> SiteWeather) -> Arc<SiteWeather> {
        memo.of(self, |_| Once::default()).get_or_init(|| Arc::new(read())).clone()
    }
}

/// The weather that the site names, if it can be read.
pub fn weather(view: &View<'_>, memo: &Memo) -> Option<Arc<SiteWeather>> {
    let (_, SiteField::Weather(weather)) = view.site_field("weather")? else { return None };
    if let Some(file) = &weather.file {
        let text = view.import(&file.value)?.as_ref().ok()?;
        return Some(read_weather(memo, &file.value, text));
    }
    let celsius = |q: &Option<model::Written<model::Quantity>>| Some(Celsius(q.as_ref()?.value.si()));
    let (dry_bulb, dew_point) = (celsius(&weather.dry_bulb)?, celsius(&weather.dew_point)?);
    let pressure = Pascal::at_altitude(altitude(view)).unwrap_or(Pascal::STANDARD);
    let air = MoistAir::from_dew_point(dry_bulb, dew_point, pressure).ok()?;
    let source = Source::Constant([dry_bulb.0, dew_point.0, pressure.0].map(f64::to_bits));
    Some(source.weather(memo, || SiteWeather { weather: Weather::constant(air), file: None }))
}

/// A weather file, read once.
pub fn read_weather(memo: &Memo, file: &Name, text: &Arc<str>) -> Arc<SiteWeather> {
    let read = || SiteWeather { weather: Weather::read(text.as_bytes()), file: Some(file.clone()) };
    Source::File(file.clone(), Same::of(text)).weather(memo, read)
}

/// Height of the site above sea level; sea level where it says none.
pub(crate) fn altitude(view: &View<'_>) -> Metre {
    match view.site_field("altitude") {
        Some((_, SiteField::Altitude(altitude))) => Metre(altitude.value.si()),
        _ => Metre(0.0),
    }
}

/// Weather over a period.
#[derive(PartialEq, Eq, Hash)]
struct Hourly {
    weather: Same<SiteWeather>,
    over: Same<Period>,
}

impl MemoKey for Hourly {
    type Answer = Once<Outdoors>;
    const MOST: usize = 4;

    fn rests_on(&self, part: &mut dyn FnMut(KeyPart)) {
        // The answer holds its weather too.
        part(KeyPart { holders: self.weather.holders(), held: 2 });
    }
}

impl Analysis<'_, '_> {
    /// Outdoor air over the period; nothing without weather.
    pub fn outdoors(&self) -> Option<Arc<Outdoors>> {
        let weather = weather(self.view, self.memo)?;
        let hourly = Hourly { weather: Same::of(&weather), over: Same::of(&self.over) };
        let once = self.memo.of(hourly, |_| Once::default());
        Some(once.get_or_init(|| Arc::new(Outdoors::over(weather, &self.over))).clone())
    }
}

impl Outdoors {
    fn over(weather: Arc<SiteWeather>, period: &Period) -> Outdoors {
        let (mut hours, mut runs, mut missing) = (Vec::new(), Vec::<(usize, usize)>::new(), Vec::new());
        for (n, hour) in hours_of_year(period, weather.weather.station.hours_from_utc).enumerate() {
            let Some(air) = weather.weather.at(hour) else {
                missing.push(hour);
                continue;
            };
            hours.push(air);
            match runs.last_mut() {
                Some((first, length)) if *first + *length == n => *length += 1,
                _ => runs.push((n, 1)),
            }
        }
        Outdoors { weather, hours, runs, missing }
    }

    /// Runs of hours without a gap, each from its first hour of the period on.
    pub fn runs(&self) -> impl Iterator<Item = (usize, &[MoistAir])> {
        self.runs.iter().scan(0, |before, (first, length)| {
            let air = self.hours.get(*before..*before + length).unwrap_or(&[]);
            *before += length;
            Some((*first, air))
        })
    }

    /// How many hours of the period have a reading.
    pub fn known(&self) -> usize {
        self.hours.len()
    }
}

/// The hours of a typical year that those of a period are, in local standard time: of the station, or
/// of the period's zone.
fn hours_of_year(period: &Period, station: Option<f64>) -> impl Iterator<Item = HourOfYear> {
    const HOUR: i64 = 3600;
    let count = (period.end() - period.start()) / HOUR;
    let ahead = |instant| period.local(instant).map(|local| local_seconds(local) - instant);
    let changes = period.clock_changes().iter().filter_map(|change| ahead(change.at));
    let zone = ahead(period.start()).into_iter().chain(changes).min().unwrap_or(0);
    let ahead = station.map_or(zone, |hours| (hours * 3600.0) as i64);
    // Weather of a standard time that is no whole number of hours off is taken by the nearest hour.
    let first = (period.start() + ahead + HOUR / 2).div_euclid(HOUR);
    (first..first + count).filter_map(|hour| {
        let (month, day) = month_and_day(hour.div_euclid(24));
        HourOfYear::new(month, day, hour.rem_euclid(24) as u8)
    })
}

/// Seconds that the wall clock shows, counted from 1970 as if it were universal time.
fn local_seconds(local: LocalTime) -> i64 {
    let (year, month) = (i64::from(local.date.year()), i64::from(local.date.month()));
    // Days since 1970: the civil calendar counted from March, so that leap days come last.
    let (year, month) = if month > 2 { (year, month - 3) } else { (year - 1, month + 9) };
    let days = 365 * year + year.div_euclid(4) - year.div_euclid(100) + year.div_euclid(400);
    let days = days + (153 * month + 2) / 5 + i64::from(local.date.day()) - 719_469;
    days * 86_400 + i64::from(local.minute) * 60
}

/// Month and day of a day since 1970; the other way round.
fn month_and_day(days: i64) -> (u8, u8) {
    let shifted = days + 719_468;
    let in_era = shifted.rem_euclid(146_097);
    let year = (in_era - in_era / 1460 + in_era / 36_524 - in_era / 146_096) / 365;
    let in_year = in_era - (365 * year + year / 4 - year / 100);
    let month = (5 * in_year + 2) / 153;
    let day = in_year - (153 * month + 2) / 5 + 1;
    (((month + 2) % 12 + 1) as u8, day as u8)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn a_year_of_summer_time_runs_through_every_hour_of_standard_time() {
        let period = Period::new("America/New_York", "2027-01-01".parse().unwrap(), 365).unwrap();
        let hours: Vec<HourOfYear> = hours_of_year(&period, None).collect();
        assert_eq!(hours, HourOfYear::all().collect::<Vec<_>>());
        // From a day in June: midnight of the wall clock is an hour earlier by standard time.
        let june = Period::new("America/New_York", "2028-06-01".parse().unwrap(), 365).unwrap();
        assert_eq!(hours_of_year(&june, None).next(), HourOfYear::new(5, 31, 23));
        assert_eq!(hours_of_year(&june, Some(-4.0)).next(), HourOfYear::new(6, 1, 0));
    }

    #[test]
    fn a_leap_day_takes_the_day_before() {
        let leap = Period::new("UTC", "2028-02-28".parse().unwrap(), 3).unwrap();
        let days: Vec<HourOfYear> = hours_of_year(&leap, None).step_by(24).collect();
        assert_eq!(days, [(2, 28), (2, 28), (3, 1)].map(|(m, d)| HourOfYear::new(m, d, 0).unwrap()));
    }
}
