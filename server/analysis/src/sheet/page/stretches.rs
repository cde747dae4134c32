//! The days of a week as stretches in which one thing holds of a service.

use super::days::{DaySpan, Piece, dates, join, pieces};
use super::requirement::Requirements;
use super::tracks::{self, Track, Tracker};
use super::words::{clock, short_date};
use super::{GapPage, Locate, Opened, WeekPage, gap_page, long_date, yields};
use crate::analysis::Analysis;
use crate::claim::Claim;
use crate::proof::moment::Moment;
use crate::reasons::{Because, Reason, ReasonKind};
use crate::sheet::day_line::day_line;
use crate::time::TimedSchedule;
use crate::unit::UnitAnalysis;
use crate::verdict::{Gap, Verdict};
use calendar::{ClockChangeKind, Date, LocalTime, exception_at};
use model::schedule::On;
use model::{Calendar, Days, Found, Mode, Name, Schedule};
use serde::Serialize;

/// One day.
#[derive(Clone, PartialEq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct DayPage<P> {
    /// `2027-03-05`.
    pub date: String,
    /// `Fri Mar 5`.
    pub name: String,
    /// Whether it lies in the review period.
    pub inside: bool,
    /// What the calendars call the day, where an exception of the zone's schedule names one.
    pub holidays: Vec<String>,
    /// Changes of the clock, in words.
    pub clock: Vec<String>,
    /// What holds of the service, in order.
    pub stretches: Vec<Stretch<P>>,
    /// When the zone is occupied.
    pub occupied: Vec<DaySpan>,
    /// When a requirement is broken.
    pub broken: Vec<DaySpan>,
    /// What stands at each input of the unit.
    pub tracks: Vec<Track>,
}

/// A stretch of a day in which one thing holds of the service.
#[derive(Clone, PartialEq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Stretch<P> {
    /// The first minute on the wall clock.
    pub from: u16,
    /// The minute behind it, at most 1440.
    pub to: u16,
    /// The number of its state.
    pub state: usize,
    /// The number of its gap among those of the week.
    pub gap: Option<usize>,
    /// Whether that gap was there before the stretch.
    pub goes_on_from: bool,
    /// Whether that gap is there after the stretch.
    pub goes_on_to: bool,
    /// The line of a schedule that makes it what it is, where a schedule is among the reasons.
    pub line: Option<WhyLine<P>>,
    /// Unix seconds.
    #[serde(skip)]
    seconds: (i64, i64),
}

/// What holds of a service.
#[derive(Clone, PartialEq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct StretchState<P> {
    /// Whether it can run.
    pub verdict: Verdict,
    /// What it yields to, short.
    pub yields: String,
    /// The same by the names of calls.
    pub yields_short: String,
    /// What blocks it, in full.
    pub unless: Vec<String>,
    /// What together keeps it from ever running.
    pub because: Vec<WhyLine<P>>,
}

/// A written fact.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct WhyLine<P> {
    /// What it says, in words.
    pub text: String,
    /// Whether the job says it; else the unit's type does.
    pub job: bool,
    /// Where it is written.
    pub at: P,
}

/// The week of a service.
pub(super) fn week<P: Clone + PartialEq>(
    over: &Analysis<'_, '_>,
    analysis: &UnitAnalysis<'_>,
    service: &str,
    (first, opened): (Date, Opened),
    required: &Requirements<'_>,
    locate: Locate<'_, P>,
) -> WeekPage<P> {
    let dates = dates(first);
    let pieces = pieces(analysis, &dates);
    let mut states = States { over, analysis, service, locate, each: Vec::new(), known: Vec::new() };
    let mut days: Vec<DayPage<P>> = dates.iter().map(|date| states.day(*date)).collect();
    let (from, to) = (pieces.first().map(|p| p.seconds.0), pieces.last().map(|p| p.seconds.1));
    let all = analysis.gaps(service);
    let shown = all.iter().flatten().filter(|g| to.is_some_and(|to| g.from < to) && from < Some(g.to));
    let gaps: Vec<Gap> = shown.copied().collect();
    let mut tracker = Tracker::new(analysis, service);
    let mut idle = 0;
    for piece in &pieces {
        let Some(day) = days.get_mut(piece.day) else { continue };
        let state = states.number(piece.moment);
        let (from, to) = piece.seconds;
        let gap = gaps.iter().position(|gap| gap.from <= from && to <= gap.to);
        if gap.is_some() {
            idle += to - from;
        }
        if piece.moment.mode == Some(Mode::Occupied) {
            join(&mut day.occupied, piece.span);
        }
        tracker.add(&mut day.tracks, piece);
        let DaySpan { from, to } = piece.span;
        match day.stretches.last_mut() {
            Some(last) if last.state == state && last.gap == gap => {
                (last.to, last.seconds.1) = (to, piece.seconds.1);
            }
            _ => day.stretches.push(Stretch {
                from,
                to,
                state,
                gap,
                goes_on_from: false,
                goes_on_to: false,
                line: None,
                seconds: piece.seconds,
            }),
        }
    }
    for (day, date) in days.iter_mut().zip(&dates) {
        for stretch in &mut day.stretches {
            let gap = stretch.gap.and_then(|gap| gaps.get(gap));
            stretch.goes_on_from = gap.is_some_and(|gap| gap.from < stretch.seconds.0);
            stretch.goes_on_to = gap.is_some_and(|gap| stretch.seconds.1 < gap.to);
            stretch.line = states.line(stretch.state, LocalTime { date: *date, minute: stretch.from });
            for part in required.broken(stretch.seconds.0, stretch.seconds.1) {
                let wall = |instant, end| {
                    if instant == end { None } else { analysis.period.local(instant).map(|t| t.minute) }
                };
                let from = wall(part.from, stretch.seconds.0).unwrap_or(stretch.from);
                let to = wall(part.to, stretch.seconds.1).unwrap_or(stretch.to);
                join(&mut day.broken, DaySpan { from, to });
            }
        }
    }
    let seconds = |pieces: &[Piece<'_>]| pieces.iter().map(|p| p.seconds.1 - p.seconds.0).sum::<i64>();
    let all_seconds = seconds(&pieces);
    let last = dates.last().copied().unwrap_or(first);
    let shown = |gap: &Gap| {
        let more = to.filter(|to| *to < gap.to).map(|to| (gap.to - to) as f64 / 3600.0);
        GapPage { hours_after_week: more, ..gap_page(analysis, required, gap) }
    };
    WeekPage {
        from: first.to_string(),
        to: last.to_string(),
        from_words: long_date(first),
        from_short: short_date(first),
        opened,
        hours: all.as_ref().map(|_| (all_seconds - idle) as f64 / 3600.0),
        all_hours: all_seconds as f64 / 3600.0,
        states: states.each,
        gaps: gaps.iter().map(shown).collect(),
        days,
    }
}

/// What makes a gap: the facts that together force it.
pub(super) fn because_of_gap<P>(
    over: &Analysis<'_, '_>,
    analysis: &UnitAnalysis<'_>,
    service: &str,
    gap: Gap,
    locate: Locate<'_, P>,
) -> Vec<WhyLine<P>> {
    let inside: Vec<&Moment> = analysis
        .course()
        .filter(|(stretch, _)| gap.from <= stretch.from && stretch.to <= gap.to)
        .map(|(_, moment)| moment)
        .collect();
    let at = |m: &Moment| inside.iter().any(|of| std::ptr::eq(*of, m));
    let reasons = analysis.why(Claim::ServiceNever(service), at).unwrap_or_default();
    let start = analysis.period.local(gap.from);
    let line = start.and_then(|when| deciding_line(over, analysis, &reasons, when, locate));
    let mut told = whys(over, &reasons, locate, line.is_some());
    // The option comes first, then what a reader should look at first.
    told.sort_by_key(|(kind, _)| (*kind != ReasonKind::Option, kind.rank()));
    let at = told.iter().take_while(|(kind, _)| *kind == ReasonKind::Option).count();
    if let Some(line) = line {
        told.insert(at, (ReasonKind::Schedule, line));
    }
    told.into_iter().map(|(_, why)| why).collect()
}

/// The states that a service takes, each told once.
struct States<'s, 'o, 'v, 'u, P> {
    over: &'s Analysis<'o, 'v>,
    analysis: &'s UnitAnalysis<'u>,
    service: &'s str,
    locate: Locate<'s, P>,
    each: Vec<StretchState<P>>,
    /// The kinds of moments looked at, with the number of their state and their reasons.
    known: Vec<(usize, usize, Vec<Reason>)>,
}

impl<P: Clone + PartialEq> States<'_, '_, '_, '_, P> {
    fn number(&mut self, moment: &Moment) -> usize {
        if let Some((_, number, _)) = self.known.iter().find(|(known, ..)| *known == moment.number) {
            return *number;
        }
        let (state, reasons) = self.judged(moment);
        let number = self.each.iter().position(|known| *known == state).unwrap_or_else(|| {
            self.each.push(state);
            self.each.len() - 1
        });
        self.known.push((moment.number, number, reasons));
        number
    }

    fn judged(&self, moment: &Moment) -> (StretchState<P>, Vec<Reason>) {
        let verdict = self.analysis.verdict_at(self.service, moment);
        let mut state = StretchState {
            verdict,
            yields: String::new(),
            yields_short: String::new(),
            unless: Vec::new(),
            because: Vec::new(),
        };
        let mut reasons = Vec::new();
        match verdict {
            Verdict::Never => {
                let why = self.analysis.why(Claim::ServiceNever(self.service), |m| std::ptr::eq(m, moment));
                reasons = why.unwrap_or_default();
                let told = whys(self.over, &reasons, self.locate, false);
                state.because = told.into_iter().map(|(_, why)| why).collect();
            }
            Verdict::Conditional => {
                let (sets, cut_short) = self.analysis.unless_at(self.service, moment);
                (state.yields, state.yields_short) = yields::at(self.analysis, self.service, moment);
                state.unless = sets;
                state
                    .unless
                    .extend(cut_short.then(|| "something else: there is more than is listed".to_owned()));
            }
            Verdict::Always | Verdict::NotProven => {}
        }
        (state, reasons)
    }

    fn line(&self, state: usize, when: LocalTime) -> Option<WhyLine<P>> {
        let (.., reasons) = self.known.iter().find(|(_, number, _)| *number == state)?;
        deciding_line(self.over, self.analysis, reasons, when, self.locate)
    }

    fn day(&self, date: Date) -> DayPage<P> {
        let period = &self.analysis.period;
        let changes = period.clock_changes().iter().filter(|change| change.date == date);
        let clock = changes.map(|change| match change.change {
            ClockChangeKind::Skipped => {
                format!("clocks go from {} to {}", clock(change.from), clock(change.to))
            }
            ClockChangeKind::Repeated => {
                format!("clocks show {} to {} twice", clock(change.from), clock(change.to))
            }
        });
        DayPage {
            date: date.to_string(),
            name: short_date(date),
            inside: period.contains(date),
            holidays: holidays(self.over, self.analysis, date),
            clock: clock.collect(),
            stretches: Vec::new(),
            occupied: Vec::new(),
            broken: Vec::new(),
            tracks: tracks::empty(self.analysis),
        }
    }
}

/// Reasons as lines to read; without what is told of schedules where a line of one says more.
fn whys<P>(
    over: &Analysis<'_, '_>,
    reasons: &[Reason],
    locate: Locate<'_, P>,
    without_schedule: bool,
) -> Vec<(ReasonKind, WhyLine<P>)> {
    let told = |kind: ReasonKind, because: &Because| {
        let entry = over.view.entry(because.place.entry)?;
        let job = !over.view.built_in(entry) && kind != ReasonKind::Logic;
        Some((kind, WhyLine { text: because.text.clone(), job, at: locate(&because.place)? }))
    };
    let is_schedule = |entry| over.view.as_found::<Schedule>(entry).is_some();
    let all = reasons.iter().flat_map(|reason| reason.because.iter().map(|because| (reason.kind, because)));
    let all = all.filter(|(_, because)| !(without_schedule && is_schedule(because.place.entry)));
    all.filter_map(|(kind, because)| told(kind, because)).collect()
}

/// The line of the schedule among some reasons that decides at a moment.
fn deciding_line<P>(
    over: &Analysis<'_, '_>,
    analysis: &UnitAnalysis<'_>,
    reasons: &[Reason],
    when: LocalTime,
    locate: Locate<'_, P>,
) -> Option<WhyLine<P>> {
    let mut places = reasons.iter().flat_map(|reason| &reason.because).map(|because| because.place.entry);
    let schedules: Vec<(Found<'_, Schedule>, &TimedSchedule)> = analysis
        .schedules()
        .filter_map(|(name, timed)| Some((over.view.find::<Schedule>(name)?, timed.as_ref())))
        .collect();
    let (schedule, timed) = places.find_map(|entry| schedules.iter().find(|(s, _)| s.id == entry))?;
    let place = day_line(*schedule, timed, when)?;
    let occupied = analysis.zone.and_then(|zone| zone.is.schedule.as_ref());
    let said = if occupied.is_some_and(|own| own.value == schedule.name()) {
        let mode = mode_at(analysis, when);
        mode.map_or_else(|| "says so".to_owned(), |mode| format!("is {} then", mode.name()))
    } else {
        "says so then".to_owned()
    };
    Some(WhyLine { text: format!("`{}` {said}", schedule.name()), job: true, at: locate(&place)? })
}

fn mode_at(analysis: &UnitAnalysis<'_>, when: LocalTime) -> Option<Mode> {
    let instant = analysis.period.instant(when)?;
    analysis.course().find(|(stretch, _)| stretch.from <= instant && instant < stretch.to)?.1.mode
}

/// What calendars call a day on which an exception of the zone's schedule holds.
fn holidays(over: &Analysis<'_, '_>, analysis: &UnitAnalysis<'_>, date: Date) -> Vec<String> {
    let Some(own) = analysis.zone.and_then(|zone| zone.is.schedule.as_ref()) else { return Vec::new() };
    let Some((_, timed)) = analysis.schedules().find(|(name, _)| **name == own.value) else {
        return Vec::new();
    };
    let Some(schedule) = over.view.find::<Schedule>(&own.value) else { return Vec::new() };
    let exception = exception_at(&timed.schedule, date, 12 * 60).map(|(number, _)| number);
    let on = exception.and_then(|number| schedule.is.exceptions.get(number)?.on.as_ref());
    let Some(On::Calendar(name)) = on.map(|on| &on.value) else { return Vec::new() };
    let mut names = imported_names(over, name, date);
    if names.is_empty() {
        names.push(name.to_string());
    }
    names
}

/// What the files of a calendar call a day.
fn imported_names(over: &Analysis<'_, '_>, calendar: &Name, date: Date) -> Vec<String> {
    let Some(calendar) = over.view.find::<Calendar>(calendar) else { return Vec::new() };
    let mut names: Vec<String> = Vec::new();
    for entry in &calendar.is.entries {
        let Days::Import(path) = &entry.value else { continue };
        let Some(Ok(text)) = over.view.import(path) else { continue };
        over.imported(text, |import| {
            for days in import.days.iter().filter(|days| (days.from..=days.to).contains(&date)) {
                if !days.summary.is_empty() && !names.contains(&days.summary) {
                    names.push(days.summary.clone());
                }
            }
        });
    }
    names
}
