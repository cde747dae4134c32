//! Why a stretch of a day is what it is: what the job says, and apart from it how the unit works.

use super::Link;
use super::marks::escaped;
use super::words::{clock, html as prose};
use analysis::Verdict;
use analysis::sheet::page::{DayPage, Stretch, UnitPage, WhyLine};
use std::fmt::Write as _;

/// A section a stretch, of which a page shows the one that is chosen.
pub(super) fn html(page: &UnitPage<Link>, supposed: bool) -> String {
    let mut html = String::new();
    for (d, day) in page.week.days.iter().enumerate() {
        for (n, stretch) in day.stretches.iter().enumerate() {
            let _ = write!(
                html,
                "<section class=\"dry-why\" data-day=\"{d}\" data-stretch=\"{n}\" hidden>{}</section>",
                section(page, day, stretch, supposed)
            );
        }
    }
    html
}

fn section(page: &UnitPage<Link>, day: &DayPage<Link>, stretch: &Stretch<Link>, supposed: bool) -> String {
    let Some(state) = page.week.states.get(stretch.state) else { return String::new() };
    let mut html = format!("<h3>Why, {} {}</h3>", escaped(&day.name), clock(stretch.from));
    if supposed {
        html += "<p class=\"dry-mute\">As supposed, not as written.</p>";
    }
    let verb = escaped(&page.verb);
    match state.verdict {
        Verdict::Always => {
            let _ = write!(html, "<p>Every call to {verb} is honored, whatever else is called.</p>");
        }
        Verdict::NotProven => {
            html += "<p>The logic is too large to prove, or turns on something that could not be read.</p>";
        }
        Verdict::Never => {
            html += "<p>These facts together keep it off. Change any one of them and it can run.</p>";
            // The line that decides then says more than how often the schedule is occupied.
            let line = stretch.line.as_ref();
            let name = line.and_then(|line| line.text.split(' ').next()).unwrap_or_default();
            let told =
                |why: &WhyLine<Link>| line.is_some() && why.text.starts_with(&format!("schedule {name} "));
            html += &facts(state.because.iter().filter(|why| why.job && !told(why)), line);
            let of_type: Vec<&WhyLine<Link>> = state.because.iter().filter(|why| !why.job).collect();
            if !of_type.is_empty() {
                let lines =
                    if of_type.len() == 1 { "1 line".to_owned() } else { format!("{} lines", of_type.len()) };
                let _ = write!(
                    html,
                    "<details><summary>How this unit works <span class=\"dry-mute\">({lines} of its type)</span></summary>{}</details>",
                    list(of_type.into_iter())
                );
            }
        }
        Verdict::Conditional => {
            let _ = write!(
                html,
                "<p>It can {verb}. It stays off while any of these holds:</p><ul class=\"dry-unless\">"
            );
            for set in &state.unless {
                let _ = write!(html, "<li>{}</li>", prose(set));
            }
            html += "</ul>";
        }
    }
    html
}

fn facts<'w>(job: impl Iterator<Item = &'w WhyLine<Link>>, line: Option<&'w WhyLine<Link>>) -> String {
    format!("<h4>What this job says</h4>{}", list(job.chain(line)))
}

fn list<'w>(all: impl Iterator<Item = &'w WhyLine<Link>>) -> String {
    let mut html = "<ul class=\"dry-facts\">".to_owned();
    let mut told: Vec<&WhyLine<Link>> = Vec::new();
    for why in all {
        if told.contains(&why) {
            continue;
        }
        told.push(why);
        let _ = write!(html, "<li><span>{}</span> {}</li>", prose(&why.text), why.at.html());
    }
    html + "</ul>"
}
