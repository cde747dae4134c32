//! Reasons are enough, and each is necessary; wiring and schedule come before setpoints, and these
//! before the text of a type.

#![allow(clippy::unwrap_used)]

mod job;

use analysis::{Claim, ReasonKind, UnitAnalysis};
use job::{ZONE, heat_pump, unit};

const NEVER: Claim<'static> = Claim::ServiceNever("dehumidification");

fn why(text: &str) -> Vec<(ReasonKind, Vec<String>)> {
    unit(text, |u: &UnitAnalysis<'_>| {
        let reasons = u.why(NEVER, |_| true).unwrap_or_default();
        reasons.into_iter().map(|r| (r.kind, r.because.into_iter().map(|b| b.text).collect())).collect()
    })
}

fn kinds(text: &str) -> Vec<ReasonKind> {
    let facts = why(text).into_iter().map(|(kind, _)| kind);
    facts.filter(|kind| *kind != ReasonKind::Logic).collect()
}

#[test]
fn the_path_from_the_option_to_the_point() {
    let text = heat_pump("locked-out", "", ZONE).replace("{driven-by: }", "{}");
    assert_eq!(kinds(&text), [ReasonKind::Option, ReasonKind::Wiring, ReasonKind::Undriven]);
    let facts: Vec<String> = why(&text).into_iter().flat_map(|(_, texts)| texts).collect();
    assert_eq!(
        facts,
        [
            "`unoccupied-dehumidification` is `locked-out`",
            "`occupied` is wired to `U-occupied`",
            "`U-occupied` has no source, so it stays off",
            "`permitted` is on when `unoccupied-dehumidification is allowed or occupied`",
            "`drying` is on when `dehumidify and permitted and not cool-1 and not heat-2 and (occupied or not heat-1)`",
            "`reheat-valve` is on when `drying`",
            "`dehumidification` is on when `reheat-valve`",
        ]
    );
}

#[test]
fn the_window_behind_a_chain_of_points() {
    let text = heat_pump("locked-out", "{point: P}", ZONE)
        .replace("points:\n", "points:\n  P: {driven-by: {schedule: office-hours}}\n");
    assert_eq!(kinds(&text), []);
    let empty = text.replace("mon-fri: 08:00-17:00", "mon-fri: none");
    let source = ReasonKind::Source;
    assert_eq!(kinds(&empty), [ReasonKind::Option, ReasonKind::Wiring, source, source, ReasonKind::Schedule]);
    // A pinned command forces the same without its schedule.
    let pinned =
        text.replace("{schedule: office-hours}}", "{schedule: office-hours, override: {value: off}}}");
    assert_eq!(kinds(&pinned), [ReasonKind::Option, ReasonKind::Wiring, source, source]);
}

#[test]
fn wiring_is_told_before_setpoints() {
    let silent = "{schedule: office-hours}";
    let limits = [
        ReasonKind::Wiring,
        ReasonKind::Source,
        ReasonKind::NoLimit(model::Call::Dehumidify),
        ReasonKind::NoLimit(model::Call::Dehumidify),
    ];
    assert_eq!(kinds(&heat_pump("allowed", "{operator: on}", silent)), limits);
    let both = heat_pump("locked-out", "", silent).replace("{driven-by: }", "{}");
    assert_eq!(kinds(&both), [ReasonKind::Option, ReasonKind::Wiring, ReasonKind::Undriven]);
}

/// In a gap only what holds then is told.
#[test]
fn a_gap_names_the_mode_it_comes_from() {
    let zone = ZONE.replace("cool-above: 80 °F, dehumidify-above: 55 %RH", "cool-above: 80 °F");
    unit(&heat_pump("allowed", "{operator: on}", &zone), |u| {
        assert!(u.holds(NEVER, |_| true).is_no());
        let unoccupied = |m: &analysis::Moment| m.mode == Some(analysis::Mode::Unoccupied);
        let reasons = u.why(NEVER, unoccupied).unwrap();
        let kinds: Vec<ReasonKind> =
            reasons.iter().map(|r| r.kind).filter(|k| *k != ReasonKind::Logic).collect();
        let schedule = ReasonKind::Schedule;
        assert_eq!(
            kinds,
            [
                ReasonKind::Wiring,
                ReasonKind::Source,
                schedule,
                schedule,
                ReasonKind::NoLimit(model::Call::Dehumidify)
            ]
        );
    });
}

#[test]
fn outputs_and_inputs_have_reasons_too() {
    let text =
        heat_pump("allowed", "{operator: on}", ZONE).replace("heat-2: U-heat-2", "heat-2: {tied: off}");
    unit(&text, |u| {
        assert!(u.why(Claim::OutputNever("compressor"), |_| true).is_none());
        let never = u.why(Claim::OutputNever("auxiliary-heat"), |_| true).unwrap();
        assert_eq!(never.iter().map(|r| r.kind).collect::<Vec<_>>(), [ReasonKind::Tie, ReasonKind::Logic]);
        assert!(u.holds(Claim::InputWithoutEffect("occupied"), |_| true).is_no());
    });
    let text = text.replace("heat-1: U-heat-1", "heat-1: not-wired");
    unit(&text, |u| {
        let reasons = u.why(Claim::InputWithoutEffect("occupied"), |_| true).unwrap();
        let kinds: Vec<ReasonKind> =
            reasons.iter().map(|r| r.kind).filter(|k| *k != ReasonKind::Logic).collect();
        assert_eq!(kinds, [ReasonKind::Option, ReasonKind::NotWired]);
    });
}

/// Tying the occupied input to the dehumidify call makes the two choices of the option alike.
#[test]
fn a_tie_makes_choices_alike() {
    let alike = Claim::ChoicesAlike("unoccupied-dehumidification", 0, 1);
    let text = heat_pump("locked-out", "{contact: field}", ZONE);
    unit(&text, |u| assert!(u.holds(alike, |_| true).is_no()));
    unit(&text.replace("occupied: U-occupied", "occupied: {tied-to: dehumidify}"), |u| {
        let kinds: Vec<ReasonKind> = u.why(alike, |_| true).unwrap().iter().map(|r| r.kind).collect();
        assert_eq!(kinds, [ReasonKind::Tie]);
    });
}
