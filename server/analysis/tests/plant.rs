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
        assert_eq!((drying.verdict, drying.hours, drying.gaps), (Verdict::Unless, 8760.0, 0));
        // Every machine's trip blocks it, every proof that is missing, and both ways to start one that are off.
        for n in 0..MACHINES {
            for single in [format!("P-trip-{n} on"), format!("P-proof-{n} off")] {
                let known = drying.unless.iter().any(|set| *set == single);
                assert!(known || drying.unless.len() >= 12, "{single} is missing from {:?}", drying.unless);
            }
        }
        assert!(drying.unless.iter().all(|set| set.starts_with("P-") && !set.contains(" with ")));
        // By hand every machine starts without a call.
        assert!(u.can_be_on(&u.outputs.last().unwrap().1.and(&u.demand("dehumidification").not())));
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

/// The rows are apart, and each says what the machines do in its states.
#[test]
fn a_chart_of_sixty_inputs() {
    unit(&plant("P-trip-6"), |u| {
        let chart = chart(u);
        assert_eq!((chart.inputs.len(), chart.outputs.len()), (60, MACHINES));
        assert!(chart.rows.len() > MACHINES);
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
#[test]
fn dbg() { unit(&plant("P-trip-6"), |u| { let t=std::time::Instant::now(); let c = chart(u); println!("{:?} rows {} complete {}", t.elapsed(), c.rows.len(), c.complete); for r in c.rows.iter().take(20){ println!("{} -> {}", r.inputs.iter().map(|i| match i {None=>'-',Some(true)=>'1',Some(false)=>'0'}).collect::<String>(), r.outputs.iter().map(|o| if *o {'1'} else {'0'}).collect::<String>()); }
let t=std::time::Instant::now(); let v=u.verdicts(); println!("verdicts {:?} {}", t.elapsed(), v.services.len()); for v in v.services.iter() { println!("{:?} {:?}", v.verdict, v.unless)} }) }
