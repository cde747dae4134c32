//! With other words each time a check speaks, every repair is as it was.

#![allow(clippy::unwrap_used)]

#[path = "../../tests/chance/mod.rs"]
mod chance;
#[path = "../../tests/pages/mod.rs"]
mod pages;

use crate::{Repair, Workspace};
use checks::{ALL, Outcome};
use std::path::Path;
use std::sync::atomic::{AtomicU64, Ordering};

/// While it is not 0, whatever a check says is put into words that are never twice the same.
static SPOKEN: AtomicU64 = AtomicU64::new(0);

pub(super) fn in_words(mut outcome: Outcome) -> Outcome {
    if SPOKEN.load(Ordering::Relaxed) > 0 {
        for finding in &mut outcome.findings {
            finding.message = words();
            finding.because.iter_mut().for_each(|because| because.text = words());
        }
    }
    outcome
}

/// Words in an order of no meaning, with their number: the last of a golden-ratio hash (Knuth, TAOCP 3, §6.4).
fn words() -> String {
    const WORDS: [&str; 8] = ["`DH-1`", "never", "Mon", "Tue", "heating", "17:00", "the room", "occupied"];
    let n = SPOKEN.fetch_add(1, Ordering::Relaxed);
    let hash = n.wrapping_mul(0x9E37_79B9_7F4A_7C15);
    let word = |at: u32| WORDS.get((hash >> (61 - 3 * at)) as usize & 7).copied().unwrap_or_default();
    format!("{} {} {} {} {n}", word(0), word(1), word(2), word(3))
}

/// All repairs of all findings, in their order.
fn repairs(files: &[(String, String)]) -> Vec<Vec<Repair>> {
    let mut workspace = Workspace::empty(Path::new("nowhere"));
    for (path, text) in files
        .iter()
        .filter(|(path, _)| Path::new(path).extension().is_some_and(|extension| extension == "yaml"))
    {
        workspace.open(path, text);
    }
    workspace.check(&|_, _| {});
    let ids = workspace.files().into_iter().flat_map(|(file, _)| workspace.findings(file));
    let mut repairer = workspace.repairer();
    ids.map(|(id, finding)| repairer.repairs(id, finding, &|| false)).collect()
}

#[test]
fn other_words_change_no_repair() {
    let mut dice = chance::Dice::new(15);
    let random = (0..40).map(|_| vec![("job.yaml".to_owned(), chance::job(&mut dice))]);
    let jobs = ALL.iter().flat_map(|check| pages::bad_examples(check)).chain(random);
    let mut offered = 0;
    for files in jobs {
        SPOKEN.store(0, Ordering::Relaxed);
        let plain = repairs(&files);
        SPOKEN.store(1, Ordering::Relaxed);
        assert_eq!(repairs(&files), plain, "{files:?}");
        offered += plain.iter().flatten().count();
    }
    SPOKEN.store(0, Ordering::Relaxed);
    assert!(offered > 300, "{offered}");
}
