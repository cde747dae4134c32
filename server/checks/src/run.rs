//! Runs every check that concerns one entry.

use crate::ALL;
use crate::check::{Check, Finding, FindingBuilder, HeldBackNote, Run, Sink};
use crate::context::Ctx;
use analysis::{Memo, Verdicts};
use model::{EntryId, Item, Job, Key, Name, Spot, View};
use rustc_hash::FxHashSet;
use std::collections::BTreeMap;
use std::sync::LazyLock;

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
    run_in(View::new(job), job, memo, id, None).0
}

/// Runs the checks on one entry, and notes the keys that were read: when one changes, the outcome is stale.
pub fn run_noting(job: &Job, memo: &Memo, id: EntryId) -> (Outcome, FxHashSet<Key>) {
    let (outcome, _, reads) = run_in(View::noting(job), job, memo, id, None);
    (outcome, reads)
}

/// Runs the checks on one entry to hear what holds them back, and which keys they read.
pub(crate) fn run_asking(job: &Job, memo: &Memo, id: EntryId) -> (Vec<HeldBackNote>, FxHashSet<Key>) {
    let (_, held, reads) = run_in(View::noting(job), job, memo, id, Some(Vec::new()));
    (held.unwrap_or_default(), reads)
}

fn run_in<'j>(
    view: View<'j>,
    job: &'j Job,
    memo: &'j Memo,
    id: EntryId,
    held: Option<Vec<HeldBackNote>>,
) -> (Outcome, Option<Vec<HeldBackNote>>, FxHashSet<Key>) {
    let Some(entry) = job.entry(id) else { return Default::default() };
    let ctx = Ctx::new(view, memo, id, entry);
    let concerning = concerning(&entry.facts.item);
    let Some(first) = concerning.first() else { return Default::default() };
    let mut sink = Sink { held, ..Sink::new(first) };
    for &check in concerning {
        sink.check = check;
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
            // When all else is known of the entry.
            Run::Deviation(_) => {}
        }
    }
    let deviations = deviate(&ctx, &mut sink);
    let mut findings: Vec<Finding> = sink.found.into_iter().map(|FindingBuilder(finding)| finding).collect();
    // A stable order of places makes the same job print the same review, however it came about.
    findings.sort_by_key(|f| (f.spot.span(&entry.part).start, f.check.id));
    findings.iter_mut().for_each(Finding::shrink);
    findings.shrink_to_fit();
    let verdicts = matches!(entry.facts.item, Item::Unit(_))
        .then(|| ctx.unit().map(analysis::UnitAnalysis::verdicts))
        .flatten();
    (Outcome { findings, deviations, verdicts }, sink.held, ctx.view.into_reads())
}

/// The checks that look at such an entry, in the order of the registry. Each is asked once for each kind, since
/// most look at one kind only.
fn concerning(item: &Item) -> &'static [&'static Check] {
    macro_rules! those {
        ($($run:ident),+) => {{
            static CHECKS: LazyLock<Vec<&'static Check>> =
                LazyLock::new(|| ALL.iter().copied().filter(|check| matches!(check.run, $(Run::$run(_))|+)).collect());
            &CHECKS
        }};
    }
    match item {
        Item::Site(_) => those!(Entry, Site),
        Item::Calendar(_) => those!(Entry, Calendar),
        Item::Schedule(_) => those!(Entry, Schedule),
        Item::Zone(_) => those!(Entry, Zone),
        Item::Unit(_) => those!(Entry, Unit),
        Item::Device(_) => those!(Entry, Device),
        Item::Point(_) => those!(Entry, Point),
        Item::UnitType(_) => those!(Entry, UnitType),
        Item::Requirement(_) => those!(Entry, Requirement),
        _ => those!(Entry),
    }
}

/// Takes the findings that deviations hide out of those found, and runs the checks about deviations.
fn deviate(ctx: &Ctx<'_>, sink: &mut Sink) -> Vec<Deviated> {
    let stated = ctx.entry.facts.deviations();
    if stated.is_empty() {
        return Vec::new();
    }
    // By check and node, so that each deviation looks at those alone that it hides.
    let mut places: BTreeMap<(&str, u32), Vec<usize>> = BTreeMap::new();
    for (number, FindingBuilder(finding)) in sink.found.iter().enumerate() {
        if let Some(node) = finding.spot.node() {
            places.entry((finding.check.id, node.0)).or_default().push(number);
        }
    }
    let mut found: Vec<Option<FindingBuilder>> = sink.found.drain(..).map(Some).collect();
    let about_deviations = || {
        ALL.iter().filter_map(|check| match check.run {
            Run::Deviation(code) => Some((*check, code)),
            _ => None,
        })
    };
    let mut deviations = Vec::new();
    for stated in stated {
        let check = stated.check.as_str();
        let covered = (check, stated.covers.start)..(check, stated.covers.end.max(stated.covers.start));
        let keys: Vec<_> = places.range(covered).map(|(key, _)| *key).collect();
        // What is hidden once is not looked at again.
        let mut numbers: Vec<usize> = keys.iter().filter_map(|key| places.remove(key)).flatten().collect();
        numbers.sort_unstable();
        let hidden = numbers.into_iter().filter_map(|n| found.get_mut(n).and_then(Option::take));
        let hidden: Vec<Finding> = hidden.map(|FindingBuilder(finding)| finding).collect();
        for (check, code) in about_deviations() {
            sink.check = check;
            code(stated, hidden.len(), sink);
        }
        if !hidden.is_empty() {
            let spot = Spot::Comment(stated.comment);
            let (check, reason) = (stated.check.clone(), stated.reason.clone());
            deviations.push(Deviated { check, reason, spot, hidden });
        }
    }
    let about = std::mem::take(&mut sink.found);
    sink.found = found.into_iter().flatten().chain(about).collect();
    deviations
}
