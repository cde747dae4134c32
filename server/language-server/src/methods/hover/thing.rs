//! Hover over a zone, a calendar, a device, a unit type, and over an entry that has none of its own.

use super::sheet::listed;
use super::{Look, Sheet};
use crate::markdown::code;
use model::{
    Calendar, Device, Found, Key, Kind, LimitKey, Mode, ModeLimits, Name, Point, Schedule, Unit, UnitType,
    Zone,
};

impl<'j> Look<'_, 'j> {
    /// An entry of a section that has no hover of its own: what is written of it.
    pub(super) fn entry(&self, kind: Kind, name: &Name) -> Option<Sheet> {
        let ids = self.view.contributors(Key::Define(kind, name.clone()));
        let part = &ids.into_iter().find_map(|id| self.view.entry(id))?.part;
        let mut sheet = Sheet::titled(name, kind.noun());
        for (key, value) in part.pairs(part.value()) {
            if let (Some(key), Some(value)) = (part.scalar(key), part.scalar(value)) {
                sheet.line(format!("{key}: {}", code(value)));
            }
        }
        Some(sheet)
    }

    pub(super) fn zone(&self, zone: Found<'j, Zone>) -> Option<Sheet> {
        let mut sheet = Sheet::titled(zone.name(), "zone");
        match &zone.is.schedule {
            Some(schedule) => sheet.line(format!("occupied by schedule {}", code(&schedule.value))),
            None => sheet.line("always occupied: it has no schedule"),
        }
        for mode in Mode::ALL {
            if let Some(limits) = zone.is.limits(mode) {
                sheet.line(format!("{mode}: {}", limits_words(limits)));
            }
        }
        let units: Vec<Found<'_, Unit>> = self.view.users(Kind::Zone, &Name::new(zone.name()));
        if !units.is_empty() {
            sheet.line(format!("served by {}", listed(units.iter().map(Found::name), 6)));
        }
        Some(sheet)
    }

    pub(super) fn calendar(&self, calendar: Found<'j, Calendar>) -> Option<Sheet> {
        let mut sheet = Sheet::titled(calendar.name(), "calendar");
        let count = calendar.is.entries.len();
        sheet.line(format!("{count} {}", if count == 1 { "entry" } else { "entries" }));
        let schedules: Vec<Found<'_, Schedule>> =
            self.view.users(Kind::Calendar, &Name::new(calendar.name()));
        if !schedules.is_empty() {
            sheet.line(format!("used by {}", listed(schedules.iter().map(Found::name), 6)));
        }
        Some(sheet)
    }

    pub(super) fn device(&self, device: Found<'j, Device>) -> Option<Sheet> {
        let mut sheet = Sheet::titled(device.name(), "device");
        if let Some(instance) = &device.is.instance {
            let network =
                device.is.network.as_ref().map_or_else(String::new, |n| format!(", network {}", n.value));
            sheet.line(format!("instance {}{network}", instance.value));
        }
        let points: Vec<Found<'_, Point>> = self.view.users(Kind::Device, &Name::new(device.name()));
        let count = points.len();
        sheet.line(format!("{count} {}", if count == 1 { "point" } else { "points" }));
        Some(sheet)
    }

    pub(super) fn unit_type(&self, unit_type: Found<'j, UnitType>) -> Option<Sheet> {
        let text = unit_type.is.text.as_ref().map_or("unit type", |text| text.value.as_str());
        let mut sheet = Sheet::titled(unit_type.name(), text);
        for input in &unit_type.is.inputs {
            let written = [input.terminal.as_ref(), input.text.as_ref()];
            let [terminal, text] = written.map(|word| word.map_or("", |word| word.value.as_str()));
            let name = code(&input.name.value);
            let words = [terminal, &name, text].into_iter().filter(|word| !word.is_empty());
            sheet.item(words.collect::<Vec<_>>().join(" "));
        }
        let outputs = unit_type.is.outputs.iter().map(|output| output.name.value.as_str());
        sheet.line(format!("switches {}", listed(outputs, 8)));
        Some(sheet)
    }
}

/// `heat below 70 °F, cool above 75 °F`.
fn limits_words(limits: &ModeLimits) -> String {
    let words = |key: LimitKey| key.name().replace('-', " ");
    let set = LimitKey::ALL
        .into_iter()
        .filter_map(|key| Some(format!("{} {}", words(key), limits.value(key)?.value)));
    let followed = limits.followed.iter();
    let followed = followed.map(|f| format!("{} by schedule {}", words(f.key), code(&f.schedule.value)));
    let set: Vec<String> = set.chain(followed).collect();
    if set.is_empty() { "no limits".to_owned() } else { set.join(", ") }
}
