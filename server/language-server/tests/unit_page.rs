//! A unit's page, as the job is and as it would be.

#![allow(clippy::unwrap_used, clippy::panic, clippy::disallowed_methods)]

mod client;

use client::job::{FILES, UNITS};
use client::{Client, Folder};
use serde_json::{Value, json};

/// A job whose unit dries only while occupied.
fn begin() -> (Folder, Client, String) {
    let folder = Folder::new(&FILES);
    folder.write("units.yaml", &UNITS.replace("allowed", "locked-out"));
    let client = Client::start(&[&folder.path("")]);
    let uri = folder.uri("");
    (folder, client, uri)
}

fn ask(client: &mut Client, uri: &str, more: &Value) -> Value {
    let mut argument = json!({"uri": uri, "unit": "HP-1"});
    argument.as_object_mut().unwrap().extend(more.as_object().unwrap().clone());
    client.request("workspace/executeCommand", json!({"command": "drycall.unit", "arguments": [argument]}))
}

fn piece<'v>(answer: &'v Value, name: &str) -> &'v str {
    answer["result"]["pieces"][name].as_str().unwrap_or_else(|| panic!("no {name} in {answer:#}"))
}

#[test]
fn a_page_leads_to_the_lines_behind_it() {
    let (_folder, mut client, uri) = begin();
    let page = ask(&mut client, &uri, &json!({}));
    assert!(piece(&page, "headline").contains("HP-1 cannot dehumidify"), "{}", piece(&page, "headline"));
    for (name, file) in [("headline", "units.yaml"), ("why", "schedules.yaml"), ("ladder", "zones.yaml")] {
        let piece = piece(&page, name);
        let (_, go) = piece.split_once("data-go=\"").unwrap_or_else(|| panic!("nothing to go to in {name}"));
        let place: Value =
            serde_json::from_str(&go.split_once('"').unwrap().0.replace("&quot;", "\"")).unwrap();
        assert!(place["uri"].as_str().unwrap().starts_with("file://"), "{place}");
        assert!(piece.contains(file), "{name}: {piece}");
    }
    assert!(page["result"]["at"]["uri"].as_str().unwrap().ends_with("units.yaml"));
    assert!(piece(&page, "svg").starts_with("<svg xmlns"));
    assert!(piece(&page, "board").contains("data-unit=\"HP-1\""));
}

#[test]
fn what_is_supposed_is_drawn_and_not_written() {
    let (folder, mut client, uri) = begin();
    let as_written = std::fs::read_to_string(folder.path("units.yaml")).unwrap();
    let page = ask(&mut client, &uri, &json!({}));
    let choice = json!({"of": "option", "name": "unoccupied-dehumidification", "value": "allowed"});
    let tied = json!({"of": "input", "name": "occupied", "value": "on"});
    for fact in [&choice, &tied] {
        let supposed = ask(&mut client, &uri, &json!({"suppose": [fact]}));
        let headline = piece(&supposed, "headline");
        assert!(
            headline.contains("HP-1 can dehumidify") && headline.contains("nothing is written"),
            "{headline}"
        );
        // What may be supposed is told as it is written.
        assert_eq!(piece(&supposed, "choices"), piece(&page, "choices"));
        assert!(!piece(&supposed, "why").contains("data-go"));
    }
    let off = json!({"of": "input", "name": "occupied", "value": "off"});
    let never = ask(&mut client, &uri, &json!({"suppose": [off]}));
    assert!(piece(&never, "headline").contains("HP-1 can never dehumidify"));
    assert_eq!(ask(&mut client, &uri, &json!({}))["result"], page["result"]);
    assert_eq!(std::fs::read_to_string(folder.path("units.yaml")).unwrap(), as_written);
}

#[test]
fn what_cannot_be_is_told() {
    let (_folder, mut client, uri) = begin();
    let error = |answer: &Value| answer["error"]["message"].as_str().unwrap_or_default().to_owned();
    for (more, told) in [
        (
            json!({"suppose": [{"of": "option", "name": "unoccupied-dehumidification", "value": "never"}]}),
            "cannot be supposed",
        ),
        (json!({"suppose": [{"of": "input", "name": "nothing", "value": "on"}]}), "cannot be supposed"),
        (json!({"suppose": [{"of": "input", "name": "occupied", "value": "maybe"}]}), "`on` or `off`"),
        (json!({"service": "singing"}), "has no service `singing`"),
        (json!({"week": "June"}), "is not a date"),
        (json!({"unit": "HP-9"}), "no unit `HP-9`"),
    ] {
        let answer = ask(&mut client, &uri, &more);
        assert!(error(&answer).contains(told), "{answer}");
    }
}
