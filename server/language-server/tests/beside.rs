//! What is shown beside the text: lenses and hints, and the settings that switch them off.

#![allow(clippy::unwrap_used)]

mod client;

use client::job::{FILES, SCHEDULES, UNITS, ZONES};
use client::{Client, Folder, everything};
use serde_json::{Value, json};

/// A client that can be told to ask again.
fn can_refresh() -> Value {
    let mut can = everything();
    can["workspace"]["codeLens"] = json!({"refreshSupport": true});
    can["workspace"]["inlayHint"] = json!({"refreshSupport": true});
    can["textDocument"]["inlayHint"] = json!({"resolveSupport": {"properties": ["tooltip"]}});
    can
}

fn opened(folder: &Folder, capabilities: Value, options: Value) -> Client {
    let mut client = Client::with(&[&folder.path("")], capabilities, options);
    for (name, text) in FILES {
        client.open(&folder.uri(name), text);
    }
    client
}

/// The lenses of a document, as line and words.
fn lenses(client: &mut Client, uri: &str) -> Vec<(u64, String)> {
    let lenses = client.request("textDocument/codeLens", json!({"textDocument": {"uri": uri}}));
    let mut shown = Vec::new();
    for lens in lenses["result"].as_array().cloned().unwrap_or_default() {
        assert!(lens.get("command").is_none());
        let lens = client.request("codeLens/resolve", lens)["result"].clone();
        let title = lens["command"]["title"].as_str().unwrap().to_owned();
        shown.push((lens["range"]["start"]["line"].as_u64().unwrap(), title));
    }
    shown
}

/// The hints of a document, unresolved.
fn hints(client: &mut Client, uri: &str) -> Vec<Value> {
    let all = json!({"start": {"line": 0, "character": 0}, "end": {"line": 99, "character": 0}});
    let hints = client.request("textDocument/inlayHint", json!({"textDocument": {"uri": uri}, "range": all}));
    hints["result"].as_array().cloned().unwrap_or_default()
}

/// A text with its hints where they stand. Nothing before them is wider than a unit of UTF-16.
fn annotated(text: &str, hints: &[Value]) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for hint in hints.iter().rev() {
        let line = &mut lines[usize::try_from(hint["position"]["line"].as_u64().unwrap()).unwrap()];
        let column = usize::try_from(hint["position"]["character"].as_u64().unwrap()).unwrap();
        let at = line.char_indices().nth(column).map_or(line.len(), |(at, _)| at);
        line.insert_str(at, &format!(" «{}»", hint["label"].as_str().unwrap()));
    }
    lines.join("\n")
}

/// The requests of the server for one method.
fn asked(client: &Client, method: &str) -> usize {
    client.asked.iter().filter(|asked| asked["method"] == method).count()
}

#[test]
fn lenses_say_when_a_unit_and_a_zone_can_be_dried() {
    let folder = Folder::new(&FILES);
    let mut client = opened(&folder, can_refresh(), Value::Null);
    let (units, zones) = (folder.uri("units.yaml"), folder.uri("zones.yaml"));
    let yields = "yields to cooling, heating and second-stage heating";
    let at_any_hour = format!("dehumidification: at any hour, but {yields}");
    assert_eq!(lenses(&mut client, &units), [(1, at_any_hour.clone())]);
    assert_eq!(lenses(&mut client, &zones), [(1, at_any_hour)]);
    // 2027 has 261 days from Monday to Friday, each of 9 h; its closed day is a Saturday. The weekend on
    // which the clocks go back has an hour more than any other.
    let occupied = UNITS.replace("allowed", "locked-out");
    client.set(&units, 2, &occupied);
    let longest = "longest gap 64 h from Fri Nov 5 17:00";
    let shown = lenses(&mut client, &units);
    assert_eq!(
        shown,
        [(
            1,
            format!("dehumidification: 45.0 h a week, yields to cooling and second-stage heating; {longest}")
        )]
    );
    assert_eq!(lenses(&mut client, &zones), shown);
    // A second unit that may run at the same hours changes nothing but how many there are.
    client.set(&units, 3, &(occupied.clone() + &occupied["units:\n".len()..].replace("HP-1", "HP-2")));
    let both = [(1, format!("dehumidification by any of 2 units: 45.0 h a week; {longest}"))];
    assert_eq!(lenses(&mut client, &zones), both);
    client.set(&units, 4, &occupied.replace("HP1-DEHUM", "not-wired"));
    assert_eq!(lenses(&mut client, &units), [(1, "dehumidification: left out on purpose".to_owned())]);
    assert_eq!(lenses(&mut client, &zones), [(1, "✕ dehumidification: never".to_owned())]);
    // What a call that is not wired yet will do is not known.
    client.set(&units, 6, &occupied.replace("      dehumidify: HP1-DEHUM\n", ""));
    assert!(lenses(&mut client, &units).is_empty());
    assert!(lenses(&mut client, &zones).is_empty());
    client.set(&units, 7, &UNITS.replace("heat-pump-with-hot-gas-reheat", "unheard-of"));
    assert!(lenses(&mut client, &units).is_empty());
    assert!(lenses(&mut client, &zones).is_empty());
}

#[test]
fn a_lens_opens_the_week_of_its_unit_where_the_client_can_show_it() {
    let folder = Folder::new(&FILES);
    for (options, command) in [(json!({"showWeek": true}), "drycall.showWeek"), (Value::Null, "")] {
        let mut client = opened(&folder, everything(), options);
        for name in ["units.yaml", "zones.yaml"] {
            let uri = folder.uri(name);
            let params = json!({"textDocument": {"uri": uri}});
            let lens = client.request("textDocument/codeLens", params)["result"][0].clone();
            let shown = client.request("codeLens/resolve", lens)["result"]["command"].clone();
            assert_eq!(shown["command"], command);
            let argument = shown.get("arguments").map(|arguments| arguments[0].clone());
            assert_eq!(argument, (!command.is_empty()).then(|| json!({"uri": uri, "unit": "HP-1"})));
        }
    }
}

#[test]
fn a_lens_whose_unit_is_gone_stays_without_words() {
    let folder = Folder::new(&FILES);
    let mut client = opened(&folder, everything(), Value::Null);
    let units = folder.uri("units.yaml");
    let params = json!({"textDocument": {"uri": units}});
    let lens = client.request("textDocument/codeLens", params)["result"][0].clone();
    client.set(&units, 2, "units: {}\n");
    for lens in
        [lens, json!({"range": {"start": {"line": 0, "character": 0}, "end": {"line": 0, "character": 0}}})]
    {
        let resolved = client.request("codeLens/resolve", lens.clone())["result"].clone();
        assert_eq!(resolved, lens);
    }
}

#[test]
fn hints_stand_behind_limits_and_schedules() {
    let folder = Folder::new(&FILES);
    let mut client = opened(&folder, can_refresh(), Value::Null);
    let (zones, schedules) = (folder.uri("zones.yaml"), folder.uri("schedules.yaml"));
    let found = hints(&mut client, &zones);
    // Dew points by PsychroLib 2.5.0, GetTDewPointFromRelHum.
    let wanted = "\
zones:
  stacks:
    schedule: staff-hours
    occupied:   {heat-below: 68 °F, cool-above: 74 °F, dehumidify-above: 55 %RH «dew point 51.3 °F to 56.8 °F»}
    unoccupied: {heat-below: 60 °F, cool-above: 80 °F, dehumidify-above: 55 %RH «dew point 43.8 °F to 62.4 °F»}";
    assert_eq!(annotated(ZONES, &found), wanted);
    assert!(found[0].get("tooltip").is_none());
    let tooltip = client.request("inlayHint/resolve", found[0].clone())["result"]["tooltip"].clone();
    let text = tooltip["value"].as_str().unwrap();
    assert!(text.contains("at 74 °F (cool-above) that is a dew point of 56.8 °F"), "{text}");
    let found = hints(&mut client, &schedules);
    let wanted = SCHEDULES.replace("staff-hours:", "staff-hours: «45 h a week»");
    assert_eq!(annotated(SCHEDULES, &found), wanted.trim_end());
    let tooltip = client.request("inlayHint/resolve", found[0].clone())["result"]["tooltip"].clone();
    assert!(tooltip["value"].as_str().unwrap().contains("in the review period"), "{tooltip}");
    // Who cannot ask later is told at once.
    let mut client = opened(&folder, everything(), Value::Null);
    let found = hints(&mut client, &schedules);
    assert!(found[0]["tooltip"]["value"].as_str().unwrap().contains("mon-fri: 08:00-17:00"));
}

#[test]
fn a_limit_that_follows_a_schedule_shows_the_range_of_its_dew_points() {
    let folder = Folder::new(&FILES);
    let mut client = opened(&folder, can_refresh(), Value::Null);
    let (zones, schedules) = (folder.uri("zones.yaml"), folder.uri("schedules.yaml"));
    let humidity =
        "  dry-by-day: {values: \"%RH\", default: 55 %RH, week: {mon-fri: {06:00-18:00: 45 %RH}}}\n";
    client.set(&schedules, 2, &(SCHEDULES.to_owned() + humidity));
    client.set(&zones, 2, &ZONES.replacen("55 %RH", "{schedule: dry-by-day}", 1));
    let shown = hints(&mut client, &zones);
    // Of 68 °F at the lower and 74 °F at the upper value.
    let words = shown[0]["label"].as_str().unwrap();
    assert!(words.starts_with("dew point 4") && words.ends_with(" to 56.8 °F"), "{words}");
    client.set(&zones, 3, &ZONES.replacen("55 %RH", "{schedule: unheard-of}", 1));
    assert_eq!(hints(&mut client, &zones).len(), 1);
}

#[test]
fn settings_switch_each_off() {
    let folder = Folder::new(&FILES);
    let off = json!({"lens": {"hours": false}, "hints": {"dewPoints": false, "hours": false}});
    let mut client = opened(&folder, can_refresh(), off.clone());
    let [units, zones, schedules] =
        ["units.yaml", "zones.yaml", "schedules.yaml"].map(|name| folder.uri(name));
    let shown = |client: &mut Client| {
        [lenses(client, &units).len(), hints(client, &zones).len(), hints(client, &schedules).len()]
    };
    assert_eq!(shown(&mut client), [0, 0, 0]);
    let change = |client: &mut Client, settings: Value| {
        client.notify("workspace/didChangeConfiguration", json!({"settings": settings}));
    };
    change(&mut client, json!({"drycall": {"lens": {"hours": false}, "hints": {"hours": false}}}));
    assert_eq!(shown(&mut client), [0, 2, 0]);
    assert_eq!(asked(&client, "workspace/inlayHint/refresh"), 1);
    change(&mut client, json!({"drycall": {"hints": {"dewPoints": false}}}));
    assert_eq!(shown(&mut client), [1, 0, 1]);
    assert_eq!(asked(&client, "workspace/inlayHint/refresh"), 2);
    // The same again is no change, and what is of another program is none of ours.
    change(&mut client, json!({"drycall": {"hints": {"dewPoints": false}}}));
    change(&mut client, json!({"yaml": {"lens": {"hours": false}}}));
    assert_eq!(shown(&mut client), [1, 0, 1]);
    assert_eq!(asked(&client, "workspace/inlayHint/refresh"), 2);
}

#[test]
fn a_client_that_tells_its_settings_is_asked_for_them() {
    let folder = Folder::new(&FILES);
    let mut can = can_refresh();
    can["workspace"]["configuration"] = json!(true);
    can["workspace"]["didChangeConfiguration"] = json!({"dynamicRegistration": true});
    let mut client = Client::with(&[&folder.path("")], can, Value::Null);
    let section = |client: &Client| {
        let asked = client.asked.iter().find(|asked| asked["method"] == "workspace/configuration")?;
        Some(asked["params"]["items"][0]["section"].clone())
    };
    assert_eq!(client.until(|client| section(client)), "drycall");
    let registered = |client: &Client| {
        let all = client.asked.iter().filter(|asked| asked["method"] == "client/registerCapability");
        all.flat_map(|asked| asked["params"]["registrations"].as_array().unwrap())
            .any(|r| r["method"] == "workspace/didChangeConfiguration")
            .then_some(())
    };
    client.until(|client| registered(client));
    // What it then says counts, as soon as it says it.
    let schedules = folder.uri("schedules.yaml");
    client.open(&schedules, SCHEDULES);
    assert_eq!(hints(&mut client, &schedules).len(), 1);
    client.settings = json!({"hints": {"hours": false}});
    client.notify("workspace/didChangeConfiguration", json!({"settings": null}));
    client.until(|client| (asked(client, "workspace/inlayHint/refresh") == 1).then_some(()));
    assert!(hints(&mut client, &schedules).is_empty());
}

#[test]
fn lenses_are_asked_for_again_when_another_file_makes_them_stale() {
    let folder = Folder::new(&FILES);
    let mut client = opened(&folder, can_refresh(), Value::Null);
    let [units, zones, points] = ["units.yaml", "zones.yaml", "points/all.yaml"].map(|name| folder.uri(name));
    client.quiet();
    let before = asked(&client, "workspace/codeLens/refresh");
    // A comment changes nothing, and neither does a device's number.
    let (_, all) = FILES[4];
    client.set(&points, 2, &format!("# one more line\n{}", all.replace("instance: 1201", "instance: 1202")));
    client.quiet();
    assert_eq!(asked(&client, "workspace/codeLens/refresh"), before);
    let other = ZONES.to_owned() + "  annexe: {occupied: {dehumidify-above: 55 %RH}}\n";
    client.set(&zones, 2, &other);
    client.quiet();
    let before = asked(&client, "workspace/codeLens/refresh");
    client.set(&units, 2, &UNITS.replace("zone: stacks", "zone: annexe"));
    client.until(|client| (asked(client, "workspace/codeLens/refresh") > before).then_some(()));
    let at_any_hour =
        "dehumidification: at any hour, but yields to cooling, heating and second-stage heating".to_owned();
    assert_eq!(lenses(&mut client, &zones), [(5, at_any_hour)]);
}
