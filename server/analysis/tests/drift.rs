//! Predictions: a zone through its gaps, against the closed form and against arithmetic.

#![allow(clippy::unwrap_used, clippy::panic, clippy::float_cmp, clippy::disallowed_methods)]

mod job;

use air::drift::HumidityLimit;
use air::{Celsius, MoistAir, Pascal};
use analysis::drift::ZoneDrift;
use analysis::{Analysis, Memo, moment_words};
use job::{HOURS, heat_pump};
use model::{Job, Name, Prepared, Touched, View};
use std::io::Write;
use std::sync::Arc;
use syntax::File;

const DESIGN: &str = "weather: {dry-bulb: 30 °C, dew-point: 25 °C}";

fn job_in(weather: &str, from: &str, days: u32, text: &str) -> Job {
    let site = format!(
        "site:\n  name: Example\n  time-zone: America/New_York\n  review: {{from: {from}, days: {days}}}\n  {weather}\n"
    );
    let mut job = Job::new();
    job.open("site.yaml".into(), Prepared::new(File::new(&site)), &mut Touched::default());
    job.open("job.yaml".into(), Prepared::new(File::new(text)), &mut Touched::default());
    job
}

fn zone<T>(job: &Job, look: impl FnOnce(&ZoneDrift<'_>, &Memo) -> T) -> Option<T> {
    let (view, memo) = (View::new(job), Memo::default());
    let zone = view.find(&Name::new("reading-room")).unwrap();
    Analysis::of_review(&view, &memo)?.drift(zone).map(|drift| look(&drift, &memo))
}

/// A zone that nothing heats, cools or dries, for it is never occupied.
fn closed() -> String {
    heat_pump(
        "locked-out",
        "{schedule: never}",
        "{schedule: never, unoccupied: {dehumidify-above: 55 %RH}, space: {floor-area: 110 m², ceiling: 3 m, infiltration: 0.3 /h}}",
    ) + "  never: {values: occupancy, default: unoccupied, week: {mon-sun: none}}\n"
}

/// `W(t) = Wₒ + (W₀ − Wₒ)·exp(−t·n/C)` with 0.3 air changes an hour and a capacitance of 15: 50 h to decay.
#[test]
fn a_closed_zone_follows_the_exponential() {
    let job = job_in(
        DESIGN,
        "2027-06-01",
        10,
        &(closed() + "requirements: [{zone: reading-room, dew-point-at-most: 22 °C}]\n"),
    );
    zone(&job, |zone, memo| {
        let run = zone.runs().unwrap().remove(0);
        let outdoors = MoistAir::from_dew_point(Celsius(30.0), Celsius(25.0), Pascal::STANDARD).unwrap();
        let (start, out) = (run.drift.start.humidity_ratio().0, outdoors.humidity_ratio().0);
        let at = |hours: f64| out + (start - out) * (-hours / 50.0_f64).exp();
        assert_eq!((run.first, run.drift.hours.len()), (0, 240));
        for hours in [1, 10, 61, 240] {
            let ours = run.drift.hours[hours - 1].humidity_ratio().0;
            assert!(
                (ours - at(hours as f64)).abs() < 1e-7,
                "{ours} after {hours} h, not {}",
                at(hours as f64)
            );
        }
        // The air's dew point passes 22 °C where the curve passes its humidity ratio.
        let limit = MoistAir::saturated(Celsius(22.0), Pascal::STANDARD).unwrap().humidity_ratio().0;
        let crosses = 50.0 * ((out - start) / (out - limit)).ln();
        let prediction = zone.prediction(memo).unwrap();
        let gap = prediction.worst_gap.as_ref().unwrap();
        assert!((gap.crosses_after - crosses).abs() < 0.01, "{} h, not {crosses} h", gap.crosses_after);
        assert_eq!(gap.gap.hours(), 240.0);
        assert_eq!(prediction.above, 240 - crosses.floor() as usize);
        assert_eq!(prediction.above_in_gaps, prediction.above);
        assert_eq!(prediction.surface, None, "no mean over thirty days in ten");
    })
    .unwrap();
}

/// 08:00-17:00 Monday to Friday: the longest gap is from Friday 17:00 to Monday 08:00, 63 h. Arithmetic.
#[test]
fn the_worst_gap_is_the_weekend() {
    let zone_text = "{schedule: office-hours, occupied: {heat-below: 70 °F, cool-above: 75 °F, dehumidify-above: 50 %RH}, unoccupied: {heat-below: 62 °F, cool-above: 80 °F, dehumidify-above: 50 %RH}}";
    let job =
        job_in(DESIGN, "2027-06-01", 60, &heat_pump("locked-out", "{schedule: office-hours}", zone_text));
    zone(&job, |zone, memo| {
        let prediction = zone.prediction(memo).unwrap();
        let gap = prediction.worst_gap.as_ref().unwrap();
        let words = |at| moment_words(&zone.period, at);
        assert!(words(gap.gap.from).starts_with("Fri ") && words(gap.gap.from).ends_with(" 17:00"));
        assert!(words(gap.gap.to).starts_with("Mon ") && words(gap.gap.to).ends_with(" 08:00"));
        assert_eq!(gap.gap.hours(), 63.0);
        assert!(gap.worst.at > gap.gap.from && gap.worst.at <= gap.gap.to);
        // No requirement is written, so the published limit counts.
        assert_eq!(zone.criteria[0].limit, HumidityLimit::DewPoint(Celsius((60.0 - 32.0) / 1.8)));
        let above = |times| zone.prediction_with(memo, times).unwrap().above;
        assert!(above(0.5) < above(1.0) && above(1.0) < above(2.0));
        assert!(Arc::ptr_eq(&prediction, &zone.prediction(memo).unwrap()), "worked out once");
    })
    .unwrap();
    let any_time = heat_pump("allowed", "{schedule: office-hours}", zone_text);
    let dried =
        zone(&job_in(DESIGN, "2027-06-01", 60, &any_time), |zone, memo| zone.prediction(memo).unwrap());
    assert_eq!(dried.unwrap().worst_gap, None);
}

#[test]
fn nothing_is_predicted_without_weather_or_of_what_cannot_be_told() {
    assert!(zone(&job_in("altitude: 20 ft", "2027-06-01", 10, &closed()), |_, _| ()).is_none());
    let unknown = closed().replace("heat-pump-with-hot-gas-reheat", "heat-pump-with-gas");
    assert!(zone(&job_in(DESIGN, "2027-06-01", 10, &unknown), |_, _| ()).is_none());
    let without_unit = format!("zones:\n  reading-room: {{schedule: office-hours}}\n{HOURS}");
    assert!(zone(&job_in(DESIGN, "2027-06-01", 10, &without_unit), |_, _| ()).is_none());
    let absent = "weather: {file: weather/none.csv}";
    assert!(zone(&job_in(absent, "2027-06-01", 10, &closed()), |_, _| ()).is_none());
}

/// Two mornings with a missing day between them: two runs, and no hour is made up.
#[test]
fn hours_without_a_reading_are_left_out() {
    let mut file = "0,SALTMARSH,,-5,35,-76,3\nDate (MM/DD/YYYY),Time (HH:MM),Dry-bulb (C),Dew-point (C),RHum (%),Pressure (mbar)\n".to_owned();
    for (day, hours) in [(2, 1..=12), (4, 5..=8)] {
        for hour in hours {
            file += &format!("06/{day:02}/1999,{hour:02}:00,28.0,24.0,79,1015\n");
        }
    }
    let mut job = job_in("weather: {file: june.csv}", "2027-06-01", 10, &closed());
    job.set_import("june.csv".into(), Some(Ok(Arc::from(file))), &mut Touched::default());
    zone(&job, |zone, memo| {
        // By standard time the period begins at 23:00 on 31 May.
        let runs: Vec<(usize, usize)> =
            zone.runs().unwrap().iter().map(|run| (run.first, run.drift.hours.len())).collect();
        assert_eq!(runs, [(25, 12), (77, 4)]);
        assert_eq!(zone.prediction(memo).unwrap().hours, 16);
        assert_eq!(zone.outdoors.missing.len(), 240 - 16);
    })
    .unwrap();
}

/// Miami's typical year, fetched by `tests/oracles/fetch_weather.py` into the folder `DRYCALL_WEATHER`.
#[test]
fn a_year_of_miami() {
    let Some(folder) = std::env::var_os("DRYCALL_WEATHER").map(std::path::PathBuf::from) else {
        let required = std::env::var_os("DRYCALL_REQUIRE_ALL").is_some_and(|value| !value.is_empty());
        assert!(!required, "DRYCALL_REQUIRE_ALL asks for real weather: set DRYCALL_WEATHER");
        // Past the harness, which keeps to itself what a test prints that passes.
        let _ = writeln!(std::io::stderr(), "left out: a_year_of_miami: DRYCALL_WEATHER names no folder");
        return;
    };
    let text = String::from_utf8_lossy(&std::fs::read(folder.join("12839.tm2")).unwrap()).into_owned();
    let mut job = job_in("weather: {file: miami.tm2}", "2027-01-01", 365, &closed());
    job.set_import("miami.tm2".into(), Some(Ok(Arc::from(text))), &mut Touched::default());
    zone(&job, |zone, memo| {
        let prediction = zone.prediction(memo).unwrap();
        assert_eq!((prediction.hours, zone.outdoors.missing.len()), (8760, 0));
        // Outdoors is above 60 °F dew point in 6783 hours (psychrolib 2.5.0). A zone that only leaks and
        // stores is above it longer: it lags behind and evens out the dry spells of a humid year.
        assert!((6783..8760).contains(&prediction.above), "{}", prediction.above);
        // What leaks in is what is there a few time constants later: hour 5016 is in late July.
        let run = zone.runs().unwrap().remove(0);
        let mean = |hours: std::ops::Range<usize>| {
            let count = hours.len() as f64;
            let outdoors = zone.outdoors.runs().next().unwrap().1;
            let air = |hour: usize| [run.drift.hours[hour], outdoors[hour]].map(|air| air.humidity_ratio().0);
            let sums = hours.map(air).fold([0.0; 2], |[a, b], [c, d]| [a + c, b + d]);
            sums.map(|sum| sum / count)
        };
        let [inside, outside] = mean(4000..6000);
        assert!((inside - outside).abs() < 2e-4, "{inside} {outside}");
    })
    .unwrap();
}
