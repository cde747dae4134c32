//! What turns a terminal on, through everything that can stand between it and its source.

#![allow(clippy::unwrap_used)]

mod job;

use analysis::{Atom, UnitAnalysis};
use job::HOURS;
use logic::Function;

/// A unit of inputs `a` and `b`, each shown by an output, and these points.
fn wired(a: &str, b: &str, points: &str, look: impl FnOnce(&UnitAnalysis<'_>)) {
    let text = format!(
        "unit-types:\n  relays:\n    inputs: {{a: {{description: first}}, b: {{description: second}}}}\n    outputs: {{first: {{when: a}}, second: {{when: b}}}}\nunits:\n  U: {{type: relays, zone: reading-room, inputs: {{a: {a}, b: {b}}}}}\npoints:\n{points}\nzones:\n  reading-room: {}\n{HOURS}",
        job::ZONE
    );
    job::unit(&text, look);
}

fn output(u: &UnitAnalysis<'_>, name: &str) -> Function {
    u.outputs().iter().find(|(n, _)| n == name).unwrap().1.clone()
}

fn atom(u: &UnitAnalysis<'_>, atom: &Atom) -> Function {
    Function::var(u.wires.var(atom).unwrap())
}

fn constant(u: &UnitAnalysis<'_>) -> [Option<bool>; 2] {
    ["first", "second"].map(|name| output(u, name).as_constant())
}

#[test]
fn a_chain_of_points_ends_at_its_schedule() {
    let points = "  A: {driven-by: {point: B}}\n  B: {driven-by: {point: C}}\n  C: {driven-by: {schedule: office-hours}}";
    wired("A", "C", points, |u| {
        let schedule = atom(u, &Atom::Schedule("office-hours".into()));
        assert_eq!([output(u, "first"), output(u, "second")], [schedule.clone(), schedule]);
        let path: Vec<&str> = u.signals[0].path.iter().map(|b| b.text.as_str()).collect();
        assert_eq!(
            path,
            ["`a` is wired to `A`", "`A` follows `B`", "`B` follows `C`", "`C` follows `office-hours`"]
        );
    });
}

#[test]
fn an_inversion_turns_its_source_round_and_a_second_turns_it_back() {
    let points = "  A: {driven-by: {schedule: office-hours, inverted: true}}\n  B: {driven-by: {point: A, inverted: true}}";
    wired("A", "B", points, |u| {
        let schedule = atom(u, &Atom::Schedule("office-hours".into()));
        assert_eq!([output(u, "first"), output(u, "second")], [schedule.not(), schedule]);
    });
}

#[test]
fn logic_joins_points() {
    let points = "  A: {driven-by: {logic: B and not (C or D)}}\n  B: {driven-by: {call: dehumidify, zone: reading-room}}\n  C: {driven-by: {contact: field}}\n  D: {driven-by: {operator: on-or-off}}";
    wired("A", "not-wired", points, |u| {
        let call = atom(u, &Atom::Call { zone: "reading-room".into(), call: model::Call::Dehumidify });
        let (contact, hand) = (atom(u, &Atom::Contact("C".into())), atom(u, &Atom::Operator("D".into())));
        assert_eq!(output(u, "first"), call.and(&contact.or(&hand).not()));
        assert_eq!(constant(u), [None, Some(false)]);
    });
}

/// The source of a pinned point is hidden, whatever follows the point included.
#[test]
fn a_pinned_command_hides_its_source() {
    let points = "  A: {driven-by: {schedule: office-hours, override: {value: on, priority: 8}}}\n  B: {driven-by: {point: A, inverted: true}}";
    wired("A", "B", points, |u| assert_eq!(constant(u), [Some(true), Some(false)]));
}

#[test]
fn constants_and_ties() {
    wired("{tied: on}", "{tied: off}", "", |u| assert_eq!(constant(u), [Some(true), Some(false)]));
    wired("not-wired", "{tied-to: a}", "", |u| assert_eq!(constant(u), [Some(false); 2]));
    let points = "  A: {driven-by: {contact: field}}";
    wired("A", "{tied-to: a}", points, |u| {
        let contact = atom(u, &Atom::Contact("A".into()));
        assert_eq!([output(u, "first"), output(u, "second")], [contact.clone(), contact]);
    });
}

#[test]
fn an_operator_who_left_it_somewhere_is_no_free_hand() {
    let points = "  A: {driven-by: {operator: on}}\n  B: {driven-by: {operator: off, inverted: true}}";
    wired("A", "B", points, |u| assert_eq!(constant(u), [Some(true); 2]));
}

/// What nothing drives stays off, what it drives takes that as its source, and the ends of both paths hang free.
#[test]
fn nothing_drives_it() {
    let points = "  A: {description: relay}\n  B: {driven-by: {point: A, inverted: true}}";
    wired("A", "B", points, |u| {
        assert_eq!(constant(u), [Some(false), Some(true)]);
        assert!(u.signals.iter().all(|signal| signal.hangs_free));
    });
}

/// A name that is nowhere declared may be on or off.
#[test]
fn a_name_that_is_not_declared_is_free() {
    let points = "  A: {driven-by: {logic: GONE or B}}\n  B: {driven-by: {operator: off}}";
    wired("A", "NOWHERE", points, |u| {
        let gone = atom(u, &Atom::Unknown("GONE".into()));
        assert_eq!(output(u, "first"), gone);
        assert_eq!(output(u, "second"), atom(u, &Atom::Unknown("NOWHERE".into())));
    });
}
