//! Hover over a point: what it is, where its value comes from, who takes it.

use super::sheet::listed;
use super::{Look, Sheet};
use crate::markdown::code;
use model::{Driver, Found, Kind, Name, Operator, Point, Source, Unit};

/// Links of a chain of points that are shown.
const LONGEST_CHAIN: usize = 5;

impl<'j> Look<'_, 'j> {
    pub(super) fn point(&self, point: Found<'j, Point>) -> Option<Sheet> {
        let name = Name::new(point.name());
        let text = point.is.text.as_ref().map_or("point", |text| text.value.as_str());
        let mut sheet = Sheet::titled(&name, text);
        if let Some(object) = &point.is.object {
            let device =
                point.is.device.as_ref().map_or_else(String::new, |d| format!(" of {}", code(&d.value)));
            sheet.line(format!("{} {}{device}", object.value.kind.name(), object.value.instance));
        }
        if let Some(measures) = &point.is.measures {
            let quantity = measures.quantity.as_ref().map_or("something", |q| q.value);
            let zone = measures.zone.as_ref().map_or_else(String::new, |z| format!(" in {}", code(&z.value)));
            let range =
                point.is.scale().range.as_ref().map_or_else(String::new, |r| format!(", {}", r.value));
            let units =
                point.is.scale().units.as_ref().map_or_else(String::new, |u| format!(" {}", u.value.name));
            sheet.line(format!("measures {quantity}{zone}{range}{units}"));
        }
        self.sources(&mut sheet, point);
        let units: Vec<Found<'_, Unit>> = self.view.users(Kind::Point, &name);
        if !units.is_empty() {
            sheet.line(format!("at {}", listed(units.iter().map(Found::name), 6)));
        }
        let points: Vec<Found<'_, Point>> = self.view.users(Kind::Point, &name);
        if !points.is_empty() {
            sheet.line(format!("drives {}", listed(points.iter().map(Found::name), 6)));
        }
        Some(sheet)
    }

    /// Where a point's value comes from, along a chain of points.
    fn sources(&self, sheet: &mut Sheet, point: Found<'j, Point>) {
        let mut next = Some(point);
        for _ in 0..LONGEST_CHAIN {
            let Some(point) = next.take() else { return };
            if point.is.drivers.is_empty() && point.is.measures.is_none() {
                sheet.item(format!("nothing drives {}", code(point.name())));
            }
            for driver in &point.is.drivers {
                sheet.item(format!("{} {}", code(point.name()), driver_words(driver)));
                if let Some(Source::Point(other)) = &driver.source {
                    next = next.or_else(|| self.view.find(&other.value));
                }
            }
        }
    }
}

/// What a source of a point is, as written.
fn driver_words(driver: &Driver) -> String {
    let mut words = match &driver.source {
        Some(Source::Schedule(name)) => format!("follows schedule {}", code(&name.value)),
        Some(Source::Call { call, zone }) => {
            let zone = zone.as_ref().map_or_else(String::new, |zone| format!(" of {}", code(&zone.value)));
            format!("carries {}{zone}", call.value.words())
        }
        Some(Source::Operator(operator)) => match operator.value {
            Operator::On => "is left on by hand".to_owned(),
            Operator::Off => "is left off by hand".to_owned(),
            Operator::Either => "is set by hand".to_owned(),
        },
        Some(Source::Point(name)) => format!("follows {}", code(&name.value)),
        Some(Source::Logic(_)) => "is worked out from other points".to_owned(),
        Some(Source::Contact(name)) => format!("is a contact ({})", name.value),
        None => "has no source that can be read".to_owned(),
    };
    if driver.inverted.is_some() {
        words += ", inverted";
    }
    if let Some(pinned) = &driver.override_ {
        let to = if pinned.value { "on" } else { "off" };
        words += &format!(", pinned {to} at priority {}", pinned.priority);
    }
    words
}
