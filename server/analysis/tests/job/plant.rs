//! A plant of sixty interlocked inputs as a unit of a job: twelve machines of five inputs. A machine starts after the
//! one before it, by its call while it leads or by hand, on proof of flow, and against no trip; no two neighbours lead.

use std::fmt::Write;

/// What feeds the inputs of each machine.
const INPUTS: [&str; 5] = ["call", "lead", "hand", "proof", "trip"];

pub(crate) const MACHINES: usize = 12;

/// The job, with `trip-6` wired as told.
pub(crate) fn plant(trip_6: &str) -> String {
    let (mut inputs, mut terms, mut outputs) = (String::new(), String::new(), String::new());
    let (mut wiring, mut points) = (String::new(), String::new());
    for n in 0..MACHINES {
        for input in INPUTS {
            let input = name(input, n);
            let wired = if input == "trip-6" { trip_6.to_owned() } else { format!("P-{input}") };
            writeln!(inputs, "      {input}: {{description: {input}}}").unwrap();
            writeln!(wiring, "      {input}: {wired}").unwrap();
            writeln!(points, "  P-{input}: {{driven-by: {}}}", driver(&input, n)).unwrap();
        }
        let after = if n == 0 { "enabled".to_owned() } else { format!("machine-{}", n - 1) };
        let alone = if n == 0 { String::new() } else { format!(" and not lead-{}", n - 1) };
        let call = name("call", n);
        writeln!(terms, "      wanted-{n}: {call} and lead-{n}{alone} or hand-{n}").unwrap();
        writeln!(
            outputs,
            "      machine-{n}: {{when: wanted-{n} and proof-{n} and not trip-{n} and {after}}}"
        )
        .unwrap();
    }
    let last = MACHINES - 1;
    format!(
        "unit-types:\n  plant:\n    inputs:\n{inputs}    terms:\n      enabled: not (trip-0 and trip-{last})\n{terms}    outputs:\n{outputs}    serves: {{dehumidification: machine-{last}, cooling: machine-5 and not machine-{last}}}\nunits:\n  U:\n    type: plant\n    zone: reading-room\n    inputs:\n{wiring}points:\n{points}zones:\n  reading-room: {}\n{}",
        super::ZONE,
        super::HOURS,
    )
}

/// The first machine's call is that for dehumidification.
fn name(input: &str, n: usize) -> String {
    if (input, n) == ("call", 0) { "dehumidify".to_owned() } else { format!("{input}-{n}") }
}

fn driver(input: &str, n: usize) -> String {
    match (input, n) {
        ("dehumidify", _) => "{call: dehumidify, zone: reading-room}".to_owned(),
        ("lead-3", _) => "{schedule: office-hours}".to_owned(),
        ("call-4", _) => "{logic: P-call-3 or P-hand-3}".to_owned(),
        _ => "{contact: field}".to_owned(),
    }
}
