//! Code actions: repairs that were proven, deviations, all safe repairs at once.

#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, clippy::needless_pass_by_value)]

mod client;

use client::job::{FILES, SCHEDULES};
use client::{Client, Folder, everything};
use serde_json::{Value, json};

/// A zone that heats and cools at once.
const CROSSED: &str = "\
zones:
  stacks:
    schedule: staff-hours
    occupied:   {heat-below: 76 °F, cool-above: 75 °F, dehumidify-above: 55 %RH}
    unoccupied: {heat-below: 60 °F, cool-above: 80 °F, dehumidify-above: 55 %RH}
";

/// Two windows past midnight, each of which splits in two, behind a sign of two UTF-16 units.
fn reversed() -> String {
    let text =
        SCHEDULES.replace("mon-fri: 08:00-17:00", "mon: 22:00-06:00 # \u{1d11e}\n      thu: 20:00-04:00");
    text.replace('\n', "\r\n")
}

fn opened(folder: &Folder, capabilities: Value, text: &str) -> Client {
    let mut client = Client::with(&[&folder.path("")], capabilities, Value::Null);
    let uri = folder.uri("schedules.yaml");
    client.open(&uri, text);
    client.finds(&uri, "window-ends-before-start");
    client.quiet();
    client
}

fn actions(client: &mut Client, uri: &str, lines: (u32, u32), context: Value) -> Vec<Value> {
    let range = json!({"start": {"line": lines.0, "character": 0}, "end": {"line": lines.1, "character": 0}});
    let params = json!({"textDocument": {"uri": uri}, "range": range, "context": context});
    let answer = client.request("textDocument/codeAction", params);
    answer["result"].as_array().cloned().unwrap_or_else(|| panic!("{answer}"))
}

/// The text after the edits of an action, which are all of this file, counted in UTF-16.
fn applied(action: &Value, text: &str) -> String {
    let documents = action["edit"]["documentChanges"].as_array().unwrap();
    assert_eq!(documents.len(), 1, "{action}");
    assert_eq!(documents[0]["textDocument"]["version"], 1);
    let mut edits = documents[0]["edits"].as_array().unwrap().clone();
    let offset = |at: &Value| {
        let start: usize =
            text.split_inclusive('\n').take(at["line"].as_u64().unwrap() as usize).map(str::len).sum();
        let mut units = at["character"].as_u64().unwrap() as usize;
        let within = text[start..].char_indices().find(|(_, c)| {
            let found = units == 0;
            units = units.saturating_sub(c.len_utf16());
            found
        });
        start + within.unwrap().0
    };
    edits.sort_by_key(|edit| std::cmp::Reverse(offset(&edit["range"]["start"])));
    let mut text = text.to_owned();
    for edit in edits {
        let range = offset(&edit["range"]["start"])..offset(&edit["range"]["end"]);
        text.replace_range(range, edit["newText"].as_str().unwrap());
    }
    text
}

#[test]
fn a_repair_that_is_applied_clears_its_finding() {
    let folder = Folder::new(&FILES);
    let text = reversed();
    let mut client = opened(&folder, everything(), &text);
    let uri = folder.uri("schedules.yaml");
    let line = text.lines().position(|line| line.contains("22:00")).unwrap() as u32;
    let found = actions(&mut client, &uri, (line, line + 1), json!({"diagnostics": []}));
    let repair = found
        .iter()
        .find(|a| a["title"].as_str().unwrap().contains("midnight"))
        .unwrap_or_else(|| panic!("{found:#?}"));
    assert_eq!(repair["kind"], "quickfix");
    assert_eq!(repair["diagnostics"][0]["code"], "window-ends-before-start");
    assert!(
        found.iter().all(|a| a["diagnostics"][0]["range"]["start"]["line"].as_u64() == Some(u64::from(line))),
        "{found:#?}"
    );
    let after = applied(repair, &text);
    assert_eq!(after.matches("\r\n").count(), after.matches('\n').count(), "{after}");
    assert!(after.contains("# \u{1d11e}"), "{after}");
    client.set(&uri, 2, &after);
    let left = client.checks(&uri).len();
    client.until(|client| (client.checks(&uri).len() < left).then_some(()));
}

/// An editor asks for the place of its cursor, which may stand anywhere in the line.
#[test]
fn a_line_answers_wherever_the_cursor_stands_in_it() {
    let folder = Folder::new(&FILES);
    let text = reversed();
    let mut client = opened(&folder, everything(), &text);
    let uri = folder.uri("schedules.yaml");
    let line = text.lines().position(|line| line.contains("22:00")).unwrap() as u32;
    let end = text.lines().nth(line as usize).unwrap().trim_end().encode_utf16().count() as u32;
    let mut at = |line: u32, character: u32| -> Vec<String> {
        let place = json!({"line": line, "character": character});
        let range = json!({"start": place, "end": place});
        let params = json!({"textDocument": {"uri": uri}, "range": range, "context": {"diagnostics": []}});
        let answer = client.request("textDocument/codeAction", params)["result"].clone();
        answer.as_array().unwrap().iter().map(|a| a["title"].as_str().unwrap().to_owned()).collect()
    };
    let under = at(line, text.lines().nth(line as usize).unwrap().find("22:00").unwrap() as u32);
    assert!(under.iter().any(|title| title.contains("midnight")), "{under:#?}");
    assert_eq!(at(line, 0), under);
    assert_eq!(at(line, end), under);
    assert_eq!(at(0, 0), [""; 0], "a line without a finding");
}

#[test]
fn a_hover_beside_the_words_of_a_line_tells_of_its_finding() {
    let zones = CROSSED;
    let mut files = FILES.to_vec();
    files.retain(|(name, _)| *name != "zones.yaml");
    files.push(("zones.yaml", zones));
    let folder = Folder::new(&files);
    let mut client = Client::start(&[&folder.path("")]);
    let uri = folder.uri("zones.yaml");
    client.open(&uri, zones);
    client.finds(&uri, "setpoints-crossed");
    client.quiet();
    let published = client.published[&uri]["diagnostics"].as_array().unwrap().clone();
    let starts = published.iter().filter(|d| d["range"]["start"]["line"] == 3);
    let column = starts.map(|d| d["range"]["start"]["character"].as_u64().unwrap()).min().unwrap();
    let hover = client.hover(&uri, 3, column as u32);
    assert!(!hover.is_empty());
    assert_eq!(client.hover(&uri, 3, 0), hover);
}

#[test]
fn one_repair_of_a_finding_is_preferred_and_its_title_fits_a_line() {
    // Moving one limit of the zone leaves others in its way.
    let zones = CROSSED;
    let mut files = FILES.to_vec();
    files.retain(|(name, _)| *name != "zones.yaml");
    files.push(("zones.yaml", zones));
    let folder = Folder::new(&files);
    let mut client = Client::start(&[&folder.path("")]);
    let uri = folder.uri("zones.yaml");
    client.open(&uri, zones);
    client.until(|client| (!client.checks(&uri).is_empty()).then_some(()));
    client.quiet();
    let found = actions(&mut client, &uri, (3, 3), json!({"diagnostics": []}));
    let mut preferred = std::collections::BTreeMap::new();
    for action in &found {
        let title = action["title"].as_str().unwrap();
        assert!(!title.contains(';') || title.starts_with("State a deviation"), "{title}");
        assert!(title.chars().count() <= 160, "{title}");
        let finding = action["diagnostics"][0].to_string();
        *preferred.entry(finding).or_insert(0) += usize::from(action["isPreferred"] == true);
        assert!(action["isPreferred"] != true || !title.starts_with("State a deviation"), "{title}");
    }
    assert!(preferred.values().any(|n| *n == 1) && preferred.values().all(|n| *n <= 1), "{found:#?}");
}

#[test]
fn actions_right_behind_an_edit_wait_for_its_findings() {
    let folder = Folder::new(&FILES);
    let mut client = Client::start(&[&folder.path("")]);
    let uri = folder.uri("schedules.yaml");
    client.open(&uri, SCHEDULES);
    let text = reversed();
    let line = text.lines().position(|line| line.contains("22:00")).unwrap() as u32;
    for version in 2..12 {
        client.set(&uri, version, SCHEDULES);
        client.set(&uri, version + 20, &text);
        let found = actions(&mut client, &uri, (line, line + 1), json!({"diagnostics": []}));
        assert!(found.iter().any(|a| a["title"].as_str().unwrap().contains("midnight")), "{found:#?}");
    }
}

#[test]
fn all_safe_repairs_are_proven_together() {
    let folder = Folder::new(&FILES);
    // Nothing takes its value, so no service's hours change.
    let idle =
        "  night-hours:\n    values: occupancy\n    week:\n      mon: 22:00-06:00\n      thu: 20:00-04:00\n";
    let text = format!("{SCHEDULES}{idle}");
    let mut client = opened(&folder, everything(), &text);
    let uri = folder.uri("schedules.yaml");
    let asked = json!({"diagnostics": [], "only": ["source.fixAll"]});
    let found = actions(&mut client, &uri, (0, 0), asked.clone());
    assert_eq!(found.len(), 1, "{found:#?}");
    assert_eq!(found[0]["kind"], "source.fixAll.drycall");
    client.set(&uri, 2, &applied(&found[0], &text));
    client.lacks(&uri, "window-ends-before-start");
    client.quiet();
    assert!(actions(&mut client, &uri, (0, 0), asked).is_empty());
}

#[test]
fn a_deviation_is_stated_where_the_finding_stands() {
    let folder = Folder::new(&FILES);
    let text = reversed();
    let mut client = opened(&folder, everything(), &text);
    let uri = folder.uri("schedules.yaml");
    let line = text.lines().position(|line| line.contains("22:00")).unwrap() as u32;
    let found =
        actions(&mut client, &uri, (line, line + 1), json!({"diagnostics": [], "only": ["quickfix"]}));
    let state = found
        .iter()
        .find(|a| a["title"].as_str().unwrap().contains("deviation from window-ends-before-start"));
    let after = applied(state.unwrap_or_else(|| panic!("{found:#?}")), &text);
    client.set(&uri, 2, &after);
    // It asks for its reason, and with one the finding stays out of sight.
    client.finds(&uri, "deviation-without-reason");
    client.set(
        &uri,
        3,
        &after.replace("window-ends-before-start, ", "window-ends-before-start, the night shift is as meant"),
    );
    client.lacks(&uri, "deviation-without-reason");
    client.quiet();
    assert!(!client.checks(&uri).iter().any(|c| *c == format!("{}:window-ends-before-start", line + 1)));
}

/// Inside a text a comment is more text, and above the key of a section it hides nothing.
#[test]
fn no_deviation_is_offered_where_a_comment_would_not_be_one() {
    let text = "zones:\n  a: {occupied: {cool-above: 72 °F, heat-below: 71 °F}}\npoints:\n  P:\n    driven-by:\n      logic: >\n        Q or\n        R\nunits: {U: {type: no-such-type}}\n";
    let folder = Folder::new(&[("site.yaml", client::job::SITE), ("a.yaml", text)]);
    let mut client = Client::start(&[&folder.path("")]);
    let uri = folder.uri("a.yaml");
    client.open(&uri, text);
    client.finds(&uri, "name-unknown");
    client.quiet();
    let mut offers = |line: u32| -> Vec<String> {
        let found = actions(&mut client, &uri, (line, line + 1), json!({"diagnostics": []}));
        let titles = found.iter().map(|a| a["title"].as_str().unwrap().to_owned());
        titles.filter(|title| title.starts_with("State a deviation")).collect()
    };
    assert_eq!(offers(1).len(), 1, "an entry of its own line");
    assert_eq!(offers(7), [""; 0], "a line of a block of text");
    assert_eq!(offers(8), [""; 0], "a section on one line");
}

#[test]
fn a_client_without_actions_is_promised_none() {
    let folder = Folder::new(&FILES);
    let client = opened(&folder, json!({}), &reversed());
    assert_eq!(client.initialized["capabilities"]["codeActionProvider"], Value::Null);
}

#[test]
fn a_requirement_shows_what_is_predicted() {
    let asked = "requirements:\n  - {zone: stacks, dew-point-at-most: 58 °F}\n";
    let mut files = FILES.to_vec();
    let site = format!("{}  weather: {{dry-bulb: 86 °F, dew-point: 78 °F}}\n", client::job::SITE);
    files.retain(|(name, _)| *name != "site.yaml");
    files.push(("site.yaml", &site));
    files.push(("requirements.yaml", asked));
    let folder = Folder::new(&files);
    let mut client = Client::start(&[&folder.path("")]);
    let uri = folder.uri("requirements.yaml");
    client.open(&uri, asked);
    let hover = client.hover(&uri, 1, 24);
    assert!(hover.contains("prediction for `stacks`: above 58 °F dew point in "), "{hover}");
    assert!(hover.contains(" h of 8760"), "{hover}");
    // Where the owner sets no limit, whose it is instead is said.
    client.set(&uri, 2, "requirements:\n  - {zone: stacks, dehumidification: always}\n");
    let hover = client.hover(&uri, 1, 24);
    assert!(hover.contains("above 60 °F dew point (ASHRAE 62.1-2022 §5.12) in "), "{hover}");
}
