//! Limits that follow a schedule: every value of it is judged, at the hours at which it holds.

#![allow(clippy::unwrap_used, clippy::float_cmp)]

mod job;

use analysis::{Analysis, Memo, Mode, Verdict};
use job::{heat_pump, job, unit};
use model::{Name, View};

/// A limit for drying that no reading reaches before two in the afternoon of a working day.
const ZONE: &str = "{occupied: {heat-below: 70 °F, cool-above: 75 °F, dehumidify-above: {schedule: drying}}, thermostat: {humidity-differential: 3 %RH, sensor-range: {humidity: 0..100 %RH}}}";
const DRYING: &str = "  drying: {values: \"%RH\", default: 98 %RH, week: {mon-fri: {14:00-17:00: 55 %RH}}}\n";

/// 2027 has 261 working days. Arithmetic.
#[test]
fn a_call_is_made_in_the_hours_whose_limit_can_be_passed() {
    unit(&(heat_pump("allowed", "", ZONE).replace("{driven-by: }", "{}") + DRYING), |u| {
        let verdict = u.verdict(&"dehumidification".into());
        assert_eq!((verdict.verdict, verdict.hours), (Verdict::Conditional, Some(261.0 * 3.0)));
        let reasons = u.why(analysis::Claim::ServiceNever("dehumidification"), |m| {
            u.verdict_at("dehumidification", m) == Verdict::Never
        });
        let facts: Vec<String> =
            reasons.unwrap().into_iter().flat_map(|r| r.because).map(|because| because.text).collect();
        for wanted in ["`dehumidify-above` follows `drying`", "`drying` is"] {
            assert!(facts.iter().any(|fact| fact.starts_with(wanted)), "{wanted}: {facts:#?}");
        }
    });
}

/// Only what comes in a mode is a setting of it, each set of values once.
#[test]
fn a_setting_for_each_value_that_comes_in_its_mode() {
    let zone = "zones: {Z: {schedule: hours, occupied: {cool-above: {schedule: cooling}}, unoccupied: {heat-below: 60 °F}}}\n";
    let text = zone.to_owned()
        + "schedules:\n  hours: {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:00}}\n  cooling: {values: °F, default: 80 °F, week: {mon-fri: {06:00-12:00: 74 °F, 12:00-18:00: 76 °F}}}\n";
    let found = |text: &str| -> Vec<(Mode, Option<f64>)> {
        let job = job(text);
        let view = View::new(&job);
        let memo = Memo::default();
        let over = Analysis::of_review(&view, &memo).unwrap();
        let settings = over.settings(view.find(&Name::new("Z")).unwrap());
        settings
            .iter()
            .map(|s| (s.mode, s.limits.value(model::LimitKey::CoolAbove).map(|limit| limit.value.value)))
            .collect()
    };
    let (occupied, unoccupied) = (Mode::Occupied, Mode::Unoccupied);
    assert_eq!(found(&text), [(occupied, Some(74.0)), (occupied, Some(76.0)), (unoccupied, None)]);
    // Values of another kind are no limit, and nothing is known of it.
    let humidity = text.replace("values: °F", "values: \"%RH\"");
    let humidity = humidity.replace("80 °F", "80 %RH").replace("74 °F", "74 %RH").replace("76 °F", "76 %RH");
    assert_eq!(found(&humidity), [(occupied, None), (unoccupied, None)]);
}
