//! The commands.

use crate::arguments::{Command, Format, HoursFormat, Level, PredictionFormat, ReviewFormat};
use crate::output::{self, show};
use crate::{job, start};
use checks::Severity;
use model::{Kind, Name, View};
use reports::{Form, Review};
use std::io::IsTerminal;
use std::path::Path;
use std::process::ExitCode;
use workspace::Workspace;

/// Runs a command.
///
/// # Errors
/// A message that says why it could not be done.
pub(crate) fn run(command: Command) -> Result<ExitCode, String> {
    match command {
        Command::Review { job, format, reasons, out, level } => {
            review(&job, &Asked { format, reasons, out: out.as_deref(), level })
        }
        Command::Repair { job, write: false } => crate::repair::show_all(&job),
        Command::Repair { job, write: true } => crate::repair::write(&job),
        Command::Explain { name, messages } => explain(name.as_deref(), messages),
        Command::Chart { unit, job, format } => {
            let workspace = job::read(&job)?;
            let chart = workspace.chart(&unit).ok_or_else(|| no_unit(&workspace, &unit))?;
            show(&match format {
                Format::Text => reports::chart_text(&chart),
                Format::Json => format!("{:#}\n", reports::chart_json(&chart)),
            })?;
            Ok(job::status(&workspace, 0))
        }
        Command::Hours { unit, job, week, format, service } => {
            let week = week.map(|date| {
                date.parse()
                    .map_err(|_| format!("`{date}` is not a date. Write year-month-day, like 2027-06-07"))
            });
            let (workspace, week) = (job::read(&job)?, week.transpose()?);
            show(&hours(&workspace, &unit, week, format, service.as_deref())?)?;
            Ok(job::status(&workspace, 0))
        }
        Command::Predict { zone, job, format, out } => {
            let workspace = job::read(&job)?;
            job::spare(&workspace, out.as_deref())?;
            let forecast = workspace.forecast(&zone)?;
            let prediction = match format {
                PredictionFormat::Text => reports::drift_text(&forecast),
                PredictionFormat::Json => format!("{:#}\n", reports::drift_json(&forecast)),
                PredictionFormat::Svg => reports::drift_svg(&forecast)?,
            };
            output::deliver(&prediction, out.as_deref())?;
            Ok(job::status(&workspace, 0))
        }
        Command::New { folder } => show(&(start::new_job(&folder)? + "\n")),
        Command::Serve { stdio: _ } => Ok(language_server::serve()),
    }
}

/// The hours of a unit in a form.
fn hours(
    workspace: &Workspace,
    unit: &str,
    week: Option<calendar::Date>,
    format: HoursFormat,
    service: Option<&str>,
) -> Result<String, String> {
    let sheet = workspace.unit_sheet(unit, week).ok_or_else(|| no_unit(workspace, unit))?;
    if format == HoursFormat::Text {
        return Ok(reports::hours_text(&sheet));
    }
    let locate = |place: &model::Place| reports::drawing::link(workspace, place);
    let page = workspace.unit_page(unit, service, week, &locate)?;
    Ok(match format {
        HoursFormat::Svg => reports::drawing::week_svg(&page),
        _ => format!("{:#}\n", reports::drawing::unit_json(&page)),
    })
}

/// Of more findings nobody asks for repairs, and what they take of memory has no end.
const MOST_KEPT: usize = 20_000;

/// What `review` was asked for.
struct Asked<'a> {
    format: Option<ReviewFormat>,
    reasons: bool,
    out: Option<&'a Path>,
    level: Option<Level>,
}

fn review(path: &Path, asked: &Asked<'_>) -> Result<ExitCode, String> {
    let by_place = if asked.out.is_none() && std::io::stdout().is_terminal() {
        ReviewFormat::Text
    } else {
        ReviewFormat::Lines
    };
    let format = asked.format.unwrap_or(by_place);
    let (workspace, changeable) = match format {
        ReviewFormat::Text => job::open_within(path, MOST_IN_WINDOW)?,
        ReviewFormat::Lines => (job::checked(path)?, false),
        ReviewFormat::Json => job::open_within(path, MOST_KEPT)?,
    };
    job::spare(&workspace, asked.out)?;
    let from = asked.level.map_or(Severity::Note, Severity::from);
    let form = |coloured| Form { width: output::width(), coloured, from, reasons: asked.reasons };
    let review = match format {
        ReviewFormat::Text => Review::for_window(&workspace, from, changeable),
        ReviewFormat::Json if changeable => Review::with_repairs(&workspace),
        ReviewFormat::Lines | ReviewFormat::Json => Review::of(&workspace),
    };
    match format {
        ReviewFormat::Text => output::pieces(asked.out, |coloured, put| {
            reports::review_window(&review, &form(coloured), &mut *put)
        })?,
        ReviewFormat::Lines => output::pieces(asked.out, |coloured, put| {
            reports::review_lines(&review, &job::prefix(&workspace), &form(coloured), &mut *put)?;
            put(&job::files(&review))
        })?,
        ReviewFormat::Json => output::deliver(&reports::review_json(&review, from), asked.out)?,
    };
    let failing = asked.level.map_or(Severity::Warning, Severity::from);
    let bad = review.findings.iter().any(|f| f.severity >= failing);
    let status = job::status(&workspace, u8::from(bad));
    drop(review);
    // The process ends here; to give back what a large job holds, piece by piece, takes longer than to print it.
    std::mem::forget(workspace);
    Ok(status)
}

/// With more findings than these a window shows no repairs, so that nobody waits for their proofs.
const MOST_IN_WINDOW: usize = 2_000;

fn explain(name: Option<&str>, messages: bool) -> Result<ExitCode, String> {
    match name {
        _ if messages => match name.filter(|name| checks::find(name).is_none()) {
            None => show(&reports::message_list(name)),
            Some(other) => Err(format!("`{other}` is not a check; `drycall explain` lists all checks")),
        },
        None => show(&reports::contents()),
        Some(name) => show(&reports::explain(name)?),
    }
}

/// Why a unit cannot be shown.
fn no_unit(workspace: &Workspace, unit: &str) -> String {
    let view = View::new(workspace.job());
    if let Some(found) = view.find::<model::Unit>(&Name::new(unit)) {
        let unit_type = found.is.type_.as_ref();
        if unit_type.is_some_and(|t| view.find::<model::UnitType>(&t.value).is_some()) {
            return format!("`{unit}` has no verdict over the review period. Check `review` under `site`.");
        }
        return format!("The type of `{unit}` is unknown, and so is its logic. `drycall review` says more.");
    }
    match view.near(Kind::Unit, unit).first() {
        Some(near) => format!("This job has no unit `{unit}`. Did you mean `{near}`?"),
        None => format!("This job has no unit `{unit}`."),
    }
}
