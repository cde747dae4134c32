//! Random jobs of two units with mistakes in them, the same for the same seed.

use super::Workspace;
use model::{UnitType, View};
use std::fmt::Write;
use std::path::Path;

/// Numbers that look random: `SplitMix64` (Steele, Lea and Flood, OOPSLA 2014).
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Dice {
        Dice(seed)
    }

    fn below(&mut self, end: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) % end as u64) as usize
    }

    /// True so many times in a hundred.
    fn often(&mut self, percent: usize) -> bool {
        self.below(100) < percent
    }

    fn of<'a, T: ?Sized>(&mut self, all: &[&'a T]) -> &'a T {
        all[self.below(all.len())]
    }
}

const ZONES: &[&str] = &["stacks", "reading-room"];

/// The text of a job in one file.
pub(crate) fn job(dice: &mut Dice) -> String {
    let mut text = "site:\n  name: Saltmarsh Records Centre\n  time-zone: America/New_York\n  review: {from: 2027-01-04, days: 28}\n".to_owned();
    text += "calendars:\n  closures:\n    - {date: 2027-01-18}\nschedules:\n";
    for name in ["staff-hours", "night-hours", "spare-hours"] {
        schedule(dice, name, &mut text);
    }
    text += "zones:\n";
    for zone in ZONES {
        self::zone(dice, zone, &mut text);
    }
    let (mut units, mut points) = ("units:\n".to_owned(), "points:\n".to_owned());
    for name in ["HP-1", "AC-2"] {
        unit(dice, name, &mut units, &mut points);
    }
    text += &units;
    text += &points;
    if dice.often(50) {
        let asked = dice.of(&["always", "{gap-at-most: 24 h}", "{gap-at-most: 100 h}"]);
        let _ =
            writeln!(text, "requirements:\n  - {{zone: stacks, dehumidification: {asked}}} # the owner's");
    }
    if dice.often(30) {
        mistype(dice, &mut text);
    }
    if dice.often(30) { text.replace('\n', "\r\n") } else { text }
}

fn schedule(dice: &mut Dice, name: &str, text: &mut String) {
    let _ = writeln!(text, "  {name}: # by hand\n    values: occupancy\n    default: unoccupied\n    week:");
    for days in dice.of(&[["mon-fri", "sat-sun"].as_slice(), &["mon-sun"], &["mon-thu", "fri", "sat"]]) {
        let hours = dice.of(&[
            "08:00-17:30",
            "none",
            "none",
            "all-day",
            "[09:00-12:00, 13:00-16:00]",
            "22:00-06:00",
            "[08:00-12:00, 11:00-16:00]",
        ]);
        let _ = writeln!(text, "      {days}: {hours} # checked");
    }
    if dice.often(40) {
        text.push_str("    exceptions:\n");
        for _ in 0..=dice.below(2) {
            let on = dice.of(&["closures", "2027-01-18", "2027-01-23", "2026-12-24"]);
            let hours = dice.of(&["hours: none", "hours: 10:00-16:00", "also: 18:00-22:00"]);
            let priority = dice.of(&["", ", priority: 10", ", priority: 5"]);
            let _ = writeln!(text, "      - {{on: {on}, {hours}{priority}}}");
        }
    }
}

fn zone(dice: &mut Dice, name: &str, text: &mut String) {
    let _ = writeln!(text, "  {name}:");
    let scheduled = dice.often(85);
    if scheduled {
        let _ = writeln!(text, "    schedule: {}", dice.of(&["staff-hours", "night-hours"]));
    }
    for mode in ["occupied", "unoccupied"] {
        if mode == "unoccupied" && (!scheduled || dice.often(20)) {
            continue;
        }
        let (heat, cool) =
            (dice.of(&["68 °F", "62 °F", "76 °F", "33 °F"]), dice.of(&["75 °F", "78 °F", "70 °F"]));
        let dry = dice.of(&[
            "dehumidify-above: 55 %RH",
            "dehumidify-above: 99 %RH",
            "dehumidify-above: 58 °F dew point",
            "humidify-below: 40 %RH",
        ]);
        let _ = writeln!(text, "    {mode}: {{heat-below: {heat}, cool-above: {cool}, {dry}}} # as designed");
    }
    if dice.often(60) {
        text.push_str("    thermostat: {differential: 1 °F, humidity-differential: 4 %RH, sensor-range: {humidity: 0..100 %RH, temperature: 32..122 °F}}\n");
    }
}

/// A unit of a built-in type, and the points that are wired to it.
fn unit(dice: &mut Dice, name: &str, units: &mut String, points: &mut String) {
    let library = Workspace::empty(Path::new("nowhere"));
    let view = View::new(library.job());
    let mut types: Vec<(&str, &UnitType)> =
        view.all::<UnitType>().into_iter().map(|found| (found.name(), found.is)).collect();
    types.sort_by_key(|(name, _)| *name);
    let (type_name, unit_type) = types[dice.below(types.len())];
    let zone = dice.of(ZONES);
    let _ = writeln!(units, "  {name}:\n    type: {type_name} # as submitted\n    zone: {zone}");
    let mut options = Vec::new();
    for option in &unit_type.options {
        if dice.often(40) {
            continue;
        }
        let choice = &option.choices[dice.below(option.choices.len())].value;
        options.push(format!("{}: {choice}", option.name.value));
    }
    if !options.is_empty() {
        let _ = writeln!(units, "    options: {{{}}}", options.join(", "));
    }
    units.push_str("    inputs:\n");
    for input in &unit_type.inputs {
        let input = input.name.value.as_str();
        let wire = match dice.below(20) {
            0 => continue,
            1 => "not-wired".to_owned(),
            2 => "{tied: off}".to_owned(),
            3 if input != "dehumidify" => "{tied-to: dehumidify}".to_owned(),
            _ => format!("{}-{}", name.replace('-', ""), input.to_uppercase()),
        };
        let _ = writeln!(units, "      {input}: {wire} # terminal checked");
        if wire.starts_with(|c: char| c.is_ascii_uppercase()) {
            let _ =
                writeln!(points, "  {wire}: {{description: {input} of {name}{}}}", source(dice, input, zone));
        }
    }
}

fn source(dice: &mut Dice, input: &str, zone: &str) -> String {
    let calls = ["cool-1", "cool-2", "heat-1", "heat-2", "dehumidify", "humidify"];
    let zone = if dice.often(90) { zone } else { dice.of(ZONES) };
    let source = match dice.below(20) {
        0 => return String::new(),
        1 => "operator: off".to_owned(),
        2 => "contact: field, override: {value: off, priority: 8}".to_owned(),
        _ if calls.contains(&input) => format!("call: {input}, zone: {zone}"),
        _ if input == "occupied" => {
            format!("schedule: {}", dice.of(&["staff-hours", "night-hours", "spare-hours"]))
        }
        _ => "contact: field".to_owned(),
    };
    format!(", driven-by: {{{source}}}")
}

/// Puts another letter into a word of a value.
fn mistype(dice: &mut Dice, text: &mut String) {
    let places: Vec<usize> =
        text.char_indices().filter(|(_, c)| c.is_ascii_lowercase()).map(|(at, _)| at).collect();
    let at = places[dice.below(places.len())];
    text.replace_range(at..=at, dice.of(&["a", "e", "x", "-"]));
}
