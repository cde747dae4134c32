//! The commands.

use crate::arguments::{Command, Format, HoursFormat, Level, PredictionFormat};
use crate::output::{self, show};
use crate::{job, start};
use checks::Severity;
use model::{Kind, Name, View};
use reports::Review;
use std::path::Path;
use std::process::ExitCode;
use workspace::Workspace;

/// Runs a command.
///
/// # Errors
/// A message that says why it could not be done.
pub(crate) fn run(command: Command) -> Result<ExitCode, String> {
    match command {
        Command::Review { job, format, out, level } => review(&job, format, out.as_deref(), level),
        Command::Repair { job, write: false } => crate::repair::show_all(&job),
        Command::Repair { job, write: true } => crate::repair::write(&job),
        Command::Explain { name } => explain(name.as_deref()),
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
                    .map_err(|_| format!("`{date}` is no date; write year-month-day, like 2027-06-07"))
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

fn review(path: &Path, format: Format, out: Option<&Path>, level: Option<Level>) -> Result<ExitCode, String> {
    let (workspace, changeable) = match format {
        Format::Text => (job::checked(path)?, false),
        Format::Json => job::open_within(path, MOST_KEPT)?,
    };
    job::spare(&workspace, out)?;
    let review = if changeable { Review::with_repairs(&workspace) } else { Review::of(&workspace) };
    let shown = level.map_or(Severity::Note, Severity::from);
    match format {
        Format::Text => output::pieces(out, |coloured, put| {
            reports::review_text(&review, &job::prefix(&workspace), shown, coloured, &mut *put)?;
            put(&job::files(&review))
        })?,
        Format::Json => output::deliver(&reports::review_json(&review, shown), out)?,
    };
    let failing = level.map_or(Severity::Warning, Severity::from);
    let bad = review.findings.iter().any(|f| f.severity >= failing);
    let status = job::status(&workspace, u8::from(bad));
    drop(review);
    // The process ends here; to give back what a large job holds, piece by piece, takes longer than to print it.
    std::mem::forget(workspace);
    Ok(status)
}

fn explain(name: Option<&str>) -> Result<ExitCode, String> {
    let Some(name) = name else { return show(&reports::check_list()) };
    if let Some(check) = checks::find(name) {
        return show(&reports::check_page(check));
    }
    let unit_type = |file: &str| file.trim_end_matches(".yaml") == name;
    if let Some((_, text)) = model::LIBRARY.iter().find(|(file, _)| unit_type(file)) {
        return show(text);
    }
    let types = model::LIBRARY.iter().map(|(file, _)| file.trim_end_matches(".yaml"));
    let near = model::nearest(name, checks::ALL.iter().map(|c| c.id).chain(types));
    let hint = near.first().map_or_else(
        || "`drycall explain` lists all checks".to_owned(),
        |n| model::did_you_mean(name, [*n].into_iter()),
    );
    Err(format!("no check or unit type is called `{name}`; {hint}"))
}

/// Why a unit cannot be shown.
fn no_unit(workspace: &Workspace, unit: &str) -> String {
    let view = View::new(workspace.job());
    if let Some(found) = view.find::<model::Unit>(&Name::new(unit)) {
        let unit_type = found.is.type_.as_ref();
        if unit_type.is_some_and(|t| view.find::<model::UnitType>(&t.value).is_some()) {
            return format!(
                "nothing can be said of {unit} over the review period; is `site: {{review: …}}` right?"
            );
        }
        return format!("the type of {unit} is unknown, so its logic is too; `drycall review` says more");
    }
    match view.near(Kind::Unit, unit).first() {
        Some(near) => format!("the job has no unit `{unit}`; did you mean `{near}`?"),
        None => format!("the job has no unit `{unit}`"),
    }
}
