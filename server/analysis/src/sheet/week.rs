//! A unit's week for whoever draws it, in local time.
//!
//! What a place looks like (`P`) is up to whoever shows it: a line of a report, a location of an editor.

use super::day_line::day_line;
use crate::analysis::Analysis;
use crate::calls::call_rules;
use crate::claim::Claim;
use crate::proof::moment::Moment;
use crate::reasons::{Because, Reason};
use crate::time::TimedSchedule;
use crate::unit::UnitAnalysis;
use crate::verdict::Verdict;
use crate::words::day_words;
use calendar::{ClockChangeKind, Date, LocalTime};
use model::{Found, Mode, Name, Place, Schedule, Service, Unit, View};
use serde::Serialize;

/// Seven days of a unit.
#[derive(Clone, PartialEq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Week<P> {
    /// Raised when the form changes so that a reader has to know.
    pub format: u32,
    /// The unit.
    pub unit: String,
    /// Its type.
    #[serde(rename = "type")]
    pub unit_type: String,
    /// The zone it serves.
    pub zone: Option<String>,
    /// IANA name.
    pub time_zone: String,
    /// The first day shown.
    pub from: String,
    /// The last day shown.
    pub to: String,
    /// The review period.
    pub period: WeekPeriod,
    /// The limits of its zone's calls, while occupied and while not.
    pub modes: Vec<WeekMode<P>>,
    /// Its services, with the states that each takes in the week.
    pub services: Vec<WeekService<P>>,
    /// The days.
    pub days: Vec<WeekDay<P>>,
}

/// First and last day.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct WeekPeriod {
    /// The first day.
    pub from: String,
    /// The last day.
    pub to: String,
}

/// What the thermostat calls for in a mode.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct WeekMode<P> {
    /// The mode.
    pub mode: Mode,
    /// Its limits; of one that follows a schedule each value that comes in the mode.
    pub limits: Vec<WeekLimit<P>>,
}

/// A limit of a call.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct WeekLimit<P> {
    /// The call.
    pub call: String,
    /// The limit in words: `dehumidify-above 55 %RH`.
    pub limit: String,
    /// Whether the call can be made.
    pub possible: bool,
    /// Where it is written.
    pub at: Option<P>,
}

/// A service.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct WeekService<P> {
    /// Its name.
    pub service: String,
    /// What holds of it at some time of the week.
    pub states: Vec<WeekState<P>>,
}

/// What holds of a service.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct WeekState<P> {
    /// Whether it can run.
    pub verdict: Verdict,
    /// The sets of circumstances that block it, in words.
    pub unless: Vec<String>,
    /// What together keeps it from ever running.
    pub because: Vec<WeekReason<P>>,
}

/// A written fact.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct WeekReason<P> {
    /// What it says, in words.
    pub text: String,
    /// Where it is written.
    pub at: P,
}

/// One day.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct WeekDay<P> {
    /// `2027-06-07`.
    pub date: String,
    /// `Mon 2027-06-07`.
    pub name: String,
    /// Its length; nothing outside the review period.
    pub minutes: Option<i64>,
    /// Changes of the clock, in words.
    pub clock: Vec<String>,
    /// The stretches in which nothing changes.
    pub intervals: Vec<WeekInterval<P>>,
}

/// A stretch of a day in which nothing changes.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct WeekInterval<P> {
    /// Minutes from the start of the day.
    pub after: i64,
    /// How many minutes.
    pub minutes: i64,
    /// The start on the wall clock.
    pub from: String,
    /// The end on the wall clock.
    pub to: String,
    /// What the zone's schedule says.
    pub mode: Option<Mode>,
    /// The line of the schedule that makes the mode.
    pub by: Option<P>,
    /// For each service what holds of it.
    pub services: Vec<WeekCause<P>>,
}

/// What holds of a service in a stretch.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct WeekCause<P> {
    /// The number of its state.
    pub state: usize,
    /// The line to look at first, of a gap.
    pub cause: Option<P>,
}

impl<P: PartialEq> Week<P> {
    /// The seven days from `from`, or those around the begin of the longest gap; nothing when the job has no
    /// such unit, or its type is unknown. `locate` turns a place of the job into what the reader can go to.
    pub fn of(
        over: &Analysis<'_, '_>,
        name: &str,
        from: Option<Date>,
        locate: &dyn Fn(&Place) -> Option<P>,
    ) -> Option<Week<P>> {
        let view = over.view;
        let analysis = over.unit(view.find::<Unit>(&Name::new(name))?)?;
        let mut maker = Maker { states: vec![Vec::new(); analysis.services().len()], view, analysis, locate };
        let mut days = Vec::new();
        let mut date = from.unwrap_or_else(|| maker.worth_seeing());
        let first = date;
        for _ in 0..7 {
            days.push(maker.day(date));
            match date.tomorrow() {
                Ok(next) => date = next,
                Err(_) => break,
            }
        }
        let last = date.yesterday().unwrap_or(date);
        let period = &maker.analysis.period;
        Some(Week {
            format: 1,
            unit: name.to_owned(),
            unit_type: maker.analysis.unit_type.name().to_owned(),
            zone: maker.analysis.zone.map(|zone| zone.name().to_owned()),
            time_zone: period.zone().to_owned(),
            from: first.to_string(),
            to: last.to_string(),
            period: WeekPeriod { from: period.first_date().to_string(), to: period.last_date().to_string() },
            modes: maker.modes(over),
            services: maker.services(),
            days,
        })
    }
}

struct Maker<'w, 'j, P> {
    view: &'w View<'j>,
    analysis: UnitAnalysis<'j>,
    locate: &'w dyn Fn(&Place) -> Option<P>,
    /// The states that each service takes in the week.
    states: Vec<Vec<State>>,
}

/// What holds of a service at one kind of moment.
#[derive(Clone)]
struct State {
    /// The kinds of moments it holds at, by number.
    moments: Vec<usize>,
    verdict: Verdict,
    unless: Vec<String>,
    reasons: Vec<Reason>,
}

/// A stretch of one day in which nothing changes.
#[derive(PartialEq)]
struct Interval {
    from: i64,
    to: i64,
    mode: Option<Mode>,
    /// The state of each service.
    states: Vec<usize>,
}

impl<P: PartialEq> Maker<'_, '_, P> {
    /// The Monday before the longest gap of a service, dehumidification first; the day itself where
    /// that lies before the period.
    fn worth_seeing(&self) -> Date {
        let period = &self.analysis.period;
        let drying = self
            .analysis
            .services()
            .iter()
            .filter(|(name, _)| Service::of(name) == Some(Service::Dehumidification));
        let mut drying_first = drying.chain(self.analysis.services());
        let gap = drying_first.find_map(|(name, _)| self.analysis.verdict(name).longest_gap);
        let date = gap.and_then(|gap| period.local(gap.from)).map_or(period.first_date(), |t| t.date);
        let back = i64::from(date.weekday().to_monday_zero_offset());
        let monday = (0..back).try_fold(date, |date, _| date.yesterday());
        monday.ok().filter(|monday| period.contains(*monday)).unwrap_or(date)
    }

    fn day(&mut self, date: Date) -> WeekDay<P> {
        let period = self.analysis.period.clone();
        let midnight = |date| period.instant(LocalTime { date, minute: 0 });
        let next = date.tomorrow().ok().and_then(midnight);
        let bounds = midnight(date)
            .filter(|_| period.contains(date))
            .map(|start| (start, next.unwrap_or_else(|| period.end())));
        let mut intervals = Vec::new();
        if let Some((start, end)) = bounds {
            for interval in self.intervals(start, end) {
                intervals.push(self.interval(date, start, &interval));
            }
        }
        let changes = period.clock_changes().iter().filter(|change| change.date == date);
        let clock = changes.map(|change| {
            let (from, to) = (clock_words(change.from), clock_words(change.to));
            match change.change {
                ClockChangeKind::Skipped => format!("clocks go from {from} to {to}"),
                ClockChangeKind::Repeated => format!("clocks show {from} to {to} twice"),
            }
        });
        WeekDay {
            date: date.to_string(),
            name: day_words(&period, date),
            minutes: bounds.map(|(start, end)| (end - start) / 60),
            clock: clock.collect(),
            intervals,
        }
    }

    /// What is the same throughout is one interval, whatever schedule changes meanwhile.
    fn intervals(&mut self, start: i64, end: i64) -> Vec<Interval> {
        let moments: Vec<(i64, i64, usize)> = self
            .analysis
            .course()
            .filter(|(stretch, _)| stretch.from < end && start < stretch.to)
            .filter_map(|(stretch, moment)| Some((stretch.from, stretch.to, self.number(moment)?)))
            .collect();
        let mut intervals: Vec<Interval> = Vec::new();
        for (from, to, moment) in moments {
            let mode = self.analysis.moments().get(moment).and_then(|m| m.mode);
            let states: Vec<usize> =
                (0..self.states.len()).map(|service| self.state(service, moment)).collect();
            match intervals.last_mut() {
                Some(last) if last.mode == mode && last.states == states => last.to = to.min(end),
                _ => intervals.push(Interval { from: from.max(start), to: to.min(end), mode, states }),
            }
        }
        intervals
    }

    fn number(&self, moment: &Moment) -> Option<usize> {
        self.analysis.moments().iter().position(|other| std::ptr::eq(other, moment))
    }

    /// The number of a service's state at a kind of moment; kinds that differ in nothing that shows
    /// share one.
    fn state(&mut self, service: usize, moment: usize) -> usize {
        let Some(states) = self.states.get(service) else { return 0 };
        if let Some(known) = states.iter().position(|s| s.moments.contains(&moment)) {
            return known;
        }
        let state = self.judged(service, moment);
        let Some(states) = self.states.get_mut(service) else { return 0 };
        let same =
            |s: &State| s.verdict == state.verdict && s.unless == state.unless && s.reasons == state.reasons;
        let known = states.iter().position(same).unwrap_or(states.len());
        match states.get_mut(known) {
            Some(shared) => shared.moments.push(moment),
            None => states.push(state),
        }
        known
    }

    fn judged(&self, service: usize, number: usize) -> State {
        let mut state = State {
            moments: vec![number],
            verdict: Verdict::NotProven,
            unless: Vec::new(),
            reasons: Vec::new(),
        };
        let (Some((name, _)), Some(moment)) =
            (self.analysis.services().get(service), self.analysis.moments().get(number))
        else {
            return state;
        };
        state.verdict = self.analysis.verdict_at(name, moment);
        match state.verdict {
            Verdict::Never => {
                let why = self.analysis.why(Claim::ServiceNever(name), |m| std::ptr::eq(m, moment));
                state.reasons = why.unwrap_or_default();
            }
            Verdict::Conditional => {
                let (sets, cut_short) = self.analysis.unless_at(name, moment);
                state.unless = sets;
                state
                    .unless
                    .extend(cut_short.then(|| "something else: there is more than is listed".to_owned()));
            }
            Verdict::Always | Verdict::NotProven => {}
        }
        state
    }

    fn interval(&self, date: Date, start: i64, interval: &Interval) -> WeekInterval<P> {
        let wall = |instant| self.analysis.period.local(instant).map_or(24 * 60, |t| t.minute);
        let (from, to) = (wall(interval.from), wall(interval.to));
        let when = LocalTime { date, minute: from };
        let locate = |place: Option<Place>| place.and_then(|place| (self.locate)(&place));
        let services = interval.states.iter().zip(&self.states).map(|(number, states)| {
            let cause = states.get(*number).and_then(|state| self.cause(&state.reasons, when));
            WeekCause { state: *number, cause: locate(cause) }
        });
        WeekInterval {
            after: (interval.from - start) / 60,
            minutes: (interval.to - interval.from) / 60,
            from: clock_words(from),
            to: clock_words(if to == 0 { 24 * 60 } else { to }),
            mode: interval.mode,
            by: locate(self.zone_hours(when)),
            services: services.collect(),
        }
    }

    /// The line to look at first: of a schedule, the one that decides then.
    fn cause(&self, reasons: &[Reason], when: LocalTime) -> Option<Place> {
        let first = reasons.iter().min_by_key(|reason| reason.kind.rank())?;
        let place = &first.because.first()?.place;
        let mut schedules = self.schedules();
        let schedule = schedules.find(|(schedule, _)| schedule.id == place.entry);
        let line = schedule.and_then(|(schedule, timed)| day_line(schedule, timed, when));
        Some(line.unwrap_or_else(|| place.clone()))
    }

    /// The line of its schedule that makes a zone occupied then, or not.
    fn zone_hours(&self, when: LocalTime) -> Option<Place> {
        let name = &self.analysis.zone?.is.schedule.as_ref()?.value;
        let (schedule, timed) = self.schedules().find(|(schedule, _)| schedule.name() == name.as_str())?;
        day_line(schedule, timed, when)
    }

    fn schedules(&self) -> impl Iterator<Item = (Found<'_, Schedule>, &TimedSchedule)> {
        let all = self.analysis.schedules();
        all.filter_map(|(name, timed)| Some((self.view.find::<Schedule>(name)?, timed.as_ref())))
    }

    fn services(&self) -> Vec<WeekService<P>> {
        let each = self.analysis.services().iter().zip(&self.states);
        each.map(|((service, _), states)| {
            let states = states.iter().map(|state| {
                let because = state.reasons.iter().flat_map(|r| &r.because);
                WeekState {
                    verdict: state.verdict,
                    unless: state.unless.clone(),
                    because: because.filter_map(|b| self.because(b)).collect(),
                }
            });
            WeekService { service: service.to_string(), states: states.collect() }
        })
        .collect()
    }

    fn because(&self, because: &Because) -> Option<WeekReason<P>> {
        Some(WeekReason { text: because.text.clone(), at: (self.locate)(&because.place)? })
    }

    /// The limits of both modes; of one that follows a schedule each value that comes in the mode.
    fn modes(&self, over: &Analysis<'_, '_>) -> Vec<WeekMode<P>> {
        let Some(zone) = self.analysis.zone else { return Vec::new() };
        let settings = over.settings(zone);
        let modes = Mode::ALL.map(|mode| {
            let here = settings.iter().filter(|setting| setting.mode == mode);
            let mut limits = Vec::new();
            for rule in here.flat_map(|setting| call_rules(self.view, zone, &setting.limits)) {
                let Some(limit) = rule.limit else { continue };
                let line = WeekLimit {
                    call: rule.call.to_string(),
                    limit: format!("{} {}", rule.key, limit.value),
                    possible: rule.possible(),
                    at: (self.locate)(&zone.place(limit.at)),
                };
                if !limits.contains(&line) {
                    limits.push(line);
                }
            }
            WeekMode { mode, limits }
        });
        modes.into()
    }
}

/// `08:00`; the end of a day is `24:00`.
fn clock_words(minute: u16) -> String {
    format!("{:02}:{:02}", minute / 60, minute % 60)
}
