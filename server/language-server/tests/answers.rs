//! Hover, definition and document symbols over a whole job.

#![allow(clippy::unwrap_used, clippy::panic)]

mod client;

use client::job::{FILES, POINTS, SCHEDULES, UNITS, ZONES};
use client::{Client, Folder, everything};
use serde_json::{Value, json};

/// Where a word stands for the n-th time: line and column. The texts used are plain enough to count
/// characters.
fn find(text: &str, word: &str, n: usize) -> (u32, u32) {
    let (at, _) = text.match_indices(word).nth(n).unwrap();
    let line = text[..at].matches('\n').count();
    let start = text[..at].rfind('\n').map_or(0, |i| i + 1);
    (line as u32, text[start..at].encode_utf16().count() as u32)
}

/// A client that has opened these files of the job.
fn opened(folder: &Folder, capabilities: Value, options: Value) -> Client {
    let mut client = Client::with(&[&folder.path("")], capabilities, options);
    for (name, text) in FILES {
        client.open(&folder.uri(name), text);
    }
    client
}

#[test]
fn hovers_say_what_this_is_for_here() {
    let folder = Folder::new(&FILES);
    let mut client = opened(&folder, everything(), Value::Null);
    for (file, text, word, n, wanted) in [
        (
            "units.yaml",
            UNITS,
            "HP-1",
            0,
            &[
                "**HP-1**: `heat-pump-with-hot-gas-reheat`",
                "serves zone `stacks`",
                "**dehumidification**: when called for, unless",
                " of 8,760 h (",
            ][..],
        ),
        (
            "units.yaml",
            UNITS,
            "heat-pump-with",
            0,
            &["- Y1 `cool-1` first-stage cooling call", "- `dehumidify` dehumidify call"],
        ),
        (
            "units.yaml",
            UNITS,
            "unoccupied-dehumidification",
            0,
            &["choices: `allowed`, `locked-out`", "default: `allowed`", "in force: `allowed`, chosen here"],
        ),
        ("units.yaml", UNITS, "allowed", 0, &["**unoccupied-dehumidification**"]),
        (
            "units.yaml",
            UNITS,
            "cool-1",
            0,
            &[
                "**cool-1**: first-stage cooling call",
                "terminal Y1",
                "wired to `HP1-COOL1`",
                "first-stage cooling call of `stacks`",
            ],
        ),
        ("units.yaml", UNITS, "HP1-OCC", 0, &["**occupied**: space is occupied", "follows `staff-hours`"]),
        ("units.yaml", UNITS, "inputs", 0, &["what the field wires to each input"]),
        (
            "zones.yaml",
            ZONES,
            "stacks",
            0,
            &["occupied by schedule `staff-hours`", "heat below 68 °F", "served by `HP-1`"],
        ),
        // At 74 °F and 55 %RH: 56.8 °F by the ASHRAE Fundamentals equations (PsychroLib 2.5.0).
        (
            "zones.yaml",
            ZONES,
            "55 %RH",
            0,
            &[
                "while occupied, the dehumidify call begins above 59 %RH and ends at 55 %RH",
                "at 74 °F (cool-above) that is a dew point of 56.8 °F",
            ],
        ),
        (
            "zones.yaml",
            ZONES,
            "dehumidify-above",
            1,
            &["while unoccupied", "at 80 °F (cool-above) that is a dew point of 62.4 °F"],
        ),
        (
            "zones.yaml",
            ZONES,
            "cool-above",
            0,
            &["while occupied, the cooling call begins above 75 °F and ends at 74 °F"],
        ),
        (
            "schedules.yaml",
            SCHEDULES,
            "staff-hours",
            0,
            &[
                "45 h a week on",
                "mon-fri: 08:00-17:00",
                "sat-sun: none",
                "1 exception",
                " %) in the review period",
            ],
        ),
        ("schedules.yaml", SCHEDULES, "closures", 1, &["**closures**: calendar", "used by `staff-hours`"]),
        (
            "points/all.yaml",
            POINTS,
            "HP1-DEHUM",
            0,
            &[
                "**HP1-DEHUM**: Dehumidify call",
                "binary-output 4 of `controller-1`",
                "carries the dehumidify call of `stacks`",
                "at `HP-1`",
            ],
        ),
        ("points/all.yaml", POINTS, "controller-1", 1, &["instance 1201, network 1", "5 points"]),
    ] {
        let (line, column) = find(text, word, n);
        let hover = client.hover(&folder.uri(file), line, column + 1);
        for part in wanted {
            assert!(hover.contains(part), "hover over {word} of {file} has no {part:?}:\n{hover}");
        }
        assert!(hover.lines().count() <= 12, "{hover}");
    }
    // Nothing to say of an empty place, a heading, or a name that nothing declares.
    assert_eq!(client.at("textDocument/hover", &folder.uri("units.yaml"), 0, 1), Value::Null);
}

#[test]
fn a_hover_does_not_wait_for_diagnostics_to_be_right() {
    let folder = Folder::new(&FILES);
    let mut client = opened(&folder, everything(), Value::Null);
    let (line, column) = find(UNITS, "HP-1", 0);
    client.set(
        &folder.uri("units.yaml"),
        2,
        &UNITS.replace("allowed", "locked-out").replace("HP1-OCC", "not-wired"),
    );
    assert!(client.hover(&folder.uri("units.yaml"), line, column).contains("**dehumidification**: never"));
}

#[test]
fn plain_text_for_clients_that_want_it() {
    let folder = Folder::new(&FILES);
    let mut client = opened(&folder, json!({}), Value::Null);
    let hover = client.at("textDocument/hover", &folder.uri("units.yaml"), 1, 3);
    assert_eq!(hover["contents"]["kind"], "plaintext");
    assert!(
        hover["contents"]["value"].as_str().unwrap().starts_with("HP-1: heat-pump-with-hot-gas-reheat\n")
    );
}

#[test]
fn definitions_follow_names_across_files() {
    let folder = Folder::new(&FILES);
    let logic = "points:\n  BOTH: {driven-by: {logic: \"HP1-OCC and not HP1-DEHUM\"}}\n  PLAIN: {driven-by: {logic: HP1-OCC and not HP1-DEHUM}}\n";
    folder.write("logic.yaml", logic);
    let mut client = opened(&folder, everything(), json!({"libraryScheme": true}));
    client.open(&folder.uri("logic.yaml"), logic);
    for (file, text, word, n, target, declared, m) in [
        ("units.yaml", UNITS, "HP1-OCC", 0, "points/all.yaml", "HP1-OCC", 0),
        ("units.yaml", UNITS, "stacks", 0, "zones.yaml", "stacks", 0),
        ("zones.yaml", ZONES, "staff-hours", 0, "schedules.yaml", "staff-hours", 0),
        ("schedules.yaml", SCHEDULES, "closures", 1, "schedules.yaml", "closures", 0),
        ("points/all.yaml", POINTS, "controller-1", 3, "points/all.yaml", "controller-1", 0),
        ("logic.yaml", logic, "HP1-DEHUM", 1, "points/all.yaml", "HP1-DEHUM", 0),
    ] {
        let (line, column) = find(text, word, n);
        let found = client.at("textDocument/definition", &folder.uri(file), line, column + 2);
        let wanted = FILES.iter().find(|(name, _)| *name == target).unwrap().1;
        let (line, column) = find(wanted, declared, m);
        assert_eq!(found[0]["uri"], folder.uri(target), "{word} of {file}: {found}");
        assert_eq!(
            found[0]["range"]["start"],
            json!({"line": line, "character": column}),
            "{word} of {file}"
        );
    }
}

#[test]
fn definitions_reach_into_the_built_in_types() {
    let folder = Folder::new(&FILES);
    let mut client = opened(&folder, everything(), json!({"libraryScheme": true}));
    let uri = "drycall-library:/heat-pump-with-hot-gas-reheat.yaml";
    let text =
        client.request("drycall/libraryText", json!({"uri": uri}))["result"].as_str().unwrap().to_owned();
    for (word, declared) in [
        ("heat-pump-with", "\n  heat-pump-with-hot-gas-reheat:"),
        ("unoccupied-dehumidification", "\n      unoccupied-dehumidification:"),
        ("allowed", "allowed, locked-out]"),
        ("heat-2", "\n      heat-2:"),
    ] {
        let (line, column) = find(UNITS, word, 0);
        let found = client.at("textDocument/definition", &folder.uri("units.yaml"), line, column + 1);
        assert_eq!(found[0]["uri"], uri, "{word}");
        let (at, _) = text.match_indices(declared).next().unwrap();
        let line = text[..=at].matches('\n').count();
        assert_eq!(found[0]["range"]["start"]["line"], line, "{word}");
    }
    let error = client.request("drycall/libraryText", json!({"uri": "drycall-library:/none.yaml"}));
    assert_eq!(error["error"]["code"], -32602);
}

#[test]
fn definitions_inside_a_unit_type_of_the_job() {
    let text = "\
unit-types:
  fan-with-lockout:
    options:
      when: {choices: [always, called], default: called}
    inputs:
      call: {terminal: G}
      lockout: {description: fire alarm}
    terms:
      wanted: call or when is always
    outputs:
      fan: {when: wanted and not lockout}
    never: [fan and lockout]
units:
  EF-1:
    type: fan-with-lockout
    inputs: {call: {tied-to: lockout}, lockout: not-wired}
";
    let folder = Folder::new(&FILES);
    folder.write("fan.yaml", text);
    let mut client = Client::start(&[&folder.path("")]);
    let uri = folder.uri("fan.yaml");
    client.open(&uri, text);
    for (word, n, declared, m) in [
        ("called", 1, "called", 0),
        ("call or", 0, "call:", 0),
        ("when is", 0, "when:", 0),
        ("always", 1, "always", 0),
        ("wanted", 1, "wanted", 0),
        ("lockout", 2, "lockout: {description", 0),
        ("fan and", 0, "fan:", 0),
        ("lockout", 3, "lockout: {description", 0),
        ("fan-with-lockout", 1, "fan-with-lockout", 0),
        ("call: {tied", 0, "call: {terminal", 0),
        ("lockout}", 0, "lockout: {description", 0),
    ] {
        let (line, column) = find(text, word, n);
        let found = client.at("textDocument/definition", &uri, line, column + 1);
        let (to_line, to_column) = find(text, declared, m);
        let start = &found[0]["range"]["start"];
        assert_eq!(*start, json!({"line": to_line, "character": to_column}), "{word} {n} at {line}:{column}");
    }
    assert!(
        client
            .hover(&uri, find(text, "wanted", 1).0, find(text, "wanted", 1).1)
            .contains("on when `call or when is always`")
    );
}

#[test]
fn symbols_are_sections_with_their_entries() {
    let folder = Folder::new(&FILES);
    let mut client = opened(&folder, everything(), Value::Null);
    let params = json!({"textDocument": {"uri": folder.uri("points/all.yaml")}});
    let tree = client.request("textDocument/documentSymbol", params.clone())["result"].clone();
    let names = |list: &Value| {
        list.as_array().unwrap().iter().map(|s| s["name"].as_str().unwrap().to_owned()).collect::<Vec<_>>()
    };
    assert_eq!(names(&tree), ["devices", "points"]);
    assert_eq!(names(&tree[1]["children"]), ["HP1-COOL1", "HP1-HEAT1", "HP1-HEAT2", "HP1-DEHUM", "HP1-OCC"]);
    assert_eq!(tree[1]["range"]["start"]["line"], 2);
    assert_eq!(tree[1]["range"]["end"]["line"], 7);
    assert_eq!(tree[1]["children"][4]["selectionRange"]["end"], json!({"line": 7, "character": 9}));
    let mut client = opened(&folder, json!({}), Value::Null);
    let list = client.request("textDocument/documentSymbol", params)["result"].clone();
    assert_eq!(list.as_array().unwrap().len(), 8);
    assert_eq!(list[7]["name"], "HP1-OCC");
    assert_eq!(list[7]["containerName"], "points");
}

#[test]
fn references_are_found_across_files_and_marked_in_their_own() {
    let folder = Folder::new(&FILES);
    let mut client = opened(&folder, everything(), Value::Null);
    let (line, column) = find(POINTS, "HP1-OCC", 0);
    let position = json!({"line": line, "character": column + 1});
    let uri = folder.uri("points/all.yaml");
    for (declared, wanted) in [(true, 2), (false, 1)] {
        let id = client.ask(
            "textDocument/references",
            json!({"textDocument": {"uri": uri}, "position": position, "context": {"includeDeclaration": declared}}),
        );
        let answer = client.answer(id);
        let found = &answer["result"];
        let files: Vec<&str> = found
            .as_array()
            .unwrap_or_else(|| panic!("{answer}"))
            .iter()
            .map(|l| l["uri"].as_str().unwrap())
            .collect();
        assert_eq!(files.len(), wanted, "{files:?}");
        assert!(files.iter().any(|f| f.ends_with("units.yaml")), "{files:?}");
    }
    let marks = client.at("textDocument/documentHighlight", &uri, line, column + 1);
    assert_eq!(marks.as_array().unwrap().len(), 1);
    assert_eq!(marks[0]["kind"], 3, "the declaration writes");
}
