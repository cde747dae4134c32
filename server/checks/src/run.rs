//! Runs every check that concerns one entry.

use crate::ALL;
use crate::check::{Check, Run};
use crate::checks::{deviation_unneeded, deviation_without_reason};
use crate::context::Ctx;
use crate::finding::{Finding, Sink};
use analysis::{Memo, Verdicts};
use model::{EntryId, Item, Job, Key, Name, Spot, View};
use rustc_hash::FxHashSet;
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// All that the checks found about one entry.
#[derive(Debug, Default)]
pub struct Outcome {
    /// Findings that stand.
    pub findings: Vec<Finding>,
    /// Deviations that hide something.
    pub deviations: Vec<Deviated>,
    /// Verdicts, if the entry is a unit that could be analysed.
    pub verdicts: Option<Verdicts>,
}

impl Outcome {
    /// Whether there is nothing to say of the entry.
    pub fn is_empty(&self) -> bool {
        self.findings.is_empty() && self.deviations.is_empty() && self.verdicts.is_none()
    }
}

/// A deviation with what it hides.
#[derive(Clone, Debug)]
pub struct Deviated {
    /// The check it names.
    pub check: Name,
    /// Why the findings are meant to stay.
    pub reason: String,
    /// The comment that states it.
    pub spot: Spot,
    /// What it hides.
    pub hidden: Vec<Finding>,
}

/// Runs the checks on one entry; nothing for a number that is no entry.
pub fn run(job: &Job, memo: &Memo, id: EntryId) -> Outcome {
    run_in(View::new(job), job, memo, id).0
}

/// Runs the checks on one entry, and notes the keys that were read: when one changes, the outcome is stale.
pub fn run_noting(job: &Job, memo: &Memo, id: EntryId) -> (Outcome, FxHashSet<Key>) {
    run_in(View::noting(job), job, memo, id)
}

fn run_in<'j>(view: View<'j>, job: &'j Job, memo: &'j Memo, id: EntryId) -> (Outcome, FxHashSet<Key>) {
    let Some(entry) = job.entry(id) else { return Default::default() };
    let ctx = Ctx::new(view, memo, id, entry);
    let mut findings = Vec::new();
    for &check in concerning(&entry.facts.item) {
        let mut sink = Sink { check, found: findings };
        let out = &mut sink;
        macro_rules! on {
            ($code:ident) => {
                if let Some(found) = ctx.view.as_found(id) {
                    $code(&ctx, found, out);
                }
            };
        }
        match check.run {
            Run::Entry(code) => code(&ctx, out),
            Run::Site(code) => {
                if let Item::Site(field) = &entry.facts.item {
                    code(&ctx, field, out);
                }
            }
            Run::Calendar(code) => on!(code),
            Run::Schedule(code) => on!(code),
            Run::Zone(code) => on!(code),
            Run::Unit(code) => on!(code),
            Run::Device(code) => on!(code),
            Run::Point(code) => on!(code),
            Run::UnitType(code) => on!(code),
            Run::Requirement(code) => on!(code),
            Run::Deviations => {}
        }
        findings = sink.found;
    }
    let deviations = deviate(&ctx, &mut findings);
    // A stable order of places makes the same job print the same review, however it came about.
    findings.sort_by_key(|f| (f.spot.span(&entry.part).start, f.check.id));
    findings.iter_mut().for_each(Finding::shrink);
    findings.shrink_to_fit();
    let verdicts = matches!(entry.facts.item, Item::Unit(_))
        .then(|| ctx.unit().map(analysis::UnitAnalysis::verdicts))
        .flatten();
    (Outcome { findings, deviations, verdicts }, ctx.view.into_reads())
}

/// The checks that look at such an entry, in the order of the registry. Each is asked once for each kind, since
/// most look at one kind only.
fn concerning(item: &Item) -> &'static [&'static Check] {
    static BY_KIND: [OnceLock<Vec<&'static Check>>; 11] = [const { OnceLock::new() }; 11];
    let row = match item {
        Item::Site(_) => 0,
        Item::Calendar(_) => 1,
        Item::Schedule(_) => 2,
        Item::Zone(_) => 3,
        Item::Unit(_) => 4,
        Item::Device(_) => 5,
        Item::Point(_) => 6,
        Item::UnitType(_) => 7,
        Item::Requirement(_) => 8,
        Item::Header => 9,
        Item::Stray => 10,
    };
    let concerned = || ALL.iter().copied().filter(|check| check.run.concerns(item)).collect();
    BY_KIND.get(row).map_or(ALL, |checks| checks.get_or_init(concerned))
}

/// Takes the findings that deviations hide out of `findings`, and adds those about deviations.
fn deviate(ctx: &Ctx<'_>, findings: &mut Vec<Finding>) -> Vec<Deviated> {
    let stated = ctx.entry.facts.deviations();
    if stated.is_empty() {
        return Vec::new();
    }
    // By check and node, so that each deviation looks at those alone that it hides.
    let mut places: BTreeMap<(&str, u32), Vec<usize>> = BTreeMap::new();
    for (number, finding) in findings.iter().enumerate() {
        if let Some(node) = finding.spot.node() {
            places.entry((finding.check.id, node.0)).or_default().push(number);
        }
    }
    let mut found: Vec<Option<Finding>> = std::mem::take(findings).into_iter().map(Some).collect();
    let (mut deviations, mut about) = (Vec::new(), Vec::new());
    for stated in stated {
        let spot = Spot::Comment(stated.comment);
        if stated.reason.is_empty() {
            about.push(deviation_without_reason::finding(stated, spot.clone()));
        }
        let check = stated.check.as_str();
        let covered = (check, stated.covers.start)..(check, stated.covers.end.max(stated.covers.start));
        let keys: Vec<_> = places.range(covered).map(|(key, _)| *key).collect();
        // What is hidden once is not looked at again.
        let mut numbers: Vec<usize> = keys.iter().filter_map(|key| places.remove(key)).flatten().collect();
        numbers.sort_unstable();
        let hidden: Vec<Finding> =
            numbers.into_iter().filter_map(|n| found.get_mut(n).and_then(Option::take)).collect();
        if hidden.is_empty() {
            about.push(deviation_unneeded::finding(stated, spot));
        } else {
            let (check, reason) = (stated.check.clone(), stated.reason.clone());
            deviations.push(Deviated { check, reason, spot, hidden });
        }
    }
    findings.extend(found.into_iter().flatten().chain(about));
    deviations
}
