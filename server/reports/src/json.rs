//! The review for programs. Lines and columns count from 1, columns in characters; times are local.

use crate::review::{FileSpan, RepairLine, Review};
use crate::text::LIBRARY;
use analysis::Gap;
use calendar::Period;
use checks::Severity;
use serde::Serialize;
use std::borrow::Cow;
use workspace::LeftOut;

/// Raised when the form changes so that a reader has to know.
const FORMAT: u32 = 1;

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct Whole<'r> {
    format: u32,
    /// Of drycall.
    version: &'static str,
    /// Its name; `null` where the job gives none.
    site: Option<&'r str>,
    /// Of the whole job, whatever was left out of `findings`.
    counts: CountsForm,
    files: FilesForm<'r>,
    period: Option<PeriodForm<'r>>,
    findings: Vec<FindingForm<'r>>,
    verdicts: Vec<VerdictForm<'r>>,
    deviations: Vec<DeviationForm<'r>>,
}

/// What was read of the job's folder, and what was not.
#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct FilesForm<'r> {
    read: usize,
    /// Whether all that belongs to the job was read.
    complete: bool,
    left_out: Vec<LeftOutForm<'r>>,
}

#[derive(Serialize)]
struct LeftOutForm<'r> {
    /// From the job folder; what is no Unicode is replaced.
    path: &'r str,
    why: &'static str,
}

#[derive(Serialize)]
struct CountsForm {
    errors: usize,
    warnings: usize,
    notes: usize,
    deviations: usize,
}

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct PeriodForm<'r> {
    from: String,
    to: String,
    time_zone: &'r str,
    hours: f64,
}

#[derive(Serialize)]
struct Position {
    line: u32,
    column: u32,
}

#[derive(Serialize)]
struct RangeForm {
    from: Position,
    to: Position,
}

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct FindingForm<'r> {
    /// The same as long as what the finding is about stays, whatever its words, line and file.
    id: String,
    check: &'r str,
    severity: &'r str,
    file: &'r str,
    range: RangeForm,
    message: &'r str,
    /// The `id` of the finding from which it follows.
    #[serde(skip_serializing_if = "Option::is_none")]
    follows_from: Option<String>,
    because: Vec<ReasonForm<'r>>,
    /// `null` in a job with more findings than repairs are worked out for.
    repairs: Option<Vec<RepairForm<'r>>>,
}

#[derive(Serialize)]
struct RepairForm<'r> {
    title: &'r str,
    effect: Option<&'r str>,
    /// Whether it changes no meaning but the fault.
    safe: bool,
    edits: Vec<EditForm<'r>>,
}

#[derive(Serialize)]
struct EditForm<'r> {
    file: &'r str,
    range: RangeForm,
    new: &'r str,
}

#[derive(Serialize)]
struct ReasonForm<'r> {
    /// `library:NAME` for a built-in type.
    file: String,
    range: RangeForm,
    text: &'r str,
}

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct VerdictForm<'r> {
    unit: &'r str,
    service: &'r str,
    verdict: &'r str,
    /// `null` where that is not proven, like the gaps.
    hours: Option<f64>,
    gaps: Option<usize>,
    longest_gap: Option<GapForm>,
    unless: &'r [String],
    /// Whether `unless` lists all there is.
    unless_complete: bool,
}

#[derive(Serialize)]
struct GapForm {
    from: String,
    to: String,
    hours: f64,
}

#[derive(Serialize)]
struct DeviationForm<'r> {
    check: &'r str,
    file: &'r str,
    range: RangeForm,
    reason: &'r str,
    hides: &'r [Cow<'r, str>],
}

/// The review as one JSON object, indented, with a line end. Findings below `from` are left out.
pub fn review_json(review: &Review<'_>, from: Severity) -> String {
    let [errors, warnings, notes] = review.counts();
    let whole = Whole {
        format: FORMAT,
        version: env!("CARGO_PKG_VERSION"),
        site: review.site,
        counts: CountsForm { errors, warnings, notes, deviations: review.deviations.len() },
        files: FilesForm {
            read: review.files_read,
            complete: review.files_read > 0 && !review.left_out.iter().any(LeftOut::may_matter),
            left_out: review.left_out.iter().map(left_out).collect(),
        },
        period: review.period.as_ref().map(|p| PeriodForm {
            from: p.first_date().to_string(),
            to: p.last_date().to_string(),
            time_zone: p.zone(),
            hours: p.hours(),
        }),
        findings: findings(review, from),
        verdicts: verdicts(review),
        deviations: deviations(review),
    };
    // Plain data with string keys: there is nothing in it that cannot be written.
    serde_json::to_string_pretty(&whole).unwrap_or_default() + "\n"
}

fn left_out(left: &LeftOut) -> LeftOutForm<'_> {
    LeftOutForm { path: &left.path, why: left.why.word() }
}

fn findings<'r>(review: &'r Review<'_>, from: Severity) -> Vec<FindingForm<'r>> {
    let shown = review.findings.iter().filter(|f| f.severity >= from);
    shown
        .map(|f| FindingForm {
            id: f.id.to_string(),
            check: f.check,
            severity: f.severity.word(),
            file: f.place.file,
            range: range(&f.place),
            message: &f.message,
            follows_from: f.follows.and_then(|n| Some(review.findings.get(n)?.id.to_string())),
            because: f
                .because
                .iter()
                .map(|(place, text)| ReasonForm {
                    file: if place.library {
                        format!("{LIBRARY}{}", place.file)
                    } else {
                        place.file.to_owned()
                    },
                    range: range(place),
                    text,
                })
                .collect(),
            repairs: f.repairs.as_ref().map(|repairs| repairs.iter().map(repair).collect()),
        })
        .collect()
}

fn repair<'r>(repair: &'r RepairLine<'_>) -> RepairForm<'r> {
    RepairForm {
        title: &repair.title,
        effect: repair.effect.as_deref(),
        safe: repair.safe,
        edits: repair
            .edits
            .iter()
            .map(|(place, new)| EditForm { file: place.file, range: range(place), new })
            .collect(),
    }
}

fn verdicts<'r>(review: &'r Review<'_>) -> Vec<VerdictForm<'r>> {
    let each = review.units.iter().flat_map(|u| u.verdicts.services.iter().map(move |s| (u, s)));
    each.map(|(unit, s)| VerdictForm {
        unit: unit.unit,
        service: &s.service,
        verdict: s.verdict.key(),
        hours: s.hours,
        gaps: s.gaps,
        longest_gap: s.longest_gap.zip(review.period.as_ref()).map(|(g, p)| gap(&g, p)),
        unless: &s.unless,
        unless_complete: !s.cut_short,
    })
    .collect()
}

fn deviations<'r>(review: &'r Review<'_>) -> Vec<DeviationForm<'r>> {
    let each = review.deviations.iter();
    each.map(|d| DeviationForm {
        check: d.check,
        file: d.place.file,
        range: range(&d.place),
        reason: d.reason,
        hides: &d.hidden,
    })
    .collect()
}

fn range(place: &FileSpan<'_>) -> RangeForm {
    let position = |(line, column)| Position { line, column };
    RangeForm { from: position(place.from), to: position(place.to) }
}

fn gap(gap: &Gap, period: &Period) -> GapForm {
    GapForm { from: local(period, gap.from), to: local(period, gap.to), hours: gap.hours() }
}

/// `2027-05-28T17:00`, local.
fn local(period: &Period, instant: i64) -> String {
    match period.local(instant) {
        Some(t) => format!("{}T{:02}:{:02}", t.date, t.minute / 60, t.minute % 60),
        None => format!("{}T24:00", period.last_date()),
    }
}
