//! A review as plain data: every finding at its line and column, every verdict, every deviation.

use crate::requirements::RequirementLine;
use analysis::{Analysis, Because, Verdicts};
use calendar::Period;
use checks::{FindingId, Severity, causes, identify};
use model::{EntryId, FileId, Place, SiteField, Spot, View};
use rayon::prelude::*;
use std::borrow::Cow;
use std::collections::HashMap;
use std::ops::Range;
use std::sync::Arc;
use syntax::{Encoding, Position, Text};
use workspace::{LeftOut, Workspace};

/// A stretch of a file. Lines and columns count from 1, columns in characters.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct FileSpan<'w> {
    /// Whether the file is one of the built-in library and not of the job.
    pub library: bool,
    /// Path from the job folder, `/` between names; for a built-in type, its name in the library.
    pub file: &'w str,
    /// First line and column.
    pub from: (u32, u32),
    /// Line and column behind its end.
    pub to: (u32, u32),
}

/// A finding, or a reason of one, ready to show.
#[derive(Clone, Debug)]
pub struct FindingLine<'w> {
    /// What it is called by programs: the same as long as what it is about stays.
    pub id: FindingId,
    /// Where.
    pub place: FileSpan<'w>,
    /// How bad.
    pub severity: Severity,
    /// What, why, what to do.
    pub message: Cow<'w, str>,
    pub check: &'static str,
    /// The reasons, each at its place.
    pub because: Box<[(FileSpan<'w>, &'w str)]>,
    /// The number of the finding from which it follows.
    pub follows: Option<usize>,
    /// Its proven repairs, least change first; nothing where they were not asked for.
    pub repairs: Option<Vec<RepairLine<'w>>>,
    /// Its bytes in the file.
    pub(crate) bytes: Range<u32>,
    /// The entry it was found in, and its number there.
    pub(crate) entry: EntryId,
    pub(crate) number: usize,
}

/// A proven repair, ready to show.
#[derive(Clone, Debug)]
pub struct RepairLine<'w> {
    /// What it does.
    pub title: String,
    /// What it does to the hours of services, if anything.
    pub effect: Option<String>,
    /// Whether it changes no meaning but the fault.
    pub safe: bool,
    /// What is replaced, and by what.
    pub edits: Vec<(FileSpan<'w>, String)>,
}

/// A deviation and what it hides.
#[derive(Clone, Debug)]
pub struct DeviationLine<'w> {
    /// Where it is stated.
    pub place: FileSpan<'w>,
    /// The check whose findings it hides.
    pub check: &'w str,
    /// Why.
    pub reason: &'w str,
    /// Messages of what it hides.
    pub hidden: Vec<Cow<'w, str>>,
}

/// The verdicts on one unit.
#[derive(Clone, Copy, Debug)]
pub struct UnitLine<'w> {
    pub unit: &'w str,
    pub verdicts: &'w Verdicts,
    /// Its entry.
    pub(crate) entry: EntryId,
}

#[derive(Debug, Default)]
pub struct Review<'w> {
    /// The site's name.
    pub site: Option<&'w str>,
    /// Findings by file, line and column.
    pub findings: Vec<FindingLine<'w>>,
    /// Deviations that hide something, likewise.
    pub deviations: Vec<DeviationLine<'w>>,
    /// Verdicts by unit, in the order of files and lines.
    pub units: Vec<UnitLine<'w>>,
    /// The review period.
    pub period: Option<Arc<Period>>,
    /// How many files were read.
    pub files_read: usize,
    /// What lies in the job's folder and was not read.
    pub left_out: &'w [LeftOut],
    /// Requirements, those that are missed first; only for a terminal.
    pub requirements: Vec<RequirementLine<'w>>,
    /// The texts of the job's files, by path; only for a terminal.
    pub(crate) texts: HashMap<&'w str, &'w Text>,
    /// Hours of the period in which a unit, or a unit of a zone, cannot dehumidify; only for a terminal.
    pub(crate) lost: HashMap<EntryId, f64>,
}

impl<'w> Review<'w> {
    /// The review with the repairs of its findings; without them where there are more findings than
    /// somebody repairs one by one, since each repair costs a trial.
    pub fn with_repairs(workspace: &'w Workspace) -> Review<'w> {
        let mut review = Review::of(workspace);
        if review.findings.len() <= MOST_REPAIRED {
            let mut repairer = workspace.repairer();
            for line in &mut review.findings {
                let found = workspace.outcome(line.entry).and_then(|o| o.findings.get(line.number));
                let proven = found.map_or_else(Vec::new, |f| repairer.repairs(line.entry, f, &|| false));
                line.repairs = Some(proven.into_iter().map(|r| repair_line(workspace, r)).collect());
            }
        }
        review
    }

    /// The review of a job that was checked.
    pub fn of(workspace: &'w Workspace) -> Review<'w> {
        let files = workspace.files();
        let view = View::new(workspace.job());
        let period = Analysis::of_review(&view, workspace.memo()).map(|review| review.over);
        let site = match view.site_field("name") {
            Some((_, SiteField::Name(name))) => Some(name.value.as_str()),
            _ => None,
        };
        let mut review = Review {
            site,
            period,
            files_read: workspace.files_read(),
            left_out: workspace.left_out(),
            ..Review::default()
        };
        review.findings.reserve_exact(files.iter().map(|(file, _)| count(workspace, *file)).sum());
        // Files come in the order of their paths, so what is sorted in each is sorted. Not all are held twice.
        for some in files.chunks(AT_ONCE) {
            let of_files: Vec<Review<'w>> =
                some.par_iter().map(|(file, _)| Review::of_file(workspace, *file)).collect();
            for of_file in of_files {
                review.findings.extend(of_file.findings);
                review.deviations.extend(of_file.deviations);
                review.units.extend(of_file.units);
            }
        }
        review.name_findings(workspace);
        review.order_causes(workspace);
        review
    }

    fn of_file(workspace: &'w Workspace, file: FileId) -> Review<'w> {
        let mut review = Review::default();
        review.findings.reserve_exact(count(workspace, file));
        for id in entries(workspace, file) {
            review.add(workspace, *id);
        }
        review.findings.sort_by(|a, b| (&a.place, a.check, &a.message).cmp(&(&b.place, b.check, &b.message)));
        review.deviations.sort_by(|a, b| a.place.cmp(&b.place));
        review
    }

    /// Gives each finding its name, which only among all of the job is its own.
    fn name_findings(&mut self, workspace: &Workspace) {
        let found = |line: &FindingLine<'_>| {
            let finding = workspace.outcome(line.entry)?.findings.get(line.number)?;
            Some((workspace.job().entry(line.entry)?, finding))
        };
        let names = identify(self.findings.iter().filter_map(found));
        self.findings.iter_mut().zip(names).for_each(|(line, name)| line.id = name);
    }

    /// Says of each finding from which it follows.
    fn order_causes(&mut self, workspace: &Workspace) {
        let found = |line: &FindingLine<'_>| {
            let finding = workspace.outcome(line.entry)?.findings.get(line.number)?;
            Some((line.entry, finding))
        };
        let found: Vec<_> = self.findings.iter().filter_map(found).collect();
        // Findings without an outcome are none.
        if found.len() == self.findings.len() {
            let causes = causes(workspace.job(), &found);
            self.findings.iter_mut().zip(causes).for_each(|(line, cause)| line.follows = cause);
        }
    }

    fn add(&mut self, workspace: &'w Workspace, id: EntryId) {
        let Some(outcome) = workspace.outcome(id) else { return };
        for (number, finding) in outcome.findings.iter().enumerate() {
            let Some((file, bytes)) = workspace.span(id, &finding.spot) else { continue };
            let Some(place) = file_place(workspace, file, &bytes) else { continue };
            self.findings.push(FindingLine {
                id: FindingId::default(),
                place,
                severity: finding.severity,
                message: finding.shown(workspace.job()),
                check: finding.check.id,
                because: finding.because.iter().filter_map(|b| reason(workspace, b)).collect(),
                follows: None,
                repairs: None,
                bytes,
                entry: id,
                number,
            });
        }
        for deviation in &outcome.deviations {
            let Some(place) = place(workspace, id, &deviation.spot) else { continue };
            self.deviations.push(DeviationLine {
                place,
                check: &deviation.check,
                reason: &deviation.reason,
                hidden: deviation.hidden.iter().map(|f| f.shown(workspace.job())).collect(),
            });
        }
        if let Some(verdicts) = &outcome.verdicts {
            let unit = workspace.job().entry(id).and_then(|e| e.part.key()).unwrap_or("");
            self.units.push(UnitLine { unit, verdicts, entry: id });
        }
    }

    /// Hours of the period in which the unit that a finding is about, or a unit of its zone, cannot dehumidify; none
    /// where that is not proven, or it is about something else.
    pub(crate) fn hours_lost(&self, finding: &FindingLine<'_>) -> f64 {
        self.lost.get(&finding.entry).copied().unwrap_or(0.0)
    }

    /// How many findings are of each severity: errors, warnings, notes.
    pub fn counts(&self) -> [usize; 3] {
        let count = |severity| self.findings.iter().filter(|f| f.severity == severity).count();
        [count(Severity::Error), count(Severity::Warning), count(Severity::Note)]
    }
}

/// Findings up to which repairs are worked out for a report.
pub(crate) const MOST_REPAIRED: usize = 2000;

/// So many files are gone through side by side.
const AT_ONCE: usize = 64;

fn entries(workspace: &Workspace, file: FileId) -> &[EntryId] {
    workspace.job().file(file).map_or(&[], model::JobFile::entries)
}

/// How many findings a file has.
fn count(workspace: &Workspace, file: FileId) -> usize {
    let found = |id: &EntryId| workspace.outcome(*id).map_or(0, |outcome| outcome.findings.len());
    entries(workspace, file).iter().map(found).sum()
}

/// A proven repair with its places.
pub(crate) fn repair_line(workspace: &Workspace, repair: workspace::Repair) -> RepairLine<'_> {
    let place = |(file, range, new)| Some((file_place(workspace, file, &range)?, new));
    let edits = repair.edits.into_iter().filter_map(place).collect();
    RepairLine { title: repair.title, effect: repair.effect, safe: repair.safe, edits }
}

fn reason<'w>(workspace: &'w Workspace, because: &'w Because) -> Option<(FileSpan<'w>, &'w str)> {
    let Place { entry, spot } = &because.place;
    Some((place(workspace, *entry, spot)?, &because.text))
}

/// A spot of an entry as lines and columns.
pub(crate) fn place<'w>(workspace: &'w Workspace, id: EntryId, spot: &Spot) -> Option<FileSpan<'w>> {
    let (file, span) = workspace.span(id, spot)?;
    file_place(workspace, file, &span)
}

fn file_place<'w>(workspace: &'w Workspace, file: FileId, span: &Range<u32>) -> Option<FileSpan<'w>> {
    let file = workspace.job().file(file)?;
    let positions = file.file().text().positions(span, Encoding::Utf32);
    let from_one = |p: Position| (p.line + 1, p.character + 1);
    Some(FileSpan {
        library: file.library,
        file: &file.path,
        from: from_one(positions.start),
        to: from_one(positions.end),
    })
}
