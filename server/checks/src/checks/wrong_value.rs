//! # What it finds
//!
//! A value that cannot be used where it is written: an unknown word, text where a number belongs, a
//! date that does not exist, logic that cannot be read. Also a point, a term of a unit type or a tie
//! that gets its value from itself, and an invisible character in a name or text.
//!
//! # Why it matters
//!
//! The value is not read, and what it should say is not known. An invisible character may move the
//! cursor of a terminal or reverse the text after it, so that people read something other than what is
//! written.
//!
//! # Example
//!
//! ```yaml bad
//! points:
//!   CL1-TEMP: {measures: {zone: conservation-lab, quantity: temprature}}
//!   #                                                       ^^^^^^^^^^ `temperature`
//!   CL1-DRY:  {driven-by: {point: CL1-WET, inverted: true}}
//!   #                             ^^^^^^^ from itself
//!   CL1-WET:  {driven-by: {logic: not CL1-DRY}}
//!   #                                 ^^^^^^^ from itself
//! zones:
//!   conservation-lab: {}
//! units:
//!   DH-1:
//!     type: lab-dryer
//!     inputs: {dehumidify: {tied-to: occupied}, occupied: {tied-to: dehumidify}}
//!     #                    ^^^^^^^^^^^^^^^^^^^ tied
//!     #                                                   ^^^^^^^^^^^^^^^^^^^^^ tied
//! unit-types:
//!   lab-dryer:
//!     inputs: {dehumidify: {description: dehumidify call}, occupied: {description: space is occupied}}
//!     terms: {drying: dehumidify and not resting, resting: not drying}
//!     #       ^^^^^^ itself
//!     outputs: {dryer: {when: drying and occupied}}
//! ```
//! ```yaml bad
//! # file: site.yaml
//! site:
//!   name: Example
//!   time-zone: America/New_York
//!   review: {from: 9999-12-20}
//!   #              ^^^^^^^^^^ past the last date
//! requirements:
//!   - {zone: stacks, dehumidification: {gap-at-most: -3 h}}
//!   #                                                ^^^^ from 0 h to 8784 h
//! zones:
//!   stacks: {}
//! ```
//! ```yaml bad
//! points:
//!   "CL1\nHUM": {description: "zone\u202eytidimuh"}
//!  #^^^^^^^^^^ U+000A
//!   #                         ^^^^^^^^^^^^^^^^^^^^ U+202E
//! ```
//! ```yaml bad
//! # file: site.yaml
//! site:
//!   name: Example
//!   time-zone: EST5
//!   #          ^^^^ `EST5` is not an IANA time zone
//!   review: {from: 5/31/2027, days: 9999}
//!   #              ^^^^^^^^^ `5/31/2027` is not a date. Did you mean `2027-05-31`
//!   #                               ^^^^ `9999` does not work as `days`
//!   altitude: 99999 ft
//!   #         ^^^^^^^^ `altitude` cannot be `99999 ft`
//!   weather: {file: weather.csv, dew-point: 70 °F}
//!   #                                       ^^^^^ `weather` has both a `file` and a constant state, and only the file is used
//! zones:
//!   stacks:
//!     unoccupied: {cool-above: 74 °C, heat-below: warm, dehumidify-above: 58 °F}
//!    #^^^^^^^^^^ These limits are never used: the zone has no `schedule`, so it is always occupied
//!     #                        ^^^^^ `cool-above` cannot be `74 °C`
//!     #                                           ^^^^ `warm` is not a number with a unit
//!     #                                                                   ^^^^^ A humidity limit is in %RH or a dew point
//!     thermostat: {differential: -1 °F, fan: on, sensor-range: {humidity: 0-100}}
//!     #                          ^^^^^ `differential` cannot be negative
//!     #                                      ^^ Unknown value `on`. Use `auto` or `continuous`
//!     #                                                                   ^^^^^ `0-100` is not a range. Write it like `0..100 %RH`
//!     space: {floor-area: 1200 m, people: -2, ceiling: 10 fathoms}
//!     #                   ^^^^^^ `m` cannot be used here. Write a value like `1200 ft²`
//!     #                                   ^^ `people` cannot be negative
//!     #                                                ^^^^^^^^^^ `fathoms` is not a known unit
//! requirements:
//!   - {zone: stacks, dehumidification: occupied}
//!   #                                  ^^^^^^^^ Unknown value `occupied`. Use `always` or `{gap-at-most: 4 h}`
//!   - {zone: [stacks], dehumidification: 4 h}
//!   #        ^^^^^^^^ Only one zone can be named here
//!   #                                    ^^^ Unknown value `4 h`. Use `always` or `{gap-at-most: 4 h}`
//! ```
//! ```yaml bad
//! schedules:
//!   bay-hours:
//!     values: hours
//!     default: unoccupied
//!     #        ^^^^^^^^^^ `unoccupied` is not a number with a unit
//!   staff-hours:
//!     values: occupancy
//!     default: standby
//!     #        ^^^^^^^ `standby` is not a value of this schedule
//!     week:
//!       weekdays: 08:00-17:00
//!      #^^^^^^^^ `weekdays` is not a day. Use `mon`, `tue`, `wed`, `thu`, `fri`, `sat`, `sun`, or a range like `mon-fri`
//!       fri: 7am-1pm
//!       #    ^^^^^^^ `7am-1pm` cannot be read as hours
//!       sat: ~
//!       #    ^ This day has no hours. Write them like `08:00-17:30`, or `none` if it is closed
//!     exceptions:
//!       - {on: 2027-13-01, hours: none}
//!       #      ^^^^^^^^^^ `2027-13-01` is not a date
//!       - {on: 2027-05-31, hours: none, also: 08:00-12:00}
//!       # ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ This exception has both `hours` and `also`
//!       - {on: 2027-06-01}
//!       # ^^^^^^^^^^^^^^^^ This exception has neither `hours` nor `also`
//!       - {on: {every: last munday of may}, hours: none}
//!       #              ^^^^^^^^^^^^^^^^^^ `munday` is not understood here
//!       - {on: {every: weekends}, hours: none}
//!       #              ^^^^^^^^ `weekends` is several days of the week
//!       - {on: {every: 31 june}, hours: none}
//!       #              ^^^^^^^ `june` has only 30 days. Did you mean `30 june`
//!       - {on: {from: 2027-08-13, to: 2027-08-02}, hours: none}
//!       #                             ^^^^^^^^^^ The range ends on `2027-08-02`, before it starts on `2027-08-13`
//!       - {on: {date: 2027-09-01, every: friday}, hours: none, priority: 17}
//!       #      ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ `date` and `every` do not go together
//!       #                                                                ^^ `17` does not work as `priority`
//!       - {on: {}, hours: none}
//!       #      ^^ Write one of `date`, `from` with `to`, `every` or `import`
//!   bay-temperature:
//!     values: °F
//!     default: 70
//!     week: {mon-fri: 08:00-17:00, sat: {08:00-12:00: cold}}
//!     #               ^^^^^^^^^^^ This schedule needs a value for each window
//!     #                                               ^^^^ `cold` is not a number with a unit
//! calendars:
//!   closures:
//!  #^^^^^^^^ This calendar has no days. List them, like `- {date: 2027-12-25}`, or write `[]` if it has none
//! ```
//! ```yaml bad
//! devices:
//!   controller-1: {instance: DO3}
//!   #                        ^^^ `DO3` does not work as a device instance
//! points:
//!   RR1-A: {object: digital-output 3}
//!   #               ^^^^^^^^^^^^^^^^ `digital-output` is not a BACnet object type for a point
//!   RR1-B: {object: binary-output}
//!   #               ^^^^^^^^^^^^^ `binary-output` has no instance number
//!   RR1-C: {units: degrees-farenheit, high-limit: hot}
//!   #              ^^^^^^^^^^^^^^^^^ `degrees-farenheit` is not a known BACnet engineering unit
//!   #                                             ^^^ `hot` is not a number. Write `high-limit` like `0.5`
//!   RR1-D: {units: furlongs, range: 0-100}
//!   #              ^^^^^^^^ `furlongs` is not a known BACnet engineering unit
//!   #                               ^^^^^ `0-100` is not a range. Write it like `0..100`
//!   RR1-E: {driven-by: field}
//!   #                  ^^^^^ Write `driven-by: {contact: field}`, with braces
//!   RR1-F: {driven-by: ~}
//!   #                  ^ `driven-by` is empty, so nothing drives this point
//!   RR1-G: {driven-by: {inverted: true}}
//!   #                  ^^^^^^^^^^^^^^^^ `driven-by` has no source. Write one of `schedule`, `call` with `zone`, `operator`, `point`, `logic` or `contact`
//!   RR1-H: {driven-by: {call: cool-1}}
//!   #                         ^^^^^^ This call has no zone. Add `zone`: the zone whose thermostat makes it
//!   RR1-I: {driven-by: {contact: field, override: {priority: 8}}}
//!   #                                             ^^^^^^^^^^^^^ `override` has no value. Write `value: on` or `value: off`
//!   RR1-J: {driven-by: {logic: "RR1-A and"}}
//!   #                          ^^^^^^^^^^^ This logic cannot be read: a name is missing at the end
//!   RR1-K: {driven-by: {logic: RR1-A > 55}}
//!   #                                ^ This logic cannot be read: it is on or off only and cannot compare numbers
//!   RR1-L: {driven-by: {logic: RR1-A is allowed}}
//!   #                          ^^^^^^^^^^^^^^^^ `RR1-A` is an option, and a point's logic takes points only
//!   RR1-M: {driven-by: {schedule: [a, b]}}
//!   #                             ^^^^^^ Only one schedule can be named here
//! units:
//!   AC-1:
//!     type: air-conditioner-with-hot-gas-reheat
//!     inputs: {cool-1: [RR1-A, RR1-B], heat-1: {tied: on, tied-to: cool-1}, dehumidify: {tied: maybe}}
//!     #                ^^^^^^^^^^^^^^ This input has no wire. Write one point's name, `{tied-to: INPUT}`, `{tied: on}` or `not-wired`
//!     #                                               ^^ This input has both `tied-to` and `tied`
//!     #                                                                                        ^^^^^ Unknown value `maybe`. Use `on` or `off`
//! unit-types:
//!   dryer:
//!     options: {dry-when: {choices: [allowed, locked-out], default: never}}
//!     #                                                             ^^^^^ `never` is not one of the choices
//!     inputs: {dehumidify: {}}
//!     outputs:
//!       compressor: {when: "(dehumidify", role: compresor}
//!       #                  ^^^^^^^^^^^^^ This logic cannot be read: a `)` is missing at the end
//!       #                                       ^^^^^^^^^ Unknown value `compresor`. Did you mean `compressor`
//! ```
//! ```yaml good
//! points:
//!   CL1-TEMP: {measures: {zone: conservation-lab, quantity: temperature}}
//!   CL1-DRY:  {driven-by: {point: CL1-WET, inverted: true}}
//!   CL1-WET:  {driven-by: {contact: field}}
//! zones:
//!   conservation-lab: {}
//! ```
//! ```yaml near
//! # Two follow one, and one follows two, but none follows itself.
//! points:
//!   CL1-A: {driven-by: {logic: CL1-B or CL1-C}}
//!   CL1-B: {driven-by: {point: CL1-D}}
//!   CL1-C: {driven-by: {point: CL1-D}}
//!   CL1-D: {driven-by: {contact: field}}
//! ```
//! ```yaml near
//! # A text may have several lines.
//! points:
//!   CL1-D:
//!     driven-by: {contact: field}
//!     description: |
//!       At the door,
//!       behind the panel.
//! ```
//!
//! # Repair
//!
//! Write the value as the message says. In a circle, drive one of them by something outside it.
//!
//! # Source
//!
//! The format of a job.

use crate::about::{About, noun};
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use crate::repair;
use crate::written::report;
use analysis::TypeLogic;
use model::{
    Entry, EntryId, Item, Kind, Name, Place, Point, ProblemKind, Unit, UnitType, Use, Wiring, list_words,
};
use rustc_hash::{FxHashMap, FxHashSet};
use syntax::{NodeId, is_unseen, visible};

pub(crate) static CHECK: Check = Check {
    id: "wrong-value",
    severity: Severity::Error,
    source: include_str!("wrong_value.rs"),
    run: Run::Entry(run),
    repairs: &[repair::spelling],
};

fn run(ctx: &Ctx<'_>, out: &mut Sink) {
    report(ctx, ProblemKind::ValueUnfit, out);
    invisible(ctx, out);
    match &ctx.entry.facts.item {
        Item::Point(_) => circle_of_points(ctx, out),
        Item::Unit(unit) => circle_of_ties(unit, out),
        Item::UnitType(_) => circle_of_terms(ctx, out),
        _ => {}
    }
}

/// What can be written with an escape, though it could not stand in the file, or should not. A text may
/// have several lines and tabs; a name may not.
fn invisible(ctx: &Ctx<'_>, out: &mut Sink) {
    let part = &ctx.entry.part;
    // All that is meant is written with a backslash, in a block, or in these bytes of UTF-8.
    if !part.text().bytes().any(|b| matches!(b, b'\\' | b'|' | b'>' | b'?' | 0xd8 | 0xe2 | 0xef)) {
        return;
    }
    let keys: FxHashSet<NodeId> =
        (0..part.nodes()).flat_map(|n| part.pairs(NodeId(n)).map(|(key, _)| key)).collect();
    for node in (0..part.nodes()).map(NodeId) {
        let Some(text) = part.scalar(node) else { continue };
        let is_name = keys.contains(&node) || part.key().is_some() && node == part.key_node();
        let bad = |c: char| is_unseen(c) && (is_name || !matches!(c, '\n' | '\t'));
        if let Some(c) = text.chars().find(|c| bad(*c)) {
            let shown = visible(text);
            let message =
                format!("`{shown}` has an invisible character in it (U+{:04X}). Delete it.", u32::from(c));
            let about = About::path(part, node).and(noun::TEXT, format!("U+{:04X}", u32::from(c)));
            out.report(about, node, message);
        }
    }
}

/// Where a point leads to more points than this, all circles of the job are looked for at once: no panel chains so many.
const FAR: usize = 64;

/// Up to so many points it costs less to go round than to ask the job, whose circles are worked out anew for each
/// change that is tried.
const NEAR: usize = 8;

/// So many points of a circle are named: who has found the first finds the next.
const TOLD: usize = 8;

fn circle_of_points(ctx: &Ctx<'_>, out: &mut Sink) {
    let Some(own) = ctx.entry.part.key() else {
        return;
    };
    // Each point met, with the one that asked for it.
    let mut asked_by: FxHashMap<&Name, (EntryId, &Use)> = FxHashMap::default();
    let mut open = vec![(ctx.id, ctx.entry)];
    while let Some((id, entry)) = open.pop() {
        for used in sources(entry) {
            if used.name == own {
                return report_circle(ctx, own, (id, used), &asked_by, out);
            }
            if !asked_by.contains_key(&used.name) {
                if asked_by.len() == NEAR && ctx.view.asks_once() && on_no_circle(ctx, &Name::new(own)) {
                    return;
                }
                if asked_by.len() == FAR {
                    return long_circle(ctx, own, out);
                }
                asked_by.insert(&used.name, (id, used));
                open.extend(ctx.view.find::<Point>(&used.name).map(|point| (point.id, point.entry)));
            }
        }
    }
}

/// Whether the job knows of a point, the first of its name, that it is on no circle.
fn on_no_circle(ctx: &Ctx<'_>, own: &Name) -> bool {
    ctx.view.find::<Point>(own).is_some_and(|first| first.id == ctx.id) && ctx.view.circle(own).is_none()
}

/// The points an entry names; in a point that is what drives it.
fn sources(entry: &Entry) -> impl Iterator<Item = &Use> {
    entry.facts.uses.iter().filter(|used| used.kind == Kind::Point)
}

/// A circle of more points than are followed from each of them.
fn long_circle(ctx: &Ctx<'_>, own: &str, out: &mut Sink) {
    let Some(circle) = ctx.view.circle(&Name::new(own)) else { return };
    // A circle is one list of the job's, by which its points are known: it may be as long as the job.
    let on_it = |name: &Name| ctx.view.circle(name).is_some_and(|other| std::ptr::eq(other, circle));
    let (mut at, mut steps, mut met) = ((ctx.id, ctx.entry), Vec::new(), FxHashSet::default());
    // The first steps of it; where it splits, by the first way that leads on.
    while steps.len() <= TOLD {
        let mut ways = sources(at.1).filter(|used| on_it(&used.name));
        let Some(used) = ways.find(|used| met.insert(&used.name)) else { break };
        steps.push((at.0, used));
        let Some(point) = ctx.view.find::<Point>(&used.name) else { break };
        at = (point.id, point.entry);
    }
    told(own, &steps, circle.len() - 1, out);
}

fn report_circle(
    ctx: &Ctx<'_>,
    own: &str,
    last: (EntryId, &Use),
    asked_by: &FxHashMap<&Name, (EntryId, &Use)>,
    out: &mut Sink,
) {
    let mut steps = vec![last];
    // Every step was asked for by a point met earlier, so this ends at the entry's own.
    while let Some((id, _)) = steps.last().copied().filter(|(id, _)| *id != ctx.id) {
        let name = ctx.view.entry(id).and_then(|entry| entry.part.key()).map(Name::new);
        let Some(step) = name.and_then(|name| asked_by.get(&name).copied()) else {
            return;
        };
        steps.push(step);
    }
    steps.reverse();
    told(own, &steps, steps.len() - 1, out);
}

/// Tells a circle by its first steps and the number of other points on it.
fn told(own: &str, steps: &[(EntryId, &Use)], others: usize, out: &mut Sink) {
    let Some((_, first)) = steps.first() else {
        return;
    };
    let through: Vec<&str> =
        steps.iter().map(|(_, used)| used.name.as_str()).filter(|name| *name != own).collect();
    let by_way = match (through.get(..TOLD), others.saturating_sub(TOLD)) {
        (Some(first), more) if more > 1 => {
            let first: String = first.iter().map(|name| format!("`{name}`, ")).collect();
            format!(", through {first}and {} more", analysis::count_words(more))
        }
        _ if through.is_empty() => String::new(),
        _ => format!(", through {}", list_words(through.into_iter(), "and")),
    };
    let message = format!(
        "`{own}` gets its value from itself{by_way}, so it never has one. Drive one of them by something else."
    );
    let finding = out.report(About::of(noun::POINT, own), first.spot(), message);
    for (id, used) in steps.iter().skip(1).take(TOLD) {
        finding
            .because(Place { entry: *id, spot: used.spot() }, format!("This point follows `{}`", used.name));
    }
}

fn circle_of_ties(unit: &Unit, out: &mut Sink) {
    for (input, wiring) in &unit.inputs {
        let mut at = &wiring.value;
        for _ in 0..unit.inputs.len() {
            let Wiring::TiedTo(next) = at else { break };
            if *next == input.value {
                let message = format!(
                    "`{next}` is tied to itself, directly or through other inputs, so nothing drives it. Wire one of them to a point."
                );
                out.report(About::of(noun::INPUT, next), wiring.at, message);
                break;
            }
            let Some((_, wiring)) = unit.wiring(next) else {
                break;
            };
            at = &wiring.value;
        }
    }
}

fn circle_of_terms(ctx: &Ctx<'_>, out: &mut Sink) {
    let Some(unit_type) = ctx.view.as_found::<UnitType>(ctx.id) else { return };
    for name in &TypeLogic::shared(ctx.memo, unit_type).circular {
        if let Some(at) = unit_type.is.declaration(name) {
            out.report(
                About::of(noun::TERM, name),
                at,
                format!(
                    "`{name}` is worked out from itself, directly or through other terms. Break the circle."
                ),
            );
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use crate::tests::fixture::{found, job};
    use std::fmt::Write as _;

    /// A second point of a name is on a circle of its own, if it leads back to the name; and nothing depends on
    /// whether somebody will look at a point again.
    #[test]
    fn a_point_is_told_whoever_asks() {
        let mut text = "points:\n  P0: {driven-by: {contact: field}}\n".to_owned();
        for k in 0..50 {
            writeln!(text, "  P{k}: {{driven-by: {{point: P{}}}}}", (k + 1) % 50).unwrap();
        }
        for k in 0..200 {
            writeln!(text, "  Q{k}: {{driven-by: {{point: Q{}}}}}", k + 1).unwrap();
        }
        let (job, files) = job(&text);
        let memo = analysis::Memo::default();
        let mut told = 0;
        for id in job.file(files[0]).unwrap().entries() {
            let words = |outcome: crate::Outcome| -> Vec<String> {
                outcome.findings.into_iter().map(|finding| finding.message).collect()
            };
            let once = words(crate::run(&job, &memo, *id));
            assert_eq!(once, words(crate::run_noting(&job, &memo, *id).0));
            told += once.iter().filter(|message| message.contains("from itself")).count();
        }
        assert!(told > 0, "{told}");
    }

    /// Every point of a circle is reported, in words that do not grow with it.
    #[test]
    fn a_long_circle_is_told_in_short() {
        for long in [30, 64, 65, 66, 1001, 1002, 5000] {
            let mut text = "points:\n  OTHER: {driven-by: {point: P0}}\n".to_owned();
            for k in 0..long {
                writeln!(text, "  P{k}: {{driven-by: {{point: P{}}}}}", (k + 1) % long).unwrap();
            }
            let (job, files) = job(&text);
            let found = found("wrong-value", &job, &files).concat();
            assert_eq!(found.len(), long);
            let more = format!(", and {} more, so it never has one", analysis::count_words(long - 9));
            assert!(found.iter().all(|(.., message)| message.contains(&more)), "{long}");
        }
    }
}
