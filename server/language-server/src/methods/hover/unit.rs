//! Hover over a unit: its type, and whether each service can run.

use super::{Look, Sheet};
use crate::markdown::code;
use analysis::{Analysis, ServiceVerdict, UnitAnalysis, Verdict, hours_words, moment_words, share_words};
use model::{Found, Name, Unit};

impl<'j> Look<'_, 'j> {
    /// The analysis of a unit as it is written now; stored verdicts may be an edit behind.
    pub(super) fn analysis(&self, unit: Found<'j, Unit>) -> Option<UnitAnalysis<'j>> {
        Analysis::of_review(self.view, self.memo)?.unit(unit)
    }

    pub(super) fn unit(&self, unit: Found<'j, Unit>) -> Option<Sheet> {
        let type_name = unit.is.type_.as_ref().map_or("unit", |t| t.value.as_str());
        let mut sheet = Sheet::titled(unit.name(), &code(type_name));
        let Some(analysis) = self.analysis(unit) else {
            sheet.line("its type is unknown, so nothing can be said of what it can do");
            return Some(sheet);
        };
        if let Some(text) = &analysis.unit_type.is.text {
            sheet.line(text.value.as_str());
        }
        if let Some(zone) = &unit.is.zone {
            sheet.line(format!("serves zone {}", code(&zone.value)));
        }
        for (service, _) in analysis.services() {
            sheet.about(service, service_line(&analysis, service));
        }
        Some(sheet)
    }
}

/// `never`, `unless …; 2,345 of 8,760 h (27 %), longest gap 63 h (… to …)`.
fn service_line(analysis: &UnitAnalysis<'_>, service: &Name) -> String {
    let verdict = analysis.verdict(service);
    let mut line = words(&verdict);
    let Some(hours) = verdict.hours.filter(|_| verdict.verdict != Verdict::Never) else { return line };
    line += &format!("; {}", share_words(hours, analysis.period.hours()));
    if let Some(gap) = verdict.longest_gap {
        let (from, to) = (moment_words(&analysis.period, gap.from), moment_words(&analysis.period, gap.to));
        line += &format!(", longest gap {} ({from} to {to})", hours_words(gap.hours()));
    }
    line
}

fn words(verdict: &ServiceVerdict) -> String {
    match (verdict.verdict, verdict.unless.as_slice()) {
        (Verdict::Never, _) => "never".to_owned(),
        (Verdict::Always, _) => "whenever called for".to_owned(),
        (Verdict::NotProven, _) => "not proven, since the logic is too large".to_owned(),
        (Verdict::Conditional, []) => "when called for".to_owned(),
        (Verdict::Conditional, [one]) => format!("when called for, unless {one}"),
        (Verdict::Conditional, [first, .., last]) if verdict.unless.len() == 2 => {
            format!("when called for, unless {first} or {last}")
        }
        (Verdict::Conditional, [first, rest @ ..]) => {
            let more = if verdict.cut_short { "more than " } else { "" };
            format!("when called for, unless {first} or {more}{} other cases", rest.len())
        }
    }
}
