//! Hours and gaps of a year.

#![allow(clippy::unwrap_used, clippy::float_cmp)]

mod job;

use analysis::{Gap, Verdict, moment_words};
use job::{HOURS, ZONE, heat_pump, unit};

const OFFICE: &str = "{schedule: office-hours}";

/// Occupied 08:00-17:00 Monday to Friday under `occupied`: 45 of 168 hours a week can run, and the
/// longest gap is Friday 17:00 to Monday 08:00, 63 h; 62 or 64 h across a clock change. Arithmetic.
#[test]
fn forty_five_hours_a_week() {
    unit(&heat_pump("locked-out", OFFICE, ZONE), |u| {
        let verdict = u.verdict(&"dehumidification".into());
        assert_eq!(verdict.verdict, Verdict::Conditional);
        // 2027 begins and ends on a Friday: 261 working days.
        assert_eq!(verdict.hours, Some(261.0 * 9.0));
        let gaps = u.gaps("dehumidification").unwrap();
        let at = |words: &str| gaps.iter().find(|g| moment_words(&u.period, g.from) == words).copied();
        let weekend = at("Fri Jun 4 17:00").unwrap();
        assert_eq!(
            (weekend.hours(), moment_words(&u.period, weekend.to).as_str()),
            (63.0, "Mon Jun 7 08:00")
        );
        // Clocks go forward on Sunday 14 March and back on Sunday 7 November.
        assert_eq!(at("Fri Mar 12 17:00").unwrap().hours(), 62.0);
        assert_eq!(at("Fri Nov 5 17:00").unwrap().hours(), 64.0);
        let longest = verdict.longest_gap.unwrap();
        assert_eq!(
            (longest.hours(), moment_words(&u.period, longest.from).as_str()),
            (64.0, "Fri Nov 5 17:00")
        );
        assert_eq!(Some(gaps.len()), verdict.gaps);
        let total: f64 = gaps.iter().map(Gap::hours).sum();
        assert_eq!(total + verdict.hours.unwrap(), 365.0 * 24.0);
    });
}

/// Under `allowed` it can run at any hour, unless something else is called.
#[test]
fn any_time_has_no_gap() {
    unit(&heat_pump("allowed", OFFICE, ZONE), |u| {
        let verdict = u.verdict(&"dehumidification".into());
        assert_eq!(
            (verdict.verdict, verdict.hours, verdict.gaps),
            (Verdict::Conditional, Some(8760.0), Some(0))
        );
        let unless = [
            "a first-stage cooling call",
            "a second-stage heating call",
            "a first-stage heating call while unoccupied",
        ];
        let mut found = verdict.unless.clone();
        found.sort_by_key(|words| unless.iter().position(|u| u == words));
        assert_eq!(found, unless);
    });
}

/// A humidity limit in one mode alone leaves the other mode as a gap.
#[test]
fn no_limit_while_unoccupied_is_a_gap() {
    let zone = ZONE.replace("cool-above: 80 °F, dehumidify-above: 55 %RH", "cool-above: 80 °F");
    unit(&heat_pump("allowed", OFFICE, &zone), |u| {
        assert_eq!(u.verdict(&"dehumidification".into()).hours, Some(261.0 * 9.0));
    });
}

/// What could not be read as meant proves nothing: neither a schedule with a window that runs
/// backwards, nor a point with a mistyped key, nor an input that may be the mistyped one.
#[test]
fn doubt_is_no_proof() {
    let good = heat_pump("locked-out", OFFICE, ZONE);
    let backwards = good.replace("08:00-17:00", "17:00-08:00");
    let mistyped_key = good.replace("U-occupied: {driven-by:", "U-occupied: {drivn-by:");
    let mistyped_input = good.replace("      occupied: U-occupied", "      ocupied: U-occupied");
    let mistyped_choice =
        good.replace("unoccupied-dehumidification: locked-out", "unoccupied-dehumidification: ocupied");
    for text in [backwards, mistyped_key, mistyped_input, mistyped_choice] {
        assert!(text != good);
        unit(&text, |u| assert_eq!(u.verdict(&"dehumidification".into()).hours, Some(8760.0), "{text}"));
    }
    let empty = good.replace(HOURS.trim(), &HOURS.trim().replace("mon-fri: 08:00-17:00", "mon-fri: none"));
    unit(&empty, |u| assert_eq!(u.verdict(&"dehumidification".into()).verdict, Verdict::Never));
}

/// Points that give themselves their value are named, and may be on or off.
#[test]
fn circles_are_named_and_not_followed() {
    let circle = "{point: A}";
    let points = "  A: {driven-by: {logic: B and not C}}\n  B: {driven-by: {point: A}}\n  C: {driven-by: {point: B}}\n";
    let text = heat_pump("locked-out", circle, ZONE).replace("points:\n", &format!("points:\n{points}"));
    unit(&text, |u| {
        let names: Vec<&str> = u.wires.circles.iter().map(|(_, name)| name.as_str()).collect();
        assert_eq!(names, ["A", "B", "C"]);
        assert_eq!(u.verdict(&"dehumidification".into()).hours, Some(8760.0));
    });
}

/// Ties that lead round, to themselves or to no input at all may be on or off.
#[test]
fn ties_that_lead_nowhere() {
    let good = heat_pump("locked-out", OFFICE, ZONE);
    for (cool, occupied) in [("occupied", "cool-1"), ("cool-1", "occupied"), ("cool-1", "nowhere")] {
        let text = good.replace("cool-1: U-cool-1", &format!("cool-1: {{tied-to: {cool}}}"));
        let text = text.replace("occupied: U-occupied", &format!("occupied: {{tied-to: {occupied}}}"));
        unit(&text, |u| assert_eq!(u.verdict(&"dehumidification".into()).hours, Some(8760.0), "{text}"));
    }
}
