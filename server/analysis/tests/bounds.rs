//! Random units under lower limits: what is answered is right, and what is not is not known.

#![allow(clippy::unwrap_used)]

mod random;

use analysis::{Analysis, Answer, Claim, Memo, UnitAnalysis, UnitBounds, Verdict};
use logic::Bounds;
use model::{Job, Name, Prepared, Touched, View};
use proptest::prelude::*;
use random::RandomJob;
use syntax::File;

const SITE: &str =
    "site: {name: Example, time-zone: America/New_York, review: {from: 2027-01-01, days: 4}}\n";

fn open(text: &str) -> Job {
    let mut job = Job::new();
    job.open("site.yaml".into(), Prepared::new(File::new(SITE)), &mut Touched::default());
    job.open("job.yaml".into(), Prepared::new(File::new(text)), &mut Touched::default());
    job
}

fn unit<T>(job: &Job, bounds: UnitBounds, look: impl FnOnce(&UnitAnalysis<'_>) -> T) -> T {
    let (view, memo) = (View::new(job), Memo::bounded(bounds));
    let found = view.find::<model::Unit>(&Name::new("U")).unwrap();
    look(&Analysis::of_review(&view, &memo).unwrap().unit(found).unwrap())
}

/// Everything that a unit is asked, in one list.
fn answers(unit: &UnitAnalysis<'_>) -> Vec<Answer> {
    let outputs = unit.outputs().iter();
    let mut answers: Vec<Answer> =
        outputs.flat_map(|(_, on)| [unit.can_be_on(on), unit.can_be_on(&on.not())]).collect();
    for (name, on) in unit.outputs() {
        answers.extend(unit.moments().iter().map(|moment| unit.can_be_on_at(moment, on)));
        answers.push(unit.holds(Claim::OutputNever(name), |_| true));
        answers.push(unit.holds(Claim::OutputAlways(name), |_| true));
    }
    for input in &unit.logic.inputs {
        answers.extend([unit.has_effect(input), unit.looks_at(input)]);
        answers.push(unit.holds(Claim::InputWithoutEffect(input), |_| true));
        answers.extend(unit.reach(input).unwrap().iter().flat_map(|reach| [reach.on, reach.off]));
    }
    for option in &unit.unit_type.is.options {
        let choices = 1..option.choices.len();
        answers.extend(choices.map(|b| unit.holds(Claim::ChoicesAlike(&option.name.value, 0, b), |_| true)));
    }
    answers
}

proptest! {
    #[test]
    fn random_units_under_lower_limits(
        dice in prop::collection::vec(any::<u8>(), 400), steps in 3_u64..2000, inputs in 0_usize..8, nodes in 0_usize..40,
    ) {
        let job = open(&RandomJob::new(&dice).write(&|_| false, &[]).text);
        let usual = UnitBounds::default();
        let (full, told) = unit(&job, usual, |unit| (answers(unit), unit.verdicts()));
        prop_assert!(!full.contains(&Answer::Unknown));
        let tight = Bounds { inputs: 3, nodes: 3, steps: 3, ops: 3 };
        for bounds in [tight, Bounds { inputs, ..usual.0 }, Bounds { nodes, ..usual.0 }, Bounds { steps, ..usual.0 }] {
            let (bounded, verdicts) = unit(&job, UnitBounds(bounds), |unit| (answers(unit), unit.verdicts()));
            for (full, bounded) in full.iter().zip(&bounded) {
                prop_assert!(bounded.is_unknown() || full == bounded, "{bounds:?}");
            }
            for (full, bounded) in told.services.iter().zip(&verdicts.services) {
                let not_proven = bounded.verdict == Verdict::NotProven && bounded.hours.is_none();
                let same = (full.verdict, full.hours, full.gaps) == (bounded.verdict, bounded.hours, bounded.gaps);
                prop_assert!(not_proven || same, "{bounds:?}");
            }
        }
    }
}
