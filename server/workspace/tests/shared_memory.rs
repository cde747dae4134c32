//! Two jobs with one memory: each is told what it would be told alone, and what they have in common is worked out once.

#![allow(clippy::unwrap_used)]

use analysis::{Analysis, Memo};
use model::{Unit, View};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use workspace::Workspace;

fn sample(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/saltmarsh-records-centre").join(name)
}

fn load(memo: &Arc<Memo>, name: &str) -> Workspace {
    Workspace::load_with(memo.clone(), &sample(name), &|_, _| {})
}

/// All that is found in words, with its reasons, and the verdicts.
fn told(workspace: &mut Workspace) -> Vec<String> {
    workspace.check(&|_, _| {});
    let files = workspace.files();
    let entries = files.iter().flat_map(|(file, _)| workspace.job().file(*file).unwrap().entries());
    let mut told = Vec::new();
    for outcome in entries.filter_map(|id| workspace.outcome(*id)) {
        for finding in &outcome.findings {
            let because: Vec<&str> = finding.because.iter().map(|because| because.text.as_str()).collect();
            told.push(format!("{}: {} {because:?}", finding.check.id, finding.message));
        }
        told.extend(outcome.verdicts.iter().map(|verdicts| format!("{verdicts:?}")));
    }
    told.sort();
    told
}

#[test]
fn jobs_that_share_a_memory_are_told_what_each_is_told_alone() {
    let names = ["clean", "with-mistakes"];
    let alone = names.map(|name| told(&mut Workspace::load(&sample(name), &|_, _| {})));
    assert!(alone.iter().all(|told| told.len() > 5));
    for memo in [Memo::default(), Memo::of_at_most(1)] {
        let memo = Arc::new(memo);
        let mut both = names.map(|name| load(&memo, name));
        for (workspace, alone) in both.iter_mut().zip(&alone) {
            assert_eq!(told(workspace), *alone);
        }
        // The one goes; what it left in the memory does the other no harm.
        let [_, mut left] = both;
        left.memo().sweep();
        let files: Vec<_> = left.files().iter().map(|(file, path)| (*file, (*path).to_owned())).collect();
        for (file, _) in files {
            let text = left.job().file(file).unwrap().file().text().to_string();
            left.set_text(file, "");
            left.set_text(file, &text);
        }
        assert_eq!(told(&mut left), alone[1]);
    }
}

#[test]
fn what_two_jobs_have_in_common_is_worked_out_once() {
    let memo = Arc::default();
    let both = [load(&memo, "clean"), load(&memo, "clean")];
    let views = both.each_ref().map(|workspace| View::new(workspace.job()));
    let reviews = views.each_ref().map(|view| Analysis::of_review(view, &memo).unwrap());
    let [one, other] = reviews.each_ref();
    assert!(Arc::ptr_eq(&one.over, &other.over), "one period");
    let units = views.each_ref().map(View::all::<Unit>);
    let [one, other] = [0, 1].map(|n| reviews[n].unit(units[n][0]).unwrap());
    assert!(Arc::ptr_eq(&one.logic, &other.logic), "one reading of a built-in type");
    assert!(
        std::ptr::eq(one.moments(), other.moments()),
        "one proof for both, since the units are wired alike"
    );
}
