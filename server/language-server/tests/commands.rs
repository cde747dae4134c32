//! Commands: the week, the chart, the review, a check's page.

#![allow(clippy::unwrap_used)]

mod client;

use client::job::{FILES, SCHEDULES, UNITS};
use client::{Client, Folder};
use serde_json::{Value, json};

/// Hours with an evening opening on a Saturday.
fn schedules() -> String {
    SCHEDULES.to_owned() + "      - {on: 2027-06-12, also: 18:00-22:00}\n"
}

/// A job whose unit dries only while occupied.
fn begin() -> (Folder, Client, String) {
    let folder = Folder::new(&FILES);
    folder.write("units.yaml", &UNITS.replace("allowed", "locked-out"));
    folder.write("schedules.yaml", &schedules());
    let client = Client::start(&[&folder.path("")]);
    let uri = folder.uri("");
    (folder, client, uri)
}

fn command(client: &mut Client, name: &str, argument: &Value) -> Value {
    client.request("workspace/executeCommand", json!({"command": name, "arguments": [argument]}))
}

fn week(client: &mut Client, uri: &str, from: &str) -> Value {
    let answer = command(client, "drycall.week", &json!({"uri": uri, "unit": "HP-1", "week": from}));
    answer["result"].clone()
}

/// The line of the schedules that a place is in.
fn line(place: &Value) -> Option<String> {
    let line = place["range"]["start"]["line"].as_u64()? as usize;
    assert!(place["uri"].as_str()?.ends_with("schedules.yaml"), "{place}");
    Some(schedules().lines().nth(line)?.trim().to_owned())
}

/// Verdict and the line of the cause, in each interval of a day.
fn drying(week: &Value, day: usize) -> Vec<(String, String, Option<String>)> {
    let services = week["services"].as_array().unwrap();
    let n = services.iter().position(|s| s["service"] == "dehumidification").unwrap();
    let intervals = week["days"][day]["intervals"].as_array().unwrap();
    let each = intervals.iter().map(|interval| {
        let service = &interval["services"][n];
        let state = &services[n]["states"][service["state"].as_u64().unwrap() as usize];
        let words = |v: &Value| v.as_str().unwrap().to_owned();
        (words(&interval["from"]), words(&state["verdict"]), line(&service["cause"]))
    });
    each.collect()
}

#[test]
fn a_gap_leads_to_the_line_that_makes_it() {
    let (_folder, mut client, uri) = begin();
    let week = week(&mut client, &uri, "2027-12-20");
    assert_eq!(week["format"], 1);
    let expect = |from: &str, verdict: &str, line: Option<&str>| {
        (from.to_owned(), verdict.to_owned(), line.map(str::to_owned))
    };
    let rule = "mon-fri: 08:00-17:00";
    assert_eq!(
        drying(&week, 0),
        [
            expect("00:00", "never", Some(rule)),
            expect("08:00", "conditional", None),
            expect("17:00", "never", Some(rule))
        ]
    );
    let states = week["services"].as_array().unwrap().iter().flat_map(|s| s["states"].as_array().unwrap());
    let unless: Vec<&Value> =
        states.filter(|s| s["verdict"] == "conditional").map(|s| &s["unless"]).collect();
    assert!(
        unless.contains(&&json!(["a first-stage cooling call", "a second-stage heating call"])),
        "{unless:?}"
    );
    let by: Vec<Option<String>> =
        week["days"][0]["intervals"].as_array().unwrap().iter().map(|i| line(&i["by"])).collect();
    assert_eq!(by, vec![Some(rule.to_owned()); 3]);
    // Christmas Day, by the exception; the Sunday behind it, on which nothing but the default holds.
    assert_eq!(drying(&week, 5), [expect("00:00", "never", Some("- {on: closures, hours: none}"))]);
    assert_eq!(drying(&week, 6), [expect("00:00", "never", Some("default: unoccupied"))]);
}

#[test]
fn hours_that_are_added_make_no_gap() {
    let (_folder, mut client, uri) = begin();
    let week = week(&mut client, &uri, "2027-06-07");
    let saturday = drying(&week, 5);
    let default = Some("default: unoccupied".to_owned());
    let expected = [
        ("00:00".to_owned(), "never".to_owned(), default.clone()),
        ("18:00".to_owned(), "conditional".to_owned(), None),
        ("22:00".to_owned(), "never".to_owned(), default),
    ];
    assert_eq!(saturday, expected);
    let opening = line(&week["days"][5]["intervals"][1]["by"]);
    assert_eq!(opening.as_deref(), Some("- {on: 2027-06-12, also: 18:00-22:00}"));
}

#[test]
fn days_are_as_long_as_the_clock_makes_them() {
    let (_folder, mut client, uri) = begin();
    // The second Sunday of March and the first of November: 15 U.S.C. 260a.
    for (monday, minutes, clock) in [
        ("2027-03-08", 1380, "clocks go from 02:00 to 03:00"),
        ("2027-11-01", 1500, "clocks show 01:00 to 02:00 twice"),
    ] {
        let week = week(&mut client, &uri, monday);
        let days = week["days"].as_array().unwrap();
        assert_eq!(days.len(), 7);
        assert_eq!((&days[6]["minutes"], &days[6]["clock"]), (&json!(minutes), &json!([clock])));
        for day in days {
            let intervals = day["intervals"].as_array().unwrap();
            let sum: u64 = intervals.iter().map(|i| i["minutes"].as_u64().unwrap()).sum();
            assert_eq!(json!(sum), day["minutes"]);
            assert_eq!(intervals[intervals.len() - 1]["to"], "24:00");
        }
    }
    let outside = week(&mut client, &uri, "2030-01-07");
    assert_eq!(
        (&outside["days"][0]["minutes"], &outside["days"][0]["intervals"]),
        (&Value::Null, &json!([]))
    );
}

#[test]
fn the_other_commands_answer() {
    let (_folder, mut client, uri) = begin();
    assert_eq!(command(&mut client, "drycall.units", &json!({"uri": uri}))["result"], json!(["HP-1"]));
    let chart = command(&mut client, "drycall.chart", &json!({"uri": uri, "unit": "HP-1"}));
    assert!(chart["result"]["text"].as_str().unwrap().contains("0 off, - either"), "{chart}");
    assert_eq!(chart["result"]["chart"]["unit"], "HP-1");
    let page = command(&mut client, "drycall.explain", &json!({"check": "dehumidification-gap"}));
    assert!(page["result"].as_str().unwrap().contains("# Why it matters"), "{page}");
    let review = command(&mut client, "drycall.review", &json!({"uri": uri}));
    assert!(review["result"].as_str().unwrap().contains("[dehumidification-gap]"), "{review}");
    assert!(!review["result"].as_str().unwrap().contains('\u{1b}'));
}

#[test]
fn what_cannot_be_done_is_said() {
    let (folder, mut client, uri) = begin();
    for (name, argument, why) in [
        ("drycall.week", json!({"uri": uri, "unit": "HP-9"}), "no unit `HP-9`"),
        ("drycall.week", json!({"uri": uri, "unit": "HP-1", "week": "soon"}), "`soon` is not a date"),
        ("drycall.week", json!({"uri": uri}), "needs `unit`"),
        ("drycall.review", json!({"uri": "file:///nowhere/a.yaml"}), "in no job"),
        ("drycall.review", json!({}), "needs `uri`"),
        ("drycall.explain", json!({"check": "unheard-of"}), "no check `unheard-of`"),
        ("drycall.unheard-of", json!({}), "no command"),
        ("drycall.week", json!(3), "drycall.week"),
    ] {
        let answer = command(&mut client, name, &argument);
        assert_eq!(answer["error"]["code"], -32602, "{answer}");
        assert!(answer["error"]["message"].as_str().unwrap().contains(why), "{answer}");
    }
    drop(folder);
}
