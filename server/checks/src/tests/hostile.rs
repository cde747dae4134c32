//! Jobs that were written to be large: each is proven, or said not to be, and none is passed.

#![allow(clippy::unwrap_used)]

use crate::run;
use crate::tests::fixture::job;
use analysis::{Memo, Verdict};
use model::{EntryId, FileId, Job};
use std::fmt::Write as _;

/// What is found in a job, as check and message, and the verdict on the dehumidification of `U`.
fn reviewed(text: &str) -> (Vec<(&'static str, String)>, Option<Verdict>) {
    let (job, files) = job(text);
    let memo = Memo::default();
    let (mut found, mut verdict) = (Vec::new(), None);
    for id in files.iter().flat_map(|file| job.file(*file).unwrap().entries()) {
        let outcome = run(&job, &memo, *id);
        found.extend(outcome.findings.into_iter().map(|finding| (finding.check.id, finding.message)));
        let services = outcome.verdicts.into_iter().flat_map(|verdicts| verdicts.services);
        verdict = services.into_iter().map(|service| service.verdict).next().or(verdict);
    }
    (found, verdict)
}

fn named(job: &Job, files: &[FileId], name: &str) -> EntryId {
    let mut entries = files.iter().flat_map(|file| job.file(*file).unwrap().entries());
    *entries.find(|id| job.entry(**id).unwrap().part.key() == Some(name)).unwrap()
}

fn finds(found: &[(&'static str, String)], check: &str) -> bool {
    found.iter().any(|(id, _)| *id == check)
}

/// A unit of a type of its own, each of whose inputs is wired to a contact.
fn unit(inputs: &[String], rest_of_type: &str) -> String {
    let mut text = "unit-types:\n  big:\n    inputs:\n".to_owned();
    for input in inputs {
        writeln!(text, "      {input}: {{}}").unwrap();
    }
    text += rest_of_type;
    text += "units:\n  U:\n    type: big\n    inputs:\n";
    for input in inputs {
        writeln!(text, "      {input}: P-{input}").unwrap();
    }
    text += "points:\n";
    for input in inputs {
        writeln!(text, "  P-{input}: {{driven-by: {{contact: field}}}}").unwrap();
    }
    text
}

/// The inputs `x0` to `xn`, then `y0` to `yn`.
fn pair_inputs(n: usize) -> Vec<String> {
    ["x", "y"].iter().flat_map(|letter| (0..n).map(move |i| format!("{letter}{i}"))).collect()
}

/// `x0 and y0 or …`, and the same backwards.
fn pairs(n: usize) -> [String; 2] {
    let forwards: Vec<String> = (0..n).map(|i| format!("x{i} and y{i}")).collect();
    let backwards: Vec<String> = (0..n).rev().map(|i| format!("y{i} and x{i}")).collect();
    [forwards.join(" or "), backwards.join(" or ")]
}

#[test]
fn the_same_written_forwards_and_backwards_is_the_same() {
    for n in [4, 8, 15, 16, 17, 18, 24, 32] {
        let [forwards, backwards] = pairs(n);
        let logic = format!(
            "    terms: {{e1: {forwards}, e2: {backwards}}}
    outputs: {{o: {{when: e1 and not e2}}, p: {{when: e1}}}}
    serves: {{dehumidification: o}}
    never: [o, e2 and not e1]\n"
        );
        let (found, verdict) = reviewed(&unit(&pair_inputs(n), &logic));
        assert_eq!(verdict, Some(Verdict::Never), "{n}");
        assert!(finds(&found, "dehumidification-never-runs"), "{n}");
        assert!(!finds(&found, "unit-logic-unsafe") && !finds(&found, "not-proven"), "{n}: {found:?}");
    }
}

#[test]
fn a_state_that_is_reached_is_told() {
    for n in [4, 16, 32] {
        let [forwards, _] = pairs(n);
        let logic = format!(
            "    terms: {{e1: {forwards}}}
    outputs: {{o: {{when: e1}}, p: {{when: not e1}}}}
    serves: {{dehumidification: o}}
    never: [o and not p]\n"
        );
        let (found, verdict) = reviewed(&unit(&pair_inputs(n), &logic));
        assert!(finds(&found, "unit-logic-unsafe"), "{n}: {found:?}");
        assert!(!finds(&found, "not-proven"), "{n}: {found:?}");
        assert_eq!(verdict, Some(Verdict::Conditional), "{n}");
    }
}

#[test]
fn chains_of_points_are_followed_to_their_end() {
    for n in [10, 511, 513, 3000, 100_000] {
        let mut text = "units:
  U:
    type: heat-pump-with-hot-gas-reheat
    inputs: {cool-1: not-wired, heat-1: not-wired, heat-2: not-wired, dehumidify: P0, occupied: {tied: on}}
points:\n"
            .to_owned();
        for i in 0..n {
            writeln!(text, "  P{i}: {{driven-by: {{point: P{}}}}}", i + 1).unwrap();
        }
        writeln!(text, "  P{n}: {{driven-by: {{operator: off}}}}").unwrap();
        let (job, files) = job(&text);
        let unit = named(&job, &files, "U");
        let outcome = run(&job, &Memo::default(), unit);
        let found: Vec<&str> = outcome.findings.iter().map(|finding| finding.check.id).collect();
        assert!(found.contains(&"dehumidification-never-runs"), "{n}: {found:?}");
        assert!(!found.contains(&"not-proven"), "{n}: {found:?}");
        assert_eq!(outcome.verdicts.unwrap().services[0].verdict, Verdict::Never, "{n}");
    }
}

#[test]
fn a_ring_of_any_length_is_told() {
    const LONG: usize = 100_000;
    let mut text = "points:\n".to_owned();
    for i in 0..LONG {
        writeln!(text, "  P{i}: {{driven-by: {{point: P{}}}}}", (i + 1) % LONG).unwrap();
    }
    let (job, files) = job(&text);
    let memo = Memo::default();
    for i in (0..LONG).step_by(9_999) {
        let found = run(&job, &memo, named(&job, &files, &format!("P{i}"))).findings;
        let told = found.iter().find(|finding| finding.check.id == "wrong-value").unwrap();
        assert!(told.message.contains("and 99,991 more"), "{}", told.message);
    }
}

#[test]
fn terms_that_stand_for_each_other() {
    for n in [100, 511, 513, 10_000] {
        let mut logic = "    terms:\n      t0: a and b\n".to_owned();
        for i in 1..n {
            writeln!(logic, "      t{i}: t{}", i - 1).unwrap();
        }
        writeln!(
            logic,
            "    outputs: {{o: {{when: t{} and not a}}}}\n    serves: {{dehumidification: o}}\n    never: [o]",
            n - 1
        )
        .unwrap();
        let (found, verdict) = reviewed(&unit(&["a".into(), "b".into()], &logic));
        assert_eq!(verdict, Some(Verdict::Never), "{n}");
        assert!(!finds(&found, "not-proven") && !finds(&found, "unit-logic-unsafe"), "{n}: {found:?}");
    }
}

#[test]
fn a_circle_of_terms_is_told() {
    let mut logic = "    terms:\n".to_owned();
    for i in 0..2000 {
        writeln!(logic, "      t{i}: t{}", (i + 1) % 2000).unwrap();
    }
    logic += "    outputs: {o: {when: t0 and a}}\n    serves: {dehumidification: o}\n";
    let (found, _) = reviewed(&unit(&["a".into()], &logic));
    assert!(found.iter().any(|(_, message)| message.contains("`t0` is worked out from itself")), "{found:?}");
}

#[test]
fn parities_are_proven() {
    for n in [12, 24, 64] {
        let inputs: Vec<String> = (0..n).map(|i| format!("i{i}")).collect();
        let mut logic = "    terms:\n      t0: i0\n".to_owned();
        for i in 1..n {
            let before = i - 1;
            writeln!(logic, "      t{i}: t{before} and not i{i} or not t{before} and i{i}").unwrap();
        }
        writeln!(
            logic,
            "    outputs: {{o: {{when: t{}}}}}\n    serves: {{dehumidification: o}}\n    never: [o and not o]",
            n - 1
        )
        .unwrap();
        let (found, verdict) = reviewed(&unit(&inputs, &logic));
        assert_eq!(verdict, Some(Verdict::Conditional), "{n}");
        assert!(!finds(&found, "not-proven"), "{n}: {found:?}");
    }
}

/// A sum of clauses without any order: past a size nothing is known of it, and that is said.
#[test]
fn what_is_too_large_is_said_once() {
    for n in [64_u64, 300] {
        let mut draw = 1_u64;
        let mut next = |below: u64| {
            draw = draw.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (draw >> 33) % below
        };
        let mut literal = || format!("{}i{}", if next(2) == 0 { "not " } else { "" }, next(n));
        let clauses: Vec<String> =
            (0..n * 42 / 10).map(|_| format!("({} or {} or {})", literal(), literal(), literal())).collect();
        let logic = format!(
            "    outputs: {{o: {{when: {}}}}}\n    serves: {{dehumidification: o}}\n    never: [o]\n",
            clauses.join(" and ")
        );
        let inputs: Vec<String> = (0..n).map(|i| format!("i{i}")).collect();
        let (found, verdict) = reviewed(&unit(&inputs, &logic));
        assert_eq!(verdict, Some(Verdict::NotProven), "{n}");
        let told: Vec<&String> =
            found.iter().filter(|(id, _)| *id == "not-proven").map(|(_, message)| message).collect();
        assert_eq!(told.len(), 2, "{told:?}");
        assert!(told.iter().any(|message| message.contains("when `dehumidification` can run")), "{told:?}");
        assert!(told.iter().any(|message| message.contains("never reaches this state")), "{told:?}");
        for silent in ["dehumidification-never-runs", "input-without-effect", "output-never-on"] {
            assert!(!finds(&found, silent), "{n}: {found:?}");
        }
    }
}
