//! The points of a job that take their values from themselves, by way of however many others.

use crate::graph::{Group, groups};
use crate::names::Name;
use rustc_hash::{FxHashMap, FxHashSet};

/// The circles of a job's points.
#[derive(Clone, Default)]
pub(crate) struct Circles {
    all: Vec<Vec<Name>>,
    /// The circle of each point that is on one, by number.
    of: FxHashMap<Name, usize>,
}

impl Circles {
    /// The circles among some points, given what each takes its value from.
    pub(crate) fn among(points: impl Iterator<Item = Name>, sources: impl Fn(&Name) -> Vec<Name>) -> Self {
        let mut circles = Circles::default();
        let mut done: FxHashSet<Name> = FxHashSet::default();
        for point in points {
            if done.contains(&point) {
                continue;
            }
            for group in groups(point, |name| !done.contains(name), &sources) {
                match group {
                    Group::One(name) => drop(done.insert(name)),
                    Group::Circle(names) => {
                        let number = circles.all.len();
                        circles.of.extend(names.iter().map(|name| (name.clone(), number)));
                        done.extend(names.iter().cloned());
                        circles.all.push(names);
                    }
                }
            }
        }
        circles
    }

    /// The points of the circle that a point is on.
    pub(crate) fn of(&self, point: &Name) -> Option<&[Name]> {
        Some(self.all.get(*self.of.get(point)?)?)
    }
}
