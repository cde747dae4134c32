//! A review as plain data: every finding at its line and column, every verdict, every deviation.

use analysis::{Because, Verdicts};
use calendar::Period;
use checks::Severity;
use model::{EntryId, FileId, Found, Name, Place as Spotted, Spot, Unit, View};
use std::ops::Range;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;
use syntax::Encoding;
use workspace::Workspace;

/// A stretch of a file. Lines and columns count from 1, columns in characters.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Place {
    /// Whether the file is one of the built-in library and not of the job.
    pub library: bool,
    /// Path from the job folder, `/` between names; for a built-in type, its name in the library.
    pub file: String,
    /// First line and column.
    pub from: (u32, u32),
    /// Line and column behind its end.
    pub to: (u32, u32),
}

/// A finding, or a reason of one, ready to show.
#[derive(Clone, Debug)]
pub struct Line {
    /// Where.
    pub place: Place,
    /// How bad.
    pub severity: Severity,
    /// What, why, what to do.
    pub message: String,
    /// The check.
    pub check: &'static str,
    /// The reasons, each at its place.
    pub because: Vec<(Place, String)>,
    /// Its proven repairs, least change first; nothing where they were not asked for.
    pub repairs: Option<Vec<RepairLine>>,
    /// The entry it was found in, and its number there.
    entry: EntryId,
    number: usize,
}

/// A proven repair, ready to show.
#[derive(Clone, Debug)]
pub struct RepairLine {
    /// What it does.
    pub title: String,
    /// What it does to the hours of services, if anything.
    pub effect: Option<String>,
    /// What is replaced, and by what.
    pub edits: Vec<(Place, String)>,
}

/// A deviation and what it hides.
#[derive(Clone, Debug)]
pub struct DeviationLine {
    /// Where it is stated.
    pub place: Place,
    /// The check whose findings it hides.
    pub check: Name,
    /// Why.
    pub reason: String,
    /// Messages of what it hides.
    pub hidden: Vec<String>,
}

/// The verdicts on one unit.
#[derive(Clone, Debug)]
pub struct UnitLine {
    /// The unit.
    pub unit: Name,
    /// Its verdicts.
    pub verdicts: Verdicts,
}

/// A whole review.
#[derive(Debug)]
pub struct Review {
    /// Findings by file, line and column.
    pub findings: Vec<Line>,
    /// Deviations that hide something, likewise.
    pub deviations: Vec<DeviationLine>,
    /// Verdicts by unit, in the order of files and lines.
    pub units: Vec<UnitLine>,
    /// The review period.
    pub period: Option<Arc<Period>>,
}

impl Review {
    /// The review with the repairs of its findings; without them where there are more findings than
    /// somebody repairs one by one, since each repair costs a trial.
    pub fn with_repairs(workspace: &Workspace) -> Review {
        let mut review = Review::of(workspace);
        if review.findings.len() <= MOST_REPAIRED {
            let mut repairer = workspace.repairer();
            for line in &mut review.findings {
                let found = workspace.outcome(line.entry).and_then(|o| o.findings.get(line.number));
                let proven =
                    found.map_or_else(Vec::new, |f| repairer.repairs(line.entry, f, &AtomicBool::new(false)));
                line.repairs = Some(proven.into_iter().map(|r| repair_line(workspace, r)).collect());
            }
        }
        review
    }

    /// The review of a job that was checked.
    pub fn of(workspace: &Workspace) -> Review {
        let mut review =
            Review { findings: Vec::new(), deviations: Vec::new(), units: Vec::new(), period: None };
        let view = View::new(workspace.job());
        review.period = analysis::period(&view, workspace.memo());
        for (file, _) in workspace.files() {
            review.add(workspace, file);
        }
        review.findings.sort_by(|a, b| (&a.place, a.check, &a.message).cmp(&(&b.place, b.check, &b.message)));
        review.deviations.sort_by(|a, b| a.place.cmp(&b.place));
        review
    }

    fn add(&mut self, workspace: &Workspace, file: FileId) {
        let Some(job_file) = workspace.job().file(file) else { return };
        for id in job_file.entries() {
            let Some(outcome) = workspace.outcome(*id) else { continue };
            for (number, finding) in outcome.findings.iter().enumerate() {
                let Some(place) = place(workspace, *id, &finding.spot) else { continue };
                let because = finding.because.iter().filter_map(|b| reason(workspace, b)).collect();
                self.findings.push(Line {
                    place,
                    severity: finding.severity,
                    message: finding.message.clone(),
                    check: finding.check.id,
                    because,
                    repairs: None,
                    entry: *id,
                    number,
                });
            }
            for deviation in &outcome.deviations {
                let Some(place) = place(workspace, *id, &deviation.spot) else { continue };
                self.deviations.push(DeviationLine {
                    place,
                    check: deviation.check.clone(),
                    reason: deviation.reason.clone(),
                    hidden: deviation.hidden.iter().map(|f| f.message.clone()).collect(),
                });
            }
            if let Some(verdicts) = &outcome.verdicts {
                let name = workspace.job().entry(*id).and_then(|e| e.part.key()).unwrap_or("");
                self.units.push(UnitLine { unit: Name::new(name), verdicts: verdicts.clone() });
            }
        }
    }

    /// How many findings are of each severity: errors, warnings, notes.
    pub fn counts(&self) -> [usize; 3] {
        let count = |severity| self.findings.iter().filter(|f| f.severity == severity).count();
        [count(Severity::Error), count(Severity::Warning), count(Severity::Note)]
    }
}

/// Findings up to which repairs are worked out for a report.
const MOST_REPAIRED: usize = 2000;

fn repair_line(workspace: &Workspace, repair: workspace::Repair) -> RepairLine {
    let place = |(file, range, new)| Some((file_place(workspace, file, &range)?, new));
    let edits = repair.edits.into_iter().filter_map(place).collect();
    RepairLine { title: repair.title, effect: repair.effect, edits }
}

fn reason(workspace: &Workspace, because: &Because) -> Option<(Place, String)> {
    let Spotted { entry, spot } = &because.place;
    Some((place(workspace, *entry, spot)?, because.text.clone()))
}

/// A spot of an entry as lines and columns.
pub(crate) fn place(workspace: &Workspace, id: EntryId, spot: &Spot) -> Option<Place> {
    let (file, span) = workspace.span(id, spot)?;
    file_place(workspace, file, &span)
}

fn file_place(workspace: &Workspace, file: FileId, span: &Range<u32>) -> Option<Place> {
    let file = workspace.job().file(file)?;
    let position = |offset| {
        let p = file.file().text().position(offset, Encoding::Utf32);
        (p.line + 1, p.character + 1)
    };
    Some(Place {
        library: file.library,
        file: file.path.clone(),
        from: position(span.start),
        to: position(span.end),
    })
}

/// The unit of this name, if the job has it.
pub(crate) fn unit<'j>(view: &View<'j>, name: &str) -> Option<Found<'j, Unit>> {
    view.find(&Name::new(name))
}
