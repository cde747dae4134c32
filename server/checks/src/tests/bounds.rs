//! What lower limits make of a job: nothing is found that is not so, and what can no longer be found is said to be
//! not proven.

#![allow(clippy::unwrap_used, clippy::disallowed_methods)]

use crate::example::examples;
use crate::tests::fixture::job;
use crate::{ALL, Outcome, run};
use analysis::{Memo, UnitBounds, Verdict};
use logic::Bounds;
use model::{FileId, Job};
use std::fmt::Write as _;
use std::path::Path;

/// Every limit at 3, each alone and together, and some between that and the usual ones.
fn lowered() -> Vec<Bounds> {
    let usual = UnitBounds::default().0;
    let mut bounds = vec![
        Bounds { inputs: 3, nodes: 3, steps: 3, ops: 3 },
        Bounds { inputs: 3, ..usual },
        Bounds { nodes: 3, ..usual },
        Bounds { ops: 3, ..usual },
    ];
    bounds.extend([3, 10, 30, 100, 300, 1000, 3000].map(|steps| Bounds { steps, ..usual }));
    bounds
}

fn outcomes(job: &Job, files: &[FileId], memo: &Memo) -> Vec<Outcome> {
    let entries = files.iter().flat_map(|file| job.file(*file).unwrap().entries());
    entries.map(|id| run(job, memo, *id)).collect()
}

/// What an entry is found to be, without `not-proven` and what it hides.
fn found(outcome: &Outcome) -> Vec<&'static str> {
    let hidden = outcome.deviations.iter().flat_map(|deviation| &deviation.hidden);
    let all = outcome.findings.iter().chain(hidden).map(|finding| finding.check.id);
    // Predictions count on nothing that is not proven, and prove nothing themselves.
    let all = all.filter(|id| !["predicted-too-humid", "predicted-mold"].contains(id));
    let mut ids: Vec<&'static str> =
        all.filter(|id| *id != "not-proven" && *id != "deviation-unneeded").collect();
    ids.sort_unstable();
    ids.dedup();
    ids
}

fn is_unproven(outcome: &Outcome) -> bool {
    outcome.findings.iter().any(|finding| finding.check.id == "not-proven")
}

/// Checks that leave a finding to others where they can prove that it follows from what those tell. It is so in any
/// case. And a unit that is not proven to run closes no gap of another.
const LEFT_TO_OTHERS: [&str; 8] = [
    "dehumidification-gap",
    "dehumidification-never-runs",
    "input-not-wired",
    "input-without-effect",
    "output-always-on",
    "output-never-on",
    "reheat-never-enabled",
    "stage-never-reached",
];

/// How many verdicts were given up.
fn compare(name: &str, job: &Job, files: &[FileId]) -> usize {
    let full = outcomes(job, files, &Memo::default());
    let mut given_up = 0;
    for bounds in lowered() {
        let bounded = outcomes(job, files, &Memo::bounded(UnitBounds(bounds)));
        for (full, bounded) in full.iter().zip(&bounded) {
            let (all, some) = (found(full), found(bounded));
            let more: Vec<_> = some.iter().filter(|id| !all.contains(id)).collect();
            let left = more.iter().all(|id| LEFT_TO_OTHERS.contains(id)) && is_unproven(bounded);
            assert!(more.is_empty() || left, "{name} at {bounds:?}: {more:?}");
            let less: Vec<_> = all.iter().filter(|id| !some.contains(id)).collect();
            assert!(less.is_empty() || is_unproven(bounded), "{name} at {bounds:?}: {less:?} without a word");
            let services = |outcome: &Outcome| outcome.verdicts.clone().map_or(Vec::new(), |v| v.services);
            for (full, bounded) in services(full).into_iter().zip(services(bounded)) {
                if bounded.verdict == Verdict::NotProven {
                    given_up += 1;
                    assert_eq!((bounded.hours, bounded.gaps, bounded.longest_gap), (None, None, None));
                    continue;
                }
                let told = |v: &analysis::ServiceVerdict| (v.verdict, v.hours, v.gaps, v.longest_gap);
                assert_eq!(told(&full), told(&bounded), "{name} at {bounds:?}");
                // Sets that block it are sets that do, whether or not all could be listed.
                assert!(bounded.cut_short || full.unless == bounded.unless, "{name} at {bounds:?}");
            }
            let unproven = services(bounded).iter().any(|service| service.verdict == Verdict::NotProven);
            assert!(!unproven || is_unproven(bounded), "{name} at {bounds:?}");
        }
    }
    given_up
}

#[test]
fn examples_under_lower_limits() {
    let mut given_up = 0;
    for check in ALL.iter().filter(|check| check.id != "not-proven") {
        for (n, example) in examples(&check.page()).iter().enumerate() {
            let (job, files) = job(&example.text);
            given_up += compare(&format!("{} example {}", check.id, n + 1), &job, &files);
        }
    }
    assert!(given_up > 500, "{given_up}");
}

#[test]
fn samples_under_lower_limits() {
    let samples = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/saltmarsh-records-centre");
    for sample in ["clean", "with-mistakes"] {
        let (mut text, mut open) = (String::new(), vec![samples.join(sample)]);
        while let Some(folder) = open.pop() {
            for file in std::fs::read_dir(folder).unwrap().map(|file| file.unwrap().path()) {
                if file.is_dir() {
                    open.push(file);
                } else if file.extension().is_some_and(|e| e == "yaml") {
                    writeln!(text, "# file: {}", file.file_name().unwrap().to_str().unwrap()).unwrap();
                    text += &std::fs::read_to_string(&file).unwrap();
                }
            }
        }
        let (job, files) = job(&text);
        assert!(compare(sample, &job, &files) > 20);
    }
}
