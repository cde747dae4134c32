//! The week of a unit for a program that draws it, in local time.
//!
//! One object, `format` 1:
//!
//! - `unit`, `type`, `zone` (or null), `time-zone`; `from` and `to`, the first and last day shown;
//!   `period`, the `from` and `to` of the review;
//! - `modes`: `mode` (`occupied`, `unoccupied`) and its `limits`, each with its `call`, its `limit`
//!   in words (`dehumidify-above 55 %RH`), whether it is `possible`, and `at`;
//! - `services`: `service` and its `states`, each with a `verdict` (`never`, `unless`, `always`),
//!   the sets of circumstances that block it, in words (`unless`), and the facts that force a `never`
//!   (`because`);
//! - `days`: `date`, `name`, its length in `minutes` (null outside the period), the `clock` changes in
//!   words, and `intervals`: `after` and `minutes` elapsed from the start of the day, `from` and `to`
//!   on the wall clock, the `mode` (or null) and `by`, the line of the zone's schedule that makes it
//!   (or null), and for each service the number of its `state` and the `cause` of a gap: the line to
//!   look at first, or null.
//!
//! What a place (`at`, `by`, `cause`, each of `because`, which also has a `text`) looks like is up to the
//! caller.

use crate::day_line::day_line;
use crate::review::unit;
use analysis::{
    Analysis, Because, Claim, Mode, Moment, Reason, TimedSchedule, UnitAnalysis, Verdict, call_rules,
    day_words,
};
use calendar::{Change, Date, LocalTime};
use model::{Found, Place, Schedule, View};
use serde_json::{Value, json};
use workspace::Workspace;

/// Turns a place of the job into what the reader of the week can go to.
pub type Locate<'l> = &'l dyn Fn(&Place) -> Option<Value>;

/// The seven days from `from`, or those around the begin of the longest gap; nothing when the job
/// has no such unit, or its type is unknown.
pub fn week_json(workspace: &Workspace, name: &str, from: Option<Date>, locate: Locate<'_>) -> Option<Value> {
    let view = View::new(workspace.job());
    let over = Analysis::of_review(&view, workspace.memo())?;
    let analysis = over.unit(unit(&view, name)?)?;
    let mut week =
        Week { states: vec![Vec::new(); analysis.services().len()], view: &view, analysis, locate };
    let mut days = Vec::new();
    let mut date = from.unwrap_or_else(|| week.worth_seeing());
    let first = date;
    for _ in 0..7 {
        days.push(week.day(date));
        match date.tomorrow() {
            Ok(next) => date = next,
            Err(_) => break,
        }
    }
    let last = date.yesterday().unwrap_or(date);
    let period = &week.analysis.period;
    Some(json!({
        "format": 1,
        "unit": name,
        "type": week.analysis.unit_type.name(),
        "zone": week.analysis.zone.map(|zone| zone.name()),
        "time-zone": period.zone(),
        "from": first.to_string(),
        "to": last.to_string(),
        "period": {"from": period.first_date().to_string(), "to": period.last_date().to_string()},
        "modes": week.modes(&over),
        "services": week.services(),
        "days": days,
    }))
}

struct Week<'w, 'j> {
    view: &'w View<'j>,
    analysis: UnitAnalysis<'j>,
    locate: Locate<'w>,
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

impl Week<'_, '_> {
    /// The Monday before the longest gap of a service, dehumidification first; the day itself where
    /// that lies before the period.
    fn worth_seeing(&self) -> Date {
        let period = &self.analysis.period;
        let drying = self.analysis.services().iter().filter(|(name, _)| name == "dehumidification");
        let mut drying_first = drying.chain(self.analysis.services());
        let gap = drying_first.find_map(|(name, _)| self.analysis.verdict(name).longest_gap);
        let date = gap.and_then(|gap| period.local(gap.from)).map_or(period.first_date(), |t| t.date);
        let back = i64::from(date.weekday().to_monday_zero_offset());
        let monday = (0..back).try_fold(date, |date, _| date.yesterday());
        monday.ok().filter(|monday| period.contains(*monday)).unwrap_or(date)
    }

    fn day(&mut self, date: Date) -> Value {
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
                Change::Skipped => format!("clocks go from {from} to {to}"),
                Change::Repeated => format!("clocks show {from} to {to} twice"),
            }
        });
        json!({
            "date": date.to_string(),
            "name": day_words(date),
            "minutes": bounds.map(|(start, end)| (end - start) / 60),
            "clock": clock.collect::<Vec<_>>(),
            "intervals": intervals,
        })
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
        let mut state =
            State { moments: vec![number], verdict: Verdict::Never, unless: Vec::new(), reasons: Vec::new() };
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
            Verdict::Unless => {
                let (sets, cut_short) = self.analysis.unless_at(name, moment);
                state.unless = sets;
                state
                    .unless
                    .extend(cut_short.then(|| "something else: there is more than is listed".to_owned()));
            }
            Verdict::Always => {}
        }
        state
    }

    fn interval(&self, date: Date, start: i64, interval: &Interval) -> Value {
        let wall = |instant| self.analysis.period.local(instant).map_or(24 * 60, |t| t.minute);
        let (from, to) = (wall(interval.from), wall(interval.to));
        let when = LocalTime { date, minute: from };
        let locate = |place: Option<Place>| place.and_then(|place| (self.locate)(&place));
        let services = interval.states.iter().zip(&self.states).map(|(number, states)| {
            let cause = states.get(*number).and_then(|state| self.cause(&state.reasons, when));
            json!({"state": number, "cause": locate(cause)})
        });
        json!({
            "after": (interval.from - start) / 60,
            "minutes": (interval.to - interval.from) / 60,
            "from": clock_words(from),
            "to": clock_words(if to == 0 { 24 * 60 } else { to }),
            "mode": interval.mode.map(Mode::word),
            "by": locate(self.zone_hours(when)),
            "services": services.collect::<Vec<_>>(),
        })
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

    fn services(&self) -> Vec<Value> {
        let each = self.analysis.services().iter().zip(&self.states);
        each.map(|((service, _), states)| {
            let states = states.iter().map(|state| {
                let because = state.reasons.iter().flat_map(|r| &r.because);
                json!({
                    "verdict": state.verdict.word(),
                    "unless": state.unless,
                    "because": because.filter_map(|b| self.because(b)).collect::<Vec<_>>(),
                })
            });
            json!({"service": service.as_str(), "states": states.collect::<Vec<_>>()})
        })
        .collect()
    }

    fn because(&self, because: &Because) -> Option<Value> {
        Some(json!({"text": because.text, "at": (self.locate)(&because.place)?}))
    }

    /// The limits of both modes; of one that follows a schedule each value that comes in the mode.
    fn modes(&self, over: &Analysis<'_, '_>) -> Vec<Value> {
        let Some(zone) = self.analysis.zone else { return Vec::new() };
        let settings = over.settings(zone);
        let modes = Mode::ALL.map(|mode| {
            let here = settings.iter().filter(|setting| setting.mode == mode);
            let mut limits = Vec::new();
            for rule in here.flat_map(|setting| call_rules(self.view, zone, &setting.limits)) {
                let Some(limit) = rule.limit else { continue };
                let line = json!({
                    "call": rule.call,
                    "limit": format!("{} {}", rule.key, limit.value),
                    "possible": rule.possible(),
                    "at": (self.locate)(&zone.place(limit.at)),
                });
                if !limits.contains(&line) {
                    limits.push(line);
                }
            }
            json!({"mode": mode.word(), "limits": limits})
        });
        modes.into()
    }
}

/// `08:00`; the end of a day is `24:00`.
fn clock_words(minute: u16) -> String {
    format!("{:02}:{:02}", minute / 60, minute % 60)
}

/// The units of a job, in the order of files and lines.
pub fn unit_names(workspace: &Workspace) -> Vec<String> {
    let units = View::new(workspace.job()).all::<model::Unit>();
    units.iter().map(|unit| unit.name().to_owned()).collect()
}
