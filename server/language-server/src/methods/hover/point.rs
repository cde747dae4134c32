//! Hover over a point: what it is, where its value comes from, who takes it.

use super::sheet::listed;
use super::{Look, Sheet};
use analysis::Wires;
use model::{Found, Kind, Name, Point, Unit};

impl<'j> Look<'_, 'j> {
    pub(super) fn point(&self, point: Found<'j, Point>) -> Option<Sheet> {
        let name = Name::new(point.name());
        let text = point.is.text.as_ref().map_or("point", |text| text.value.as_str());
        let mut sheet = Sheet::titled(&name, text);
        if let Some(object) = &point.is.object {
            let device = point.is.device.as_ref().map_or_else(String::new, |d| format!(" of `{}`", d.value));
            sheet.line(format!("{} {}{device}", object.value.kind.name(), object.value.instance));
        }
        if let Some(measures) = &point.is.measures {
            let quantity = measures.quantity.as_ref().map_or("something", |q| q.value);
            let zone = measures.zone.as_ref().map_or_else(String::new, |z| format!(" in `{}`", z.value));
            let range = point.is.range.as_ref().map_or_else(String::new, |r| format!(", {}", r.value));
            let units = point.is.units.as_ref().map_or_else(String::new, |u| format!(" {}", u.value.name));
            sheet.line(format!("measures {quantity}{zone}{range}{units}"));
        }
        if !point.is.drivers.is_empty() || point.is.measures.is_none() {
            let mut path = Vec::new();
            Wires::default().point(self.view, &name, &mut path, &mut Vec::new());
            path.iter().for_each(|because| sheet.line(format!("- {}", because.text)));
        }
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
}
