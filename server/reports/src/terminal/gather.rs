//! What only a window shows of a review, and the repairs of what it shows first.

use super::groups::{FileGroup, Headed, groups};
use crate::requirements::requirements;
use crate::review::{MOST_REPAIRED, RepairLine, Review, UnitLine, repair_line};
use checks::Severity;
use model::{EntryId, Name, Service, Unit, View, Zone};
use std::collections::HashMap;
use workspace::Workspace;

/// Findings in a window whose repairs are worked out, the first of what it shows: nobody waits for more. A proof takes
/// longer in a larger job, so there the fewer are worked out, the more entries it has.
const PROVEN_FIRST: (usize, usize) = (8, 150);
const ENTRIES_TO_PROVE_IN: usize = 200_000;

impl<'w> Review<'w> {
    /// The review with all that a window shows of it: lines, requirements, and, where changes can be tried, the
    /// repairs of what it shows first among findings from a severity on.
    pub fn for_window(workspace: &'w Workspace, from: Severity, changeable: bool) -> Review<'w> {
        let mut review = Review::of(workspace);
        let files = workspace.files().into_iter();
        let text = |(file, path)| Some((path, workspace.job().file(file)?.file().text()));
        review.texts = files.filter_map(text).collect();
        review.requirements = requirements(workspace);
        review.lost = hours_lost(workspace, &review.units);
        if changeable && review.findings.len() <= MOST_REPAIRED {
            review.prove_first(workspace, from);
        }
        review
    }

    /// Proves the repairs of what a window shows first.
    fn prove_first(&mut self, workspace: &'w Workspace, from: Severity) {
        let files = workspace.files().into_iter();
        let entries: usize =
            files.map(|(file, _)| workspace.job().file(file).map_or(0, |f| f.entries().len())).sum();
        let most = (ENTRIES_TO_PROVE_IN / entries.max(1)).clamp(PROVEN_FIRST.0, PROVEN_FIRST.1);
        let groups = groups(self, from);
        let heads = groups.iter().flat_map(FileGroup::in_full);
        let first = heads.flat_map(Headed::all).take(most);
        let first: Vec<(EntryId, usize)> = first.map(|line| (line.entry, line.number)).collect();
        let mut repairer = workspace.repairer();
        let mut proven: HashMap<(EntryId, usize), Vec<RepairLine<'w>>> = HashMap::with_capacity(first.len());
        for (entry, number) in first {
            let found = workspace.outcome(entry).and_then(|o| o.findings.get(number));
            let repairs = found.map_or_else(Vec::new, |f| repairer.repairs(entry, f, &|| false));
            let lines = repairs.into_iter().map(|r| repair_line(workspace, r)).collect();
            proven.insert((entry, number), lines);
        }
        for line in &mut self.findings {
            line.repairs = proven.remove(&(line.entry, line.number));
        }
    }
}

/// Hours in which units cannot dehumidify, by unit and, for the worst of a zone, by zone.
fn hours_lost(workspace: &Workspace, units: &[UnitLine<'_>]) -> HashMap<EntryId, f64> {
    let view = View::new(workspace.job());
    let mut lost: HashMap<EntryId, f64> = HashMap::with_capacity(units.len());
    for unit in units {
        let mut services = unit.verdicts.services.iter();
        let drying = services.find(|s| s.service == Service::Dehumidification.name());
        let Some(hours) = drying.and_then(|s| s.hours) else { continue };
        let idle = unit.verdicts.period_hours - hours;
        let zone = view.as_found::<Unit>(unit.entry).and_then(|found| found.is.zone.as_ref());
        let zone = zone.and_then(|zone| view.find::<Zone>(&Name::new(&zone.value)));
        for entry in std::iter::once(unit.entry).chain(zone.map(|zone| zone.id)) {
            let most = lost.entry(entry).or_default();
            *most = most.max(idle);
        }
    }
    lost
}
