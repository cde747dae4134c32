//! A plant of sixty interlocked inputs through the whole path. What it takes is in `benches/verdicts.rs`.

#![allow(clippy::unwrap_used)]

mod job;

use analysis::{Claim, ReasonKind, Verdict, chart};
use job::plant::{MACHINES, plant};
use job::unit;

const DRYING: Claim<'static> = Claim::ServiceNever("dehumidification");

#[test]
fn verdicts_say_what_blocks() {
    unit(&plant("P-trip-6"), |u| {
        assert_eq!(u.signals.len(), 60);
        let drying = u.verdict(&"dehumidification".into());
        assert_eq!(
            (drying.verdict, drying.hours, drying.gaps),
            (Verdict::Conditional, Some(8760.0), Some(0))
        );
        // The list is cut short far down the row of machines. The third leads by schedule and then needs no hand, but
        // the fourth may not lead while it does.
        let drying_unless = |set: &str| drying.unless.iter().any(|known| known == set);
        for n in 0..4 {
            assert!(drying_unless(&format!("P-trip-{n} on")) && drying_unless(&format!("P-proof-{n} off")));
        }
        assert!(
            drying_unless("P-hand-3 off while unoccupied") && drying_unless("P-hand-4 off while occupied")
        );
        assert!(drying.unless.iter().all(|set| set.starts_with("P-") && !set.contains(" with ")));
        // By hand every machine starts without a call.
        assert!(
            u.can_be_on(&u.outputs().last().unwrap().1.and(&u.demand("dehumidification").not())).is_yes()
        );
    });
}

#[test]
fn one_trip_holds_off_all_that_comes_after() {
    unit(&plant("{tied: on}"), |u| {
        assert_eq!(u.verdict(&"dehumidification".into()).verdict, Verdict::Never);
        let reasons = u.why(DRYING, |_| true).unwrap();
        let told: Vec<&str> = reasons.iter().flat_map(|r| &r.because).map(|b| b.text.as_str()).collect();
        assert_eq!(reasons.first().map(|r| r.kind), Some(ReasonKind::Tie));
        assert_eq!(told[0], "`trip-6` is tied on");
        // The tie, machines 6 to 11 and the service, each on its line.
        let lines: Vec<String> = (6..MACHINES).map(|n| format!("`machine-{n}` is on when")).collect();
        assert_eq!(told.len(), 1 + lines.len() + 1);
        assert!(lines.iter().zip(&told[1..]).all(|(line, told)| told.starts_with(line)), "{told:?}");
        assert!(u.why(Claim::OutputNever("machine-5"), |_| true).is_none());
    });
}

/// More rows than a chart holds, since each machine starts in two ways; those it holds are apart, and each says what
/// the machines do in its states.
#[test]
fn a_chart_of_sixty_inputs() {
    unit(&plant("P-trip-6"), |u| {
        let chart = chart(u);
        assert_eq!((chart.inputs.len(), chart.outputs.len()), (60, MACHINES));
        assert!(chart.rows.len() > MACHINES && !chart.complete);
        for row in &chart.rows {
            // A machine runs only behind the one before it.
            assert!(row.outputs.windows(2).all(|pair| pair[0] || !pair[1]));
            let apart = |other: &analysis::ChartRow| {
                row.inputs.iter().zip(&other.inputs).any(|(a, b)| a.is_some() && b.is_some() && a != b)
            };
            assert!(chart.rows.iter().filter(|other| !std::ptr::eq(*other, row)).all(apart));
        }
    });
}
