//! Every repair that is offered clears its finding, brings no other, and keeps comments and line
//! endings: on the examples of every check's page, and on random jobs.

#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]

mod chance;
mod held;
mod pages;

use chance::Dice;
use checks::ALL;
use held::{checked, findings, hold};
use pages::bad_examples;
use std::cell::Cell;
use std::collections::BTreeMap;
use workspace::Workspace;

/// Repairs a job by the first repair of its first finding that has one, until nothing changes.
fn repair_all(mut workspace: Workspace) -> Workspace {
    for _ in 0..100 {
        let found = findings(&workspace);
        let first =
            found.iter().find_map(|(id, f)| Some((*id, f, workspace.repairs(*id, f).into_iter().next()?)));
        let Some((id, finding, repair)) = first else { return workspace };
        workspace = hold(&workspace, id, finding, &repair);
    }
    panic!("repairs do not come to an end");
}

#[test]
fn every_repair_of_an_example_holds() {
    let mut without = Vec::new();
    for check in ALL {
        let mut offered = 0;
        for files in bad_examples(check) {
            for (crlf, marked) in [(false, false), (false, true), (true, true)] {
                let write = |text: &str| {
                    let lines = text.lines().filter(|line| marked || !line.trim().starts_with('#'));
                    lines.map(|line| format!("{line}{}", if crlf { "\r\n" } else { "\n" })).collect()
                };
                let files: Vec<(String, String)> = files.iter().map(|(p, t)| (p.clone(), write(t))).collect();
                let workspace = checked(&files);
                for (id, finding) in findings(&workspace) {
                    for repair in workspace.repairs(id, &finding) {
                        offered += usize::from(finding.check.id == check.id);
                        hold(&workspace, id, &finding, &repair);
                    }
                }
                repair_all(workspace);
            }
        }
        if offered == 0 && !check.repairs.is_empty() {
            without.push(check.id);
        }
    }
    assert!(without.is_empty(), "nothing proven on an example of {without:?}");
}

#[test]
fn a_proof_is_given_up_on_the_way() {
    let mut given_up = 0;
    for files in ALL.iter().flat_map(|check| bad_examples(check)) {
        let workspace = checked(&files);
        for (id, finding) in findings(&workspace) {
            if workspace.repairs(id, &finding).is_empty() {
                continue;
            }
            let asked = Cell::new(0);
            let proven = workspace.repairer().repairs(id, &finding, &|| {
                asked.set(asked.get() + 1);
                asked.get() > 1
            });
            // Asked before the first attempt, before the first entry that it reaches, and then no more.
            assert!(asked.get() <= 3, "{finding:?}");
            // A repair that takes the entry out may reach no other.
            given_up += usize::from(proven.is_empty());
        }
    }
    assert!(given_up > 20, "{given_up}");
}

/// So many findings of random jobs, or as many as `DRYCALL_FINDINGS` says, from `DRYCALL_SEED` or
/// a seed that is always the same.
#[test]
fn every_repair_of_a_random_job_holds() {
    let number = |name: &str| std::env::var(name).ok().and_then(|text| text.parse::<u64>().ok());
    let seed = number("DRYCALL_SEED").unwrap_or(20_270_101);
    println!("DRYCALL_SEED={seed}");
    let wanted = number("DRYCALL_FINDINGS").unwrap_or(300) as usize;
    let (mut dice, mut met) = (Dice::new(seed), 0);
    let mut offered: BTreeMap<&str, [usize; 2]> = BTreeMap::new();
    while met < wanted {
        let workspace = checked(&[("job.yaml".to_owned(), chance::job(&mut dice))]);
        for (id, finding) in findings(&workspace) {
            let repairs = workspace.repairs(id, &finding);
            met += 1;
            let [found, with] = offered.entry(finding.check.id).or_default();
            *found += 1;
            *with += usize::from(!repairs.is_empty());
            for repair in repairs {
                hold(&workspace, id, &finding, &repair);
            }
        }
        repair_all(workspace);
    }
    println!("{offered:#?}");
    let (checks, repaired) = (offered.len(), offered.values().map(|[_, with]| with).sum::<usize>());
    // A run that meets little, or repairs little, would hold little.
    assert!(
        checks > 15 && repaired * 3 > met,
        "{repaired} of {met} findings of {checks} checks are repaired"
    );
}
