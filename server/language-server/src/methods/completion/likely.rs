//! Which points are likely to be wired to an input of a unit.

use super::offer::Offer;
use model::{Key, Kind, Mode, Name, Point, Source, Unit, View, Zone};

/// Puts the points that are likely at an input first, and leaves the order of those that are as likely:
/// what is driven by what the input is for, then what is named after the unit, what nothing reads yet before
/// what something does. What measures comes last.
pub(super) fn sort(view: &View<'_>, unit: &Unit, name: &str, input: &str, points: &mut [Offer]) {
    let name = letters(name);
    let zone = unit.zone.as_ref().map(|zone| &zone.value);
    let schedule = zone.and_then(|zone| view.find::<Zone>(zone)?.is.schedule.as_ref());
    points.sort_by_cached_key(|offer| {
        let label = Name::new(&offer.label);
        let point = view.find::<Point>(&label).map(|found| found.is);
        let driver = point.and_then(|point| point.drivers.first()?.source.as_ref());
        let fits = match driver {
            Some(Source::Call { call, zone: of }) => {
                call.value.name() == input && zone.is_some() && of.as_ref().map(|of| &of.value) == zone
            }
            Some(Source::Schedule(by)) => {
                input == Mode::OCCUPIED_INPUT && schedule.is_some_and(|schedule| schedule.value == by.value)
            }
            _ => false,
        };
        let named = !name.is_empty() && letters(&offer.label).starts_with(&name);
        let free = !view.any(&Key::Refer(Kind::Point, label));
        let measures = point.is_some_and(|point| point.measures.is_some());
        // Least first.
        [measures, !(fits && free), !(named && free), !fits, !named, !free]
    });
}

/// A name as names of points take it up: `HP-1` as `hp1`.
fn letters(name: &str) -> String {
    name.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}
