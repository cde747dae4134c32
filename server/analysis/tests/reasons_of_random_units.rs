//! Every fact of a reason is needed and all of them are enough, on random units and on their text: whatever is not
//! among the reasons is written anew so that it may be anything.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod random;

use analysis::{Analysis, Claim, Memo, Reason, ReasonKind, UnitAnalysis};
use model::{Job, Name, Prepared, Touched, View};
use proptest::prelude::*;
use proptest::test_runner::{Config, TestCaseError, TestRunner};
use random::{Fact, RandomJob, Written};
use std::cell::Cell;
use std::collections::BTreeSet;
use syntax::File;

/// Two weekdays and a weekend.
const SITE: &str =
    "site: {name: Example, time-zone: America/New_York, review: {from: 2027-01-01, days: 4}}\n";

fn open(text: &str) -> Job {
    let mut job = Job::new();
    job.open("site.yaml".into(), Prepared::new(File::new(SITE)), &mut Touched::default());
    job.open("job.yaml".into(), Prepared::new(File::new(text)), &mut Touched::default());
    job
}

fn unit<T>(job: &Job, look: impl FnOnce(&UnitAnalysis<'_>) -> T) -> T {
    let view = View::new(job);
    let memo = Memo::default();
    let unit = view.find(&Name::new("U")).unwrap();
    look(&Analysis::of_review(&view, &memo).unwrap().unit(unit).unwrap())
}

/// Everything that can be claimed of the unit.
fn claims(job: &RandomJob) -> Vec<Claim<'_>> {
    let mut claims = vec![Claim::ServiceNever("dehumidification")];
    for output in job.named("outputs") {
        claims.extend([Claim::OutputNever(output), Claim::OutputAlways(output)]);
    }
    for input in &job.inputs {
        claims.extend([Claim::InputNever(input), Claim::InputWithoutEffect(input)]);
    }
    claims.extend(OPTIONS.iter().take(job.options.len()).map(|option| Claim::ChoicesAlike(option, 0, 1)));
    claims
}

const OPTIONS: [&str; 2] = ["option-0", "option-1"];

/// The facts that reasons point to, by the lines they stand on.
fn facts(job: &Job, written: &Written, reasons: &[Reason]) -> BTreeSet<Fact> {
    let mut facts = BTreeSet::new();
    for reason in reasons {
        assert!(!reason.because.is_empty(), "{:?} is written nowhere", reason.kind);
        for because in &reason.because {
            let (_, span) = job.span(because.place.entry, &because.place.spot).unwrap();
            let line = written.text[..span.start as usize].matches('\n').count();
            let fact = written.facts[line].unwrap_or_else(|| panic!("{because:?} points at line {line}"));
            facts.insert(match (fact, reason.kind) {
                (Fact::Mode(zone, mode), ReasonKind::NoLimit(call)) => {
                    let key = [("heat", 0), ("cool", 1), ("humidify", 2), ("dehumidify", 3)];
                    let (_, key) = key.iter().find(|(kind, _)| call.name().starts_with(kind)).unwrap();
                    Fact::Limit(zone, mode, *key)
                }
                _ => fact,
            });
        }
    }
    facts
}

/// Whether a claim holds of the text in which only some facts are kept, whatever choices are made
/// for the options that are let go.
fn forced(random: &RandomJob, claim: Claim<'_>, kept: &BTreeSet<Fact>) -> bool {
    // What has no effect through the lines of the logic says nothing about other lines.
    let lines_stay = matches!(claim, Claim::InputWithoutEffect(_) | Claim::ChoicesAlike(..));
    let open_fact = |fact| !(kept.contains(&fact) || lines_stay && matches!(fact, Fact::Line(_)));
    let mut choices = vec![0; random.options.len()];
    loop {
        let written = random.write(&open_fact, &choices);
        if !unit(&open(&written.text), |u| u.holds(claim, |_| true)).is_yes() {
            return false;
        }
        let next = (0..choices.len()).find(|n| choices[*n] + 1 < random.options[*n].len());
        let Some(next) = next else { return true };
        choices[next] += 1;
        choices[..next].fill(0);
    }
}

/// How many findings with reasons a random job gave, all of whose reasons are as they should be.
fn check(bytes: &[u8]) -> Result<usize, TestCaseError> {
    let random = RandomJob::new(bytes);
    let written = random.write(&|_| false, &[]);
    let job = open(&written.text);
    let mut findings = 0;
    for claim in claims(&random) {
        let reasons = unit(&job, |u| u.why(claim, |_| true));
        prop_assert_eq!(reasons.is_some(), unit(&job, |u| u.holds(claim, |_| true)).is_yes(), "{:?}", claim);
        let Some(reasons) = reasons else { continue };
        let again = unit(&open(&written.text), |u| u.why(claim, |_| true));
        prop_assert!(
            again.is_some_and(|again| again == reasons),
            "{:?}: other reasons at another time",
            claim
        );
        let facts = facts(&job, &written, &reasons);
        // What follows from the type alone has no reasons: it is looked at, and not counted.
        findings += usize::from(!facts.is_empty());
        let said = || format!("{claim:?} of\n{}\n{facts:#?}", written.text);
        prop_assert!(forced(&random, claim, &facts), "not enough: {}", said());
        for fact in &facts {
            let mut fewer = facts.clone();
            fewer.remove(fact);
            prop_assert!(!forced(&random, claim, &fewer), "{fact:?} is not needed: {}", said());
        }
    }
    Ok(findings)
}

/// Findings with reasons to look at; `DRYCALL_FINDINGS` sets another number for a long run.
fn wanted() -> usize {
    std::env::var("DRYCALL_FINDINGS").map_or(300, |n| n.parse().unwrap())
}

#[test]
fn every_reason_is_needed_and_all_are_enough() {
    let found = Cell::new(0);
    while found.get() < wanted() {
        let config = Config { cases: 16, failure_persistence: None, ..Config::default() };
        let case = |bytes: Vec<u8>| {
            found.set(found.get() + check(&bytes)?);
            Ok(())
        };
        let run = TestRunner::new(config).run(&prop::collection::vec(any::<u8>(), 0..250), case);
        run.unwrap_or_else(|wrong| panic!("{wrong}"));
    }
}
