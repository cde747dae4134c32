//! Random jobs of one unit in which every written fact stands on a line of its own and can be let go:
//! the line is then written so that it may be anything.

#![allow(dead_code, clippy::unwrap_used)]

mod dice;

use dice::Dice;
use std::fmt::Write;

/// A written fact.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(crate) enum Fact {
    /// The choice of an option.
    Option(usize),
    /// What is wired to an input.
    Wiring(usize),
    /// What drives a point.
    Point(usize),
    /// The windows of a schedule.
    Hours(usize),
    /// That a zone follows its schedule.
    Follows(usize),
    /// A limit of a zone, or that there is none: zone, mode, key.
    Limit(usize, usize, usize),
    /// That a mode of a zone leaves limits out.
    Mode(usize, usize),
    /// The range of a zone's sensor: temperature or humidity.
    Sensor(usize, usize),
    /// A line of the type's logic.
    Line(usize),
}

pub(crate) const MODES: [&str; 2] = ["occupied", "unoccupied"];
pub(crate) const LIMITS: [&str; 4] = ["heat-below", "cool-above", "humidify-below", "dehumidify-above"];
/// With these a call can always be made, and meets that of any limit on the other side.
const NO_LIMIT: [&str; 4] = ["150 °F", "-20 °F", "100 %RH", "0 %RH"];
const CALLS: [&str; 6] = ["dehumidify", "cool-1", "heat-1", "cool-2", "heat-2", "humidify"];

/// A random job. Its unit is `U`, of type `kind`.
pub(crate) struct RandomJob {
    pub(crate) inputs: Vec<&'static str>,
    /// The choices of each option.
    pub(crate) options: Vec<Vec<String>>,
    /// The choice of each, if the unit makes one; else the first.
    chosen: Vec<Option<usize>>,
    wiring: Vec<String>,
    points: Vec<String>,
    /// Plans of `mon-fri` and of `sat-sun`.
    schedules: Vec<[&'static str; 2]>,
    zones: Vec<Zone>,
    /// Terms, outputs, services: section, name, words.
    lines: Vec<(&'static str, String, String)>,
}

struct Zone {
    schedule: Option<usize>,
    limits: [[Option<String>; 4]; 2],
    sensors: [Option<&'static str>; 2],
    thermostat: [&'static str; 3],
}

/// A job as text, with the facts that its lines state.
pub(crate) struct Written {
    pub(crate) text: String,
    pub(crate) facts: Vec<Option<Fact>>,
}

impl RandomJob {
    pub(crate) fn new(bytes: &[u8]) -> Self {
        let dice = &mut Dice::new(bytes);
        let inputs = [&CALLS[..=dice.below(CALLS.len())], &["occupied", "enable"][..dice.below(3)]].concat();
        let letters = |option: usize, count: usize| {
            (0..count).map(move |c| format!("choice-{option}{}", ["a", "b", "c"][c])).collect()
        };
        let options: Vec<Vec<String>> = (0..dice.below(3)).map(|n| letters(n, 2 + dice.below(2))).collect();
        let schedules: Vec<_> = (0..=dice.below(2)).map(|_| [plan(dice), plan(dice)]).collect();
        let zones: Vec<Zone> = (0..=dice.below(2)).map(|_| Zone::new(dice, schedules.len())).collect();
        let points: Vec<String> = (0..inputs.len() + dice.below(4))
            .map(|n| driver(dice, n, inputs.get(n).copied(), schedules.len(), zones.len()))
            .collect();
        RandomJob {
            chosen: options.iter().map(|of| dice.chance(60).then(|| dice.below(of.len()))).collect(),
            wiring: (0..inputs.len()).map(|n| wired(dice, n, &inputs, points.len())).collect(),
            lines: lines(dice, &inputs, &options),
            inputs,
            options,
            points,
            schedules,
            zones,
        }
    }

    pub(crate) fn named(&self, section: &str) -> Vec<&str> {
        let lines = self.lines.iter().filter(|(of, ..)| *of == section);
        lines.map(|(_, name, _)| name.as_str()).collect()
    }

    /// The job with some facts let go. An option that is let go takes its choice from `choices`.
    pub(crate) fn write(&self, open: &dyn Fn(Fact) -> bool, choices: &[usize]) -> Written {
        let mut page = Page::default();
        let loose: Vec<usize> = (0..self.lines.len()).filter(|n| open(Fact::Line(*n))).collect();
        page.line(None, "unit-types:\n  kind:\n    options:");
        for (n, of) in self.options.iter().enumerate() {
            let choices = of.join(", ");
            page.line(Some(Fact::Option(n)), &format!("      option-{n}: {{choices: [{choices}]}}"));
        }
        page.line(None, "    inputs:");
        for input in self.inputs.iter().map(ToString::to_string).chain(loose.iter().map(|n| loose_end(*n))) {
            page.line(None, &format!("      {input}: {{description: {input}}}"));
        }
        for section in ["terms", "outputs", "serves"] {
            page.line(None, &format!("    {section}:"));
            for (n, (of, name, words)) in self.lines.iter().enumerate().filter(|(_, l)| l.0 == section) {
                let words = if loose.contains(&n) { loose_end(n) } else { words.clone() };
                let words = if *of == "outputs" { format!("{{when: {words}}}") } else { words };
                page.line(Some(Fact::Line(n)), &format!("      {name}: {words}"));
            }
        }
        self.unit(&mut page, &loose, open, choices);
        page.line(None, "points:\n  LOOSE: {driven-by: {contact: field}}");
        for (n, driver) in self.points.iter().enumerate() {
            let driver = if open(Fact::Point(n)) { "{driven-by: {contact: field}}" } else { driver };
            page.line(Some(Fact::Point(n)), &format!("  P{n}: {driver}"));
        }
        self.zones(&mut page, open);
        page.done()
    }

    fn unit(&self, page: &mut Page, loose: &[usize], open: &dyn Fn(Fact) -> bool, choices: &[usize]) {
        page.line(None, "units:\n  U:\n    type: kind\n    zone: zone-0\n    options:");
        for (n, of) in self.options.iter().enumerate() {
            let fact = Fact::Option(n);
            let choice = if open(fact) { choices.get(n).copied() } else { self.chosen[n] };
            if let Some(choice) = choice {
                page.line(Some(fact), &format!("      option-{n}: {}", of[choice]));
            }
        }
        page.line(None, "    inputs:");
        let mut ends = loose.iter().map(|n| loose_end(*n)).collect::<Vec<_>>();
        for (n, wired) in self.wiring.iter().enumerate() {
            let wired = if open(Fact::Wiring(n)) {
                ends.push(format!("wire-{n}"));
                format!("LOOSE-wire-{n}")
            } else {
                wired.clone()
            };
            page.line(Some(Fact::Wiring(n)), &format!("      {}: {wired}", self.inputs[n]));
        }
        for n in loose {
            page.line(None, &format!("      {0}: LOOSE-{0}", loose_end(*n)));
        }
        for end in ends {
            page.later(&format!("  LOOSE-{end}: {{driven-by: {{contact: field}}}}"));
        }
    }

    fn zones(&self, page: &mut Page, open: &dyn Fn(Fact) -> bool) {
        // Every schedule that is let go is on and off within each state of all others.
        let loose: Vec<Fact> = (0..self.schedules.len())
            .map(Fact::Hours)
            .chain((0..self.zones.len()).map(Fact::Follows))
            .filter(|fact| open(*fact))
            .collect();
        let any_time = |fact| {
            let slots = 1 << loose.len();
            let at = loose.iter().position(|f| *f == fact).unwrap();
            let on = (0..24 * slots).filter(|slot| (slot % slots) >> at & 1 == 1);
            let minute = |slot: usize| 60 * (slot / slots) + 60 / slots * (slot % slots);
            let clock = |minute: usize| format!("{:02}:{:02}", minute / 60, minute % 60);
            let windows = on.map(|slot| [clock(minute(slot)), clock(minute(slot) + 60 / slots)].join("-"));
            windows.collect::<Vec<_>>().join(", ")
        };
        page.line(None, "schedules:");
        let head = |name: &str| format!("  {name}:");
        let rest = "    values: occupancy\n    default: unoccupied\n    week:";
        for (n, [week, weekend]) in self.schedules.iter().enumerate() {
            page.line(Some(Fact::Hours(n)), &head(&format!("schedule-{n}")));
            if open(Fact::Hours(n)) {
                page.line(None, &format!("{rest} {{mon-sun: [{}]}}", any_time(Fact::Hours(n))));
            } else {
                page.line(None, &format!("{rest} {{mon-fri: {week}, sat-sun: {weekend}}}"));
            }
        }
        for n in (0..self.zones.len()).filter(|n| open(Fact::Follows(*n))) {
            page.line(None, &head(&format!("any-time-{n}")));
            page.line(None, &format!("{rest} {{mon-sun: [{}]}}", any_time(Fact::Follows(n))));
        }
        page.line(None, "zones:");
        for (n, zone) in self.zones.iter().enumerate() {
            zone.write(page, n, open);
        }
    }
}

impl Zone {
    fn new(dice: &mut Dice<'_>, schedules: usize) -> Zone {
        Zone {
            schedule: dice.chance(85).then(|| dice.below(schedules)),
            limits: [0, 1].map(|_| limits(dice)),
            sensors: [
                dice.chance(40).then(|| dice.one(&["32..122 °F", "65..74 °F", "32..75 °F"])),
                dice.chance(50).then(|| dice.one(&["0..100 %RH", "0..55 %RH", "40..100 %RH"])),
            ],
            thermostat: [
                dice.one(&["1 °F", "0 °F", "2 °F"]),
                dice.one(&["2 °F", "0 °F", "4 °F"]),
                dice.one(&["4 %RH", "0 %RH", "2 %RH"]),
            ],
        }
    }

    fn write(&self, page: &mut Page, n: usize, open: &dyn Fn(Fact) -> bool) {
        page.line(None, &format!("  zone-{n}:"));
        if let Some(schedule) = self.schedule {
            let loose = open(Fact::Follows(n));
            let follows = if loose { format!("any-time-{n}") } else { format!("schedule-{schedule}") };
            page.line(Some(Fact::Follows(n)), &format!("    schedule: {follows}"));
        }
        for (m, mode) in MODES.iter().enumerate().take(if self.schedule.is_some() { 2 } else { 1 }) {
            page.line(Some(Fact::Mode(n, m)), &format!("    {mode}:"));
            for (k, key) in LIMITS.iter().enumerate() {
                let fact = Fact::Limit(n, m, k);
                let limit = if open(fact) { Some(NO_LIMIT[k]) } else { self.limits[m][k].as_deref() };
                if let Some(limit) = limit {
                    page.line(Some(fact), &format!("      {key}: {limit}"));
                }
            }
        }
        let [differential, offset, humidity] = self.thermostat;
        page.line(None, &format!("    thermostat:\n      differential: {differential}"));
        page.line(None, &format!("      stage-2-offset: {offset}\n      humidity-differential: {humidity}"));
        page.line(None, "      sensor-range:");
        for (s, quantity) in ["temperature", "humidity"].iter().enumerate() {
            if let Some(range) = self.sensors[s].filter(|_| !open(Fact::Sensor(n, s))) {
                page.line(Some(Fact::Sensor(n, s)), &format!("        {quantity}: {range}"));
            }
        }
    }
}

/// An input of its own for a line of the logic that is let go.
fn loose_end(line: usize) -> String {
    format!("line-{line}")
}

fn plan(dice: &mut Dice<'_>) -> &'static str {
    dice.one(&["none", "08:00-17:00", "all-day", "[06:00-09:00, 20:00-24:00]"])
}

fn limits(dice: &mut Dice<'_>) -> [Option<String>; 4] {
    let heat = 62 + dice.below(12);
    let cool = if dice.chance(70) { heat + dice.below(12) } else { heat.saturating_sub(dice.below(8)) };
    let dry = 45 + dice.below(20);
    let humid = if dice.chance(60) { dry - 15 + dice.below(12) } else { dry + dice.below(8) };
    let dry = if dice.chance(15) { "58 °F dew point".to_owned() } else { format!("{dry} %RH") };
    let written = [format!("{heat} °F"), format!("{cool} °F"), format!("{humid} %RH"), dry];
    written.map(|limit| dice.chance(75).then_some(limit))
}

fn driver(dice: &mut Dice<'_>, n: usize, call: Option<&str>, schedules: usize, zones: usize) -> String {
    if dice.chance(6) {
        return "{description: driven by nothing}".to_owned();
    }
    let source = match call {
        Some(call) if CALLS.contains(&call) && dice.chance(75) => {
            format!("call: {call}, zone: zone-{}", if dice.chance(15) { dice.below(zones) } else { 0 })
        }
        _ => match dice.below(7) {
            0 => "contact: field".to_owned(),
            1 => format!("operator: {}", dice.one(&["off", "on", "on-or-off"])),
            2 | 3 => format!("schedule: schedule-{}", dice.below(schedules)),
            4 if n > 0 => format!("point: P{}", dice.below(n)),
            5 if n > 1 => {
                let before: Vec<String> = (0..n).map(|n| format!("P{n}")).collect();
                format!("logic: {}", dice.words(&before, &[], 1))
            }
            _ => format!("call: {}, zone: zone-{}", dice.one(&CALLS), dice.below(zones)),
        },
    };
    let inverted = if dice.chance(12) { ", inverted: true" } else { "" };
    let pinned = if dice.chance(6) { ", override: {value: off}" } else { "" };
    format!("{{driven-by: {{{source}{inverted}{pinned}}}}}")
}

fn wired(dice: &mut Dice<'_>, n: usize, inputs: &[&str], points: usize) -> String {
    match dice.below(14) {
        10 => "not-wired".to_owned(),
        11 => format!("{{tied: {}}}", dice.one(&["off", "on"])),
        12 if n > 0 => format!("{{tied-to: {}}}", inputs[dice.below(n)]),
        13 => format!("P{}", dice.below(points)),
        _ => format!("P{n}"),
    }
}

fn lines(
    dice: &mut Dice<'_>,
    inputs: &[&str],
    options: &[Vec<String>],
) -> Vec<(&'static str, String, String)> {
    let mut names: Vec<String> = inputs.iter().map(ToString::to_string).collect();
    let mut lines = Vec::new();
    let mut add = |dice: &mut Dice<'_>, section: &'static str, name: String, depth| {
        let words = dice.words(&names, options, depth);
        let asked = names[0].clone();
        let words = if dice.chance(60) { format!("{asked} and {words}") } else { words };
        names.push(name.clone());
        lines.push((section, name, words));
    };
    for n in 0..dice.below(3) {
        add(dice, "terms", format!("term-{n}"), 2);
    }
    for n in 0..=dice.below(2) {
        add(dice, "outputs", format!("output-{n}"), 2);
    }
    add(dice, "serves", "dehumidification".to_owned(), 1);
    lines
}

/// Lines with what they state; some are added to the point list later.
#[derive(Default)]
struct Page {
    text: String,
    facts: Vec<Option<Fact>>,
    later: Vec<String>,
}

impl Page {
    fn line(&mut self, fact: Option<Fact>, text: &str) {
        for line in text.lines() {
            writeln!(self.text, "{line}").unwrap();
            self.facts.push(fact);
            if line == "points:" {
                for line in std::mem::take(&mut self.later) {
                    self.line(None, &line);
                }
            }
        }
    }

    fn later(&mut self, line: &str) {
        self.later.push(line.to_owned());
    }

    fn done(self) -> Written {
        Written { text: self.text, facts: self.facts }
    }
}
