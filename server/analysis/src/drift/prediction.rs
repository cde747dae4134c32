//! What a prediction comes to: hours above the limits, the worst gap, the surfaces' running mean.

use super::outdoors::Outdoors;
use super::zone::{DriftRun, ZoneDrift};
use crate::memo::{KeyPart, Memo, MemoKey};
use crate::same::Same;
use crate::verdict::Gap;
use air::drift::{HumidityLimit, MOULD_TEMPERATURES, RUNNING_MEAN_HOURS, Surface};
use air::{Celsius, MoistAir};
use std::sync::Arc;

/// The figures of a predicted period.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Prediction {
    /// Hours predicted: those for which the weather has readings.
    pub hours: usize,
    /// Hours above a limit that holds in them.
    pub above: usize,
    /// Of those, hours in which nothing may dry the zone.
    pub above_in_gaps: usize,
    /// The hour furthest above a limit.
    pub worst: Option<WorstHour>,
    /// The gap that ends up furthest above a limit.
    pub worst_gap: Option<WorstGap>,
    /// The highest running mean of the surface humidity at which mould may grow, if any is so high.
    pub mould: Option<SurfacePeak>,
    /// The highest running mean at all; nothing in less than thirty days.
    pub surface: Option<SurfacePeak>,
}

/// An hour above a limit.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct WorstHour {
    /// The moment it ends, in Unix seconds.
    pub at: i64,
    /// The zone's air then.
    pub air: MoistAir,
    /// The limit, by its number.
    pub criterion: usize,
    /// By how much it is above, in humidity ratio.
    excess: f64,
}

/// A stretch of time in which nothing may dry the zone, and what comes of it.
#[derive(Clone, PartialEq, Debug)]
pub struct WorstGap {
    /// The stretch, to the hour.
    pub gap: Gap,
    /// Hours from its beginning until the limit is passed.
    pub crosses_after: f64,
    /// Its hour furthest above a limit.
    pub worst: WorstHour,
}

/// A running mean over thirty days.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct SurfacePeak {
    /// The moment the thirty days end, in Unix seconds.
    pub until: i64,
    pub mean: Surface,
}

impl SurfacePeak {
    /// Days of the running mean.
    pub const DAYS: usize = RUNNING_MEAN_HOURS / 24;
}

/// All that a prediction depends on: outdoor air, the numbers of a zone written out in full, and the kind of each hour.
#[derive(PartialEq, Eq, Hash)]
struct Setup {
    outdoors: Same<Outdoors>,
    numbers: String,
    hours: Arc<[u8]>,
}

impl MemoKey for Setup {
    type Answer = Option<Arc<Prediction>>;
    const MOST: usize = 512;

    fn rests_on(&self, part: &mut dyn FnMut(KeyPart)) {
        part(KeyPart { holders: self.outdoors.holders(), held: 1 });
    }
}

impl ZoneDrift<'_> {
    /// The prediction, worked out once for all zones that are alike.
    pub fn prediction(&self, memo: &Memo) -> Option<Arc<Prediction>> {
        self.prediction_with(memo, 1.0)
    }

    /// The prediction with the infiltration multiplied, for a sensitivity line.
    pub fn prediction_with(&self, memo: &Memo, infiltration: f64) -> Option<Arc<Prediction>> {
        let room = self.room.air.with_infiltration_times(infiltration);
        let numbers =
            format!("{room:?} {:?} {:?} {:?}", self.conditioning.kinds, self.humidity_limits(), self.mould);
        let hours = self.conditioning.hours.clone();
        memo.of(Setup { outdoors: Same::of(&self.outdoors), numbers, hours }, |_| {
            let runs = self.runs_in(&room).ok()?;
            Some(Arc::new(Prediction::of(self, &runs)))
        })
    }

    fn humidity_limits(&self) -> Vec<HumidityLimit> {
        self.criteria.iter().map(|criterion| criterion.limit).collect()
    }
}

/// A gap as it is walked through.
struct OpenGap {
    first: usize,
    /// The excess at the last end of an hour.
    before: Option<f64>,
    crosses_after: Option<f64>,
    worst: Option<WorstHour>,
}

impl Prediction {
    fn of(zone: &ZoneDrift<'_>, runs: &[DriftRun]) -> Prediction {
        let mut prediction = Prediction::default();
        for run in runs {
            prediction.walk(zone, run);
            prediction.surfaces(zone, run);
        }
        prediction
    }

    fn walk(&mut self, zone: &ZoneDrift<'_>, run: &DriftRun) {
        let mut open: Option<OpenGap> = None;
        let mut before = &run.drift.start;
        for (n, air) in run.drift.hours.iter().enumerate() {
            let hour = run.first + n;
            let Some(kind) = zone.conditioning.at(hour) else { break };
            let worst = furthest(zone, &kind.criteria, air, hour);
            self.hours += 1;
            if let Some(worst) = worst.filter(|worst| worst.excess > 0.0) {
                self.above += 1;
                self.above_in_gaps += usize::from(!kind.may_dry);
                worse(&mut self.worst, worst);
            }
            if kind.may_dry {
                self.close(zone, open.take().as_ref(), hour);
            } else {
                let gap = open.get_or_insert_with(|| OpenGap {
                    first: hour,
                    before: furthest(zone, &kind.criteria, before, hour).map(|w| w.excess),
                    crosses_after: None,
                    worst: None,
                });
                gap.take(hour, worst);
            }
            before = air;
        }
        self.close(zone, open.as_ref(), run.first + run.drift.hours.len());
    }

    fn close(&mut self, zone: &ZoneDrift<'_>, open: Option<&OpenGap>, end: usize) {
        let Some(&OpenGap { first, crosses_after: Some(crosses_after), worst: Some(worst), .. }) = open
        else {
            return;
        };
        if self.worst_gap.as_ref().is_none_or(|known| known.worst.excess < worst.excess) {
            let gap = Gap { from: zone.instant(first), to: zone.instant(end) };
            self.worst_gap = Some(WorstGap { gap, crosses_after, worst });
        }
    }

    fn surfaces(&mut self, zone: &ZoneDrift<'_>, run: &DriftRun) {
        for (n, mean) in run.drift.surface_running_means().into_iter().enumerate() {
            let peak = SurfacePeak { until: zone.instant(run.first + n + RUNNING_MEAN_HOURS), mean };
            let higher = |known: &Option<SurfacePeak>| known.is_none_or(|k| k.mean.humidity < mean.humidity);
            if higher(&self.surface) {
                self.surface = Some(peak);
            }
            let grows = zone.mould.is_some_and(|limit| mean.humidity >= limit)
                && MOULD_TEMPERATURES.contains(&mean.temperature.0);
            if grows && higher(&self.mould) {
                self.mould = Some(peak);
            }
        }
    }
}

impl OpenGap {
    /// The next hour of the gap, by straight lines between the ends of hours.
    fn take(&mut self, hour: usize, worst: Option<WorstHour>) {
        let Some(worst) = worst else { return };
        if self.crosses_after.is_none() && worst.excess > 0.0 {
            let before = self.before.unwrap_or(0.0);
            let share = if before < 0.0 { before / (before - worst.excess) } else { 0.0 };
            self.crosses_after = Some((hour - self.first) as f64 + share);
        }
        self.before = Some(worst.excess);
        if worst.excess > 0.0 {
            worse(&mut self.worst, worst);
        }
    }
}

impl WorstHour {
    /// The dew point of the zone's air.
    pub fn dew_point(&self) -> Celsius {
        self.air.dew_point()
    }
}

/// The limit that air is furthest above, or least below.
fn furthest(zone: &ZoneDrift<'_>, criteria: &[usize], air: &MoistAir, hour: usize) -> Option<WorstHour> {
    let excesses = criteria.iter().filter_map(|n| Some((*n, zone.criteria.get(*n)?.limit.excess(air))));
    let (criterion, excess) = excesses.max_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(WorstHour { at: zone.instant(hour + 1), air: *air, criterion, excess })
}

fn worse(known: &mut Option<WorstHour>, new: WorstHour) {
    if known.is_none_or(|known| known.excess < new.excess) {
        *known = Some(new);
    }
}
