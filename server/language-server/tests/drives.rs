//! What drives a thing and what it drives, as a client walks it.

#![allow(clippy::unwrap_used)]

mod client;

use client::job::{FILES, POINTS, UNITS};
use client::{Client, Folder};
use serde_json::{Value, json};

/// The item at the first place of a word.
fn item(client: &mut Client, uri: &str, text: &str, word: &str) -> Value {
    let at = text.find(word).unwrap();
    let line = text[..at].matches('\n').count();
    let column = at - text[..at].rfind('\n').map_or(0, |i| i + 1);
    let (line, column) = (u32::try_from(line).unwrap(), u32::try_from(column).unwrap());
    client.at("textDocument/prepareCallHierarchy", uri, line, column)[0].clone()
}

/// The items in one direction, each by its detail and name.
fn walk(client: &mut Client, item: &Value, way: &str) -> Vec<(String, Value)> {
    let calls = client.request(&format!("callHierarchy/{way}Calls"), json!({"item": item}))["result"].clone();
    let one = |call: &Value| {
        let end = if way == "incoming" { &call["from"] } else { &call["to"] };
        let from = if way == "incoming" { end } else { item };
        assert_eq!(call["fromRanges"], json!([from["selectionRange"]]));
        (format!("{} {}", end["detail"].as_str().unwrap(), end["name"].as_str().unwrap()), end.clone())
    };
    calls.as_array().unwrap().iter().map(one).collect()
}

fn names(found: &[(String, Value)]) -> Vec<&str> {
    found.iter().map(|(name, _)| name.as_str()).collect()
}

#[test]
fn a_calendar_is_followed_to_the_outputs_and_back() {
    let folder = Folder::new(&FILES);
    // No other file is open: what leads there is answered from the disk.
    let units = UNITS.to_owned() + "    outputs: {reheat-valve: HP1-RHV}\n";
    folder.write("units.yaml", &units);
    let points = POINTS.to_owned()
        + "  HP1-RHV:   {device: controller-1, object: binary-input 1, description: Reheat valve, driven-by: {contact: field}}\n";
    let mut client = Client::start(&[&folder.path("")]);
    let uri = folder.uri("points/all.yaml");
    client.open(&uri, &points);
    let point = item(&mut client, &uri, &points, "HP1-OCC");
    assert_eq!((point["name"].as_str(), point["detail"].as_str()), (Some("HP1-OCC"), Some("point")));
    let mut drivers = walk(&mut client, &point, "incoming");
    assert_eq!(names(&drivers), ["schedule staff-hours"]);
    let schedule = drivers.remove(0).1;
    assert_eq!(schedule["uri"], folder.uri("schedules.yaml"));
    let calendar = walk(&mut client, &schedule, "incoming");
    assert_eq!(names(&calendar), ["calendar closures"]);
    assert!(walk(&mut client, &calendar[0].1, "incoming").is_empty());
    assert_eq!(names(&walk(&mut client, &calendar[0].1, "outgoing")), ["schedule staff-hours"]);
    let driven = walk(&mut client, &schedule, "outgoing");
    assert_eq!(names(&driven), ["zone stacks", "point HP1-OCC"]);
    let calls = walk(&mut client, &driven[0].1, "outgoing");
    let wanted = ["point HP1-COOL1", "point HP1-HEAT1", "point HP1-HEAT2", "point HP1-DEHUM"];
    assert_eq!(names(&calls), wanted);
    let inputs = walk(&mut client, &calls[3].1, "outgoing");
    assert_eq!(names(&inputs), ["input of HP-1 dehumidify"]);
    assert_eq!(inputs[0].1["uri"], folder.uri("units.yaml"));
    let outputs = walk(&mut client, &inputs[0].1, "outgoing");
    // By the type's own lines, with the choice `allowed`.
    let wanted = ["compressor", "reversing-valve", "reheat-valve", "indoor-fan"]
        .map(|name| format!("output of HP-1 {name}"));
    assert_eq!(names(&outputs), wanted);
    let read_back = walk(&mut client, &outputs[2].1, "outgoing");
    assert_eq!(names(&read_back), ["point HP1-RHV"]);
    assert_eq!(names(&walk(&mut client, &read_back[0].1, "incoming")), ["output of HP-1 reheat-valve"]);
    let inputs = walk(&mut client, &outputs[2].1, "incoming");
    let wanted =
        ["cool-1", "heat-1", "heat-2", "dehumidify", "occupied"].map(|name| format!("input of HP-1 {name}"));
    assert_eq!(names(&inputs), wanted);
}

#[test]
fn ties_logic_and_a_whole_unit_are_followed() {
    let folder = Folder::new(&FILES);
    let mut client = Client::start(&[&folder.path("")]);
    let uri = folder.uri("units.yaml");
    let units = UNITS.replace("occupied: HP1-OCC", "occupied: {tied-to: dehumidify}");
    client.open(&uri, &units);
    let points =
        POINTS.to_owned() + "  FIRE: {driven-by: {logic: \"HP1-OCC and not (HP1-DEHUM or HP1-OCC)\"}}\n";
    let all = folder.uri("points/all.yaml");
    client.open(&all, &points);
    let tied = item(&mut client, &uri, &units, "occupied:");
    assert_eq!(names(&walk(&mut client, &tied, "incoming")), ["input of HP-1 dehumidify"]);
    let dehumidify = walk(&mut client, &tied, "incoming").remove(0).1;
    assert_eq!(names(&walk(&mut client, &dehumidify, "outgoing"))[0], "input of HP-1 occupied");
    let fire = item(&mut client, &all, &points, "FIRE");
    assert_eq!(names(&walk(&mut client, &fire, "incoming")), ["point HP1-OCC", "point HP1-DEHUM"]);
    let occupied = walk(&mut client, &fire, "incoming").remove(0).1;
    assert_eq!(names(&walk(&mut client, &occupied, "outgoing")), ["point FIRE"]);
    let unit = item(&mut client, &uri, &units, "HP-1");
    assert_eq!(walk(&mut client, &unit, "incoming").len(), 5);
    assert_eq!(walk(&mut client, &unit, "outgoing").len(), 5);
    // What is gone, or never was an item, leads nowhere.
    client.set(&uri, 2, "units: {}\n");
    let asked = client.request("callHierarchy/outgoingCalls", json!({"item": unit}));
    assert_eq!(asked["result"], Value::Null);
    assert_eq!(item(&mut client, &all, &points, "controller-1"), Value::Null);
}
