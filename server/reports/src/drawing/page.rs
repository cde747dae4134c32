//! A unit's page, laid out in pieces: whoever shows them only places them.

use super::marks::{code, escaped, hatch};
use super::{Link, board, headline, ladder, legend, saved, week, what_if, why, year};
use analysis::sheet::{Board, UnitPage};
use serde::Serialize;

/// A unit's page in pieces of HTML. All text of a job in them is escaped; they hold no script and no style.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct Pieces {
    /// Raised when the form changes so that a reader has to know.
    pub format: u32,
    /// The unit.
    pub unit: String,
    /// The service that is shown.
    pub service: String,
    /// The services there are.
    pub services: Vec<String>,
    /// The first day of the week, `2027-03-05`.
    pub from: String,
    /// The first day of the review period.
    pub first: String,
    /// The last day of the review period.
    pub last: String,
    /// The day to open, counted from the first, and its stretch.
    pub day: usize,
    /// The stretch of that day.
    pub stretch: usize,
    /// The site and what is said of the whole job.
    pub job: String,
    /// All units, the worst first.
    pub board: String,
    /// The answer for the unit, its cause, and what it comes to.
    pub headline: String,
    /// The title of the week, and the week with its calls.
    pub week: String,
    /// Why each stretch is what it is.
    pub why: String,
    /// The year with the predicted dew point.
    pub year: String,
    /// Where each call begins and ends.
    pub ladder: String,
    /// What may be supposed otherwise.
    pub choices: String,
    /// The week as a drawing that stands alone.
    pub svg: String,
}

/// Lays out a unit's page; `supposed` says in words what is supposed otherwise in `page`, where anything is, and
/// `written` is then the page as written.
pub fn pieces(
    page: &UnitPage<Link>,
    board: Option<&Board<Link>>,
    supposed: Option<(&str, &UnitPage<Link>)>,
) -> Pieces {
    let written = supposed.map_or(page, |(_, written)| written);
    let (day, stretch) = opened(page);
    let told = supposed.map(|(words, _)| words);
    let title = format!("<h3>The week from {}</h3>", escaped(&page.week.from_short));
    Pieces {
        format: 2,
        unit: page.unit.clone(),
        service: page.service.clone(),
        services: page.services.clone(),
        from: page.week.from.clone(),
        first: page.period.from.clone(),
        last: page.period.to.clone(),
        day,
        stretch,
        job: job(page, board),
        board: board.map_or_else(String::new, |all| board::html(all, &page.unit)),
        headline: headline::html(page, told),
        // The hatching stands in a drawing without a size, once in the page.
        week: format!(
            "<svg class=\"dry-defs\" width=\"0\" height=\"0\" aria-hidden=\"true\">{}</svg>{title}{}{}",
            hatch(),
            week::html(page),
            legend::html()
        ),
        why: why::html(page, told.is_some()),
        year: year::html(page),
        ladder: ladder::html(page),
        choices: what_if::html(written),
        svg: saved::week_svg(page),
    }
}

/// What is said of the job above all: its site, and the answer in one sentence.
fn job(page: &UnitPage<Link>, board: Option<&Board<Link>>) -> String {
    let site = page.site.as_ref().map_or_else(String::new, |site| format!("<b>{}</b><br>", escaped(site)));
    let answer = board.map_or_else(String::new, |board| format!("<b>{}.</b> ", code(&board::answer(board))));
    format!(
        "<p class=\"dry-job\">{site}{answer}<span class=\"dry-mute\">Week from {}. Review {} to {}, {}.</span></p>",
        escaped(&page.week.from_words),
        escaped(&page.period.from),
        escaped(&page.period.to),
        escaped(&page.period.time_zone)
    )
}

/// The first day with the stretch that a reader should look at: where the longest gap of the week begins, else the
/// first stretch.
fn opened(page: &UnitPage<Link>) -> (usize, usize) {
    let hours = |gap: usize| page.week.gaps.get(gap).map_or(0.0, |gap| gap.hours);
    let mut best: Option<(f64, usize, usize)> = None;
    for (d, day) in page.week.days.iter().enumerate() {
        for (n, stretch) in day.stretches.iter().enumerate() {
            let Some(gap) = stretch.gap else { continue };
            // A longer one, of the same the earliest of its stretches.
            if best.is_none_or(|(known, ..)| hours(gap) > known) {
                best = Some((hours(gap), d, n));
            }
        }
    }
    best.map_or((0, 0), |(_, day, stretch)| (day, stretch))
}
