//! The answer in one sentence, its cause, and what it comes to.

use super::Link;
use super::marks::{diamond, escaped};
use super::words::{answer, html as prose, met, totals};
use analysis::sheet::page::{Opened, UnitPage, WhyLine};
use std::fmt::Write as _;

/// So many causes stand in the headline.
const FEW: usize = 2;

/// Those facts of the job that a headline names: the first few.
pub(super) fn causes(page: &UnitPage<Link>) -> Vec<&WhyLine<Link>> {
    let mut causes: Vec<&WhyLine<Link>> = Vec::new();
    let said = |why: &&WhyLine<Link>| why.job;
    // The option and the hours say more than the wires between them.
    let telling = page.because.iter().filter(said).take(FEW);
    causes.extend(telling);
    causes
}

/// The head of a unit's page; with `supposed` it shows what is supposed and not what is written.
pub(super) fn html(page: &UnitPage<Link>, supposed: Option<&str>) -> String {
    let zone =
        page.zone.as_ref().map_or_else(String::new, |zone| format!(" in <code>{}</code>", escaped(zone)));
    let mut html = format!(
        "<p class=\"dry-kind\"><b>{}</b> <span>{}{zone}</span></p>",
        escaped(&page.unit),
        escaped(&page.unit_type)
    );
    if let Some(supposed) = supposed {
        let _ = write!(
            html,
            "<p class=\"dry-supposed\"><b>What if</b> {}: nothing is written.</p>",
            prose(supposed)
        );
    }
    let causes = if supposed.is_some() { Vec::new() } else { causes(page) };
    let causes: Vec<String> =
        causes.iter().map(|why| format!("{} ({})", prose(&why.text), why.at.html())).collect();
    let because = if causes.is_empty() {
        ".".to_owned()
    } else {
        format!(": <span class=\"dry-cause\">{}.</span>", causes.join(" and "))
    };
    let _ = write!(html, "<h2 class=\"dry-answer\"><b>{}</b>{because}</h2>", prose(&answer(page)));
    let mut told: Vec<String> = totals(page).iter().map(|words| format!("{}.", prose(words))).collect();
    if !page.required.is_empty() {
        told.push(requirements(page));
    }
    let _ = write!(html, "<p class=\"dry-totals\">{}</p>", told.join(" "));
    if page.week.opened == Opened::MostFrequent {
        html += "<p class=\"dry-mute\">The week that the review period has most often.</p>";
    }
    html
}

/// `Requirement missed: always (requirements.yaml:2).`
fn requirements(page: &UnitPage<Link>) -> String {
    let each = page.required.iter().map(|required| {
        let at = required.at.as_ref().map_or_else(String::new, |at| format!(" ({})", at.html()));
        format!(
            "<span class=\"dry-required\">{}<b>Requirement {}</b>: <code>{}: {}</code>{at}.</span>",
            diamond(required.met),
            met(required.met),
            escaped(&page.service),
            escaped(&required.words)
        )
    });
    each.collect::<Vec<_>>().join(" ")
}
