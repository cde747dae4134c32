//! Diagnostics as a client sees them: over files, buffers, folders, and what happens on disk.

#![allow(clippy::unwrap_used)]

mod client;

use client::job::{FILES, POINTS, SITE, UNITS};
use client::{Client, Folder};
use serde_json::{Value, json};

fn renamed() -> String {
    POINTS.replace("HP1-OCC:", "HP1-OCCUPIED:")
}

#[test]
fn an_opened_file_is_told_of_even_if_nothing_is_wrong() {
    let folder = Folder::new(&FILES);
    let mut client = Client::start(&[&folder.path("")]);
    let uri = folder.uri("units.yaml");
    client.open(&uri, UNITS);
    client.until(|c| c.published.contains_key(&uri).then_some(()));
    assert_eq!(client.checks(&uri), Vec::<String>::new());
    assert_eq!(client.published[&uri]["version"], 1);
    assert!(client.shut_down());
}

#[test]
fn files_nobody_opened_are_told_of_where_something_is_wrong() {
    let folder = Folder::new(&FILES);
    folder.write("points/all.yaml", &renamed());
    let mut client = Client::start(&[&folder.path("")]);
    client.finds(&folder.uri("units.yaml"), "name-unknown");
    let diagnostic = client.published[&folder.uri("units.yaml")]["diagnostics"][0].clone();
    assert_eq!(diagnostic["severity"], 1);
    assert_eq!(diagnostic["source"], "drycall");
    assert_eq!(diagnostic["codeDescription"]["href"], "drycall:checks/name-unknown");
    assert_eq!(diagnostic["range"]["start"], json!({"line": 10, "character": 16}));
    assert!(!client.published.contains_key(&folder.uri("zones.yaml")));
}

#[test]
fn an_unsaved_edit_in_one_file_changes_the_findings_of_another_and_closing_takes_it_back() {
    let folder = Folder::new(&FILES);
    let mut client = Client::start(&[&folder.path("")]);
    let (units, points) = (folder.uri("units.yaml"), folder.uri("points/all.yaml"));
    client.open(&units, UNITS);
    client.lacks(&units, "name-unknown");
    client.open(&points, POINTS);
    client.set(&points, 2, &renamed());
    client.finds(&units, "name-unknown");
    client.close(&points);
    client.lacks(&units, "name-unknown");
    // A buffer that says what the disk says is told of once and no more.
    client.quiet();
    let before = client.publications.clone();
    client.set(&units, 2, UNITS);
    client.quiet();
    assert_eq!(client.publications, before);
}

#[test]
fn what_happens_on_disk_counts_and_a_deleted_file_is_cleared() {
    let folder = Folder::new(&FILES);
    let mut client = Client::start(&[&folder.path("")]);
    let (units, more) = (folder.uri("units.yaml"), folder.uri("more.yaml"));
    folder.write("points/all.yaml", &renamed());
    client.watched(&[(&folder.uri("points/all.yaml"), 2)]);
    client.finds(&units, "name-unknown");
    folder.write("points/all.yaml", POINTS);
    client.watched(&[(&folder.uri("points/all.yaml"), 2)]);
    client.lacks(&units, "name-unknown");
    folder.write("more.yaml", "points:\n  HP1-OCC: {description: Once more}\n");
    client.watched(&[(&more, 1)]);
    client.finds(&more, "duplicate-name");
    client.finds(&folder.uri("points/all.yaml"), "duplicate-name");
    folder.delete("more.yaml");
    client.watched(&[(&more, 3)]);
    client.lacks(&more, "duplicate-name");
    client.lacks(&folder.uri("points/all.yaml"), "duplicate-name");
    assert_eq!(client.published[&more]["diagnostics"], json!([]));
}

#[test]
fn a_file_that_is_not_saved_yet_belongs_to_the_job_until_it_is_closed() {
    let folder = Folder::new(&FILES);
    let mut client = Client::start(&[&folder.path("")]);
    let draft = folder.uri("draft.yaml");
    client.open(&draft, "points:\n  HP1-OCC: {description: Once more}\n");
    client.finds(&draft, "duplicate-name");
    client.close(&draft);
    client.lacks(&draft, "duplicate-name");
}

#[test]
fn an_imported_file_that_comes_is_seen() {
    let folder = Folder::new(&FILES);
    folder.write("more.yaml", "calendars:\n  holidays:\n    - {import: holidays.ics}\n");
    let mut client = Client::start(&[&folder.path("")]);
    client.finds(&folder.uri("more.yaml"), "import-unreadable");
    folder.write("holidays.ics", "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nBEGIN:VEVENT\r\nUID:1\r\nDTSTAMP:20270101T000000Z\r\nDTSTART;VALUE=DATE:20270704\r\nSUMMARY:Closed\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n");
    client.watched(&[(&folder.uri("holidays.ics"), 1)]);
    client.lacks(&folder.uri("more.yaml"), "import-unreadable");
}

#[test]
fn a_file_without_a_job_is_none_of_ours() {
    let folder = Folder::new(&[("notes.yaml", "points: 3\nwhatever: [\n")]);
    let mut client = Client::start(&[&folder.path("")]);
    let uri = folder.uri("notes.yaml");
    client.open(&uri, "points: 3\nwhatever: [\n");
    client.change(&uri, 2, json!([{"text": "points: [\n"}]));
    assert_eq!(client.at("textDocument/hover", &uri, 0, 1), Value::Null);
    client.quiet();
    assert!(client.published.is_empty());
}

#[test]
fn a_site_file_that_comes_makes_a_job_and_one_that_goes_ends_it() {
    let folder = Folder::new(&[("units.yaml", UNITS)]);
    let mut client = Client::start(&[&folder.path("")]);
    let (units, site) = (folder.uri("units.yaml"), folder.uri("site.yaml"));
    client.open(&units, UNITS);
    client.quiet();
    assert!(client.published.is_empty());
    // In a buffer first, then on disk.
    client.open(&site, SITE);
    client.finds(&units, "name-unknown");
    client.close(&site);
    client.lacks(&units, "name-unknown");
    folder.write("site.yaml", SITE);
    client.watched(&[(&site, 1)]);
    client.finds(&units, "name-unknown");
    folder.delete("site.yaml");
    client.watched(&[(&site, 3)]);
    client.lacks(&units, "name-unknown");
}

#[test]
fn jobs_in_several_folders_and_deeper_ones_stay_apart() {
    let first = Folder::new(&FILES);
    let second = Folder::new(&[("north/site.yaml", SITE), ("north/units.yaml", UNITS)]);
    // A deeper job of its own inside the first.
    first.write("annex/site.yaml", SITE);
    first.write("annex/units.yaml", UNITS);
    let mut client = Client::start(&[&first.path("")]);
    client.finds(&first.uri("annex/units.yaml"), "name-unknown");
    client.quiet();
    assert_eq!(client.checks(&first.uri("units.yaml")), Vec::<String>::new());
    let event = |added: &[&Folder], removed: &[&Folder]| {
        let list = |all: &[&Folder]| {
            all.iter().map(|f| json!({"uri": f.uri(""), "name": "job"})).collect::<Vec<_>>()
        };
        json!({"event": {"added": list(added), "removed": list(removed)}})
    };
    client.notify("workspace/didChangeWorkspaceFolders", event(&[&second], &[]));
    client.finds(&second.uri("north/units.yaml"), "name-unknown");
    client.notify("workspace/didChangeWorkspaceFolders", event(&[], &[&second]));
    client.lacks(&second.uri("north/units.yaml"), "name-unknown");
    assert!(!client.checks(&first.uri("annex/units.yaml")).is_empty());
    // Its site file gone, the deeper job is part of the outer one: the same unit twice.
    first.delete("annex/site.yaml");
    client.watched(&[(&first.uri("annex/site.yaml"), 3)]);
    client.finds(&first.uri("annex/units.yaml"), "duplicate-name");
}

/// What is open in a folder goes to the job that the folder becomes, whether the client watches files or
/// only tells what it saved.
#[test]
fn a_folder_that_becomes_a_job_takes_its_files_along() {
    for watches in [true, false] {
        let folder = Folder::new(&FILES);
        folder.write("annex/units.yaml", UNITS);
        let mut client = Client::start(&[&folder.path("")]);
        let (units, site) = (folder.uri("annex/units.yaml"), folder.uri("annex/site.yaml"));
        client.open(&units, UNITS);
        client.finds(&units, "duplicate-name");
        client.finds(&folder.uri("units.yaml"), "duplicate-name");
        client.open(&site, SITE);
        client.quiet();
        folder.write("annex/site.yaml", SITE);
        if watches {
            client.watched(&[(&site, 1)]);
        } else {
            client.notify("textDocument/didSave", json!({"textDocument": {"uri": site}}));
        }
        // No point of the outer job is one of the inner.
        client.finds(&units, "name-unknown");
        client.lacks(&folder.uri("units.yaml"), "duplicate-name");
        client.lacks(&units, "duplicate-name");
        client.quiet();
        assert!(client.checks(&units).iter().any(|check| check.ends_with("name-unknown")));
    }
}

#[test]
fn a_folder_that_comes_or_goes_is_one_change() {
    let folder = Folder::new(&FILES);
    let mut client = Client::start(&[&folder.path("")]);
    let (all, more) = (folder.uri("points/all.yaml"), folder.uri("more/deep/points.yaml"));
    folder.write("more/deep/points.yaml", &renamed());
    client.watched(&[(&folder.uri("more"), 1)]);
    client.finds(&more, "duplicate-name");
    client.finds(&all, "duplicate-name");
    std::fs::remove_dir_all(folder.path("more")).unwrap();
    client.watched(&[(&folder.uri("more"), 3)]);
    client.lacks(&more, "duplicate-name");
    client.lacks(&all, "duplicate-name");
    // A whole job.
    folder.write("annex/site.yaml", SITE);
    folder.write("annex/units.yaml", UNITS);
    client.watched(&[(&folder.uri("annex"), 1)]);
    let annex = folder.uri("annex/units.yaml");
    client.finds(&annex, "name-unknown");
    std::fs::remove_dir_all(folder.path("annex")).unwrap();
    client.watched(&[(&folder.uri("annex"), 3)]);
    client.lacks(&annex, "name-unknown");
}

#[test]
fn what_gitignore_hides_is_none_of_ours() {
    let folder = Folder::new(&FILES);
    folder.write(".gitignore", "old/\n");
    folder.write("old/points.yaml", &renamed());
    let mut client = Client::start(&[&folder.path("")]);
    let old = folder.uri("old/points.yaml");
    client.open(&old, &renamed());
    client.quiet();
    assert!(!client.published.contains_key(&old), "{:#?}", client.published);
    folder.write(".gitignore", "\n");
    client.watched(&[(&folder.uri(".gitignore"), 2)]);
    client.finds(&old, "duplicate-name");
    // The editor's text counts, as of every open file.
    client.set(&old, 2, "points: {}\n");
    client.lacks(&old, "duplicate-name");
    client.set(&old, 3, &renamed());
    client.finds(&old, "duplicate-name");
    folder.write(".gitignore", "old/\n");
    client.watched(&[(&folder.uri(".gitignore"), 2)]);
    client.lacks(&old, "duplicate-name");
    // Open or not, it is none of ours.
    assert_eq!(client.at("textDocument/hover", &old, 1, 3), Value::Null);
    client.close(&old);
    client.quiet();
    assert_eq!(client.checks(&old), Vec::<String>::new());
}

#[test]
fn reasons_stand_in_the_message_where_a_client_cannot_relate_places() {
    let folder = Folder::new(&FILES);
    folder.write("more.yaml", "points:\n  HP1-OCC: {description: Once more}\n");
    let uri = folder.uri("more.yaml");
    let find = |client: &mut Client| {
        client.finds(&uri, "duplicate-name");
        let all = client.published[&uri]["diagnostics"].as_array().unwrap().clone();
        all.into_iter().find(|d| d["code"] == "duplicate-name").unwrap()
    };
    let related = find(&mut Client::start(&[&folder.path("")]));
    let place = &related["relatedInformation"][0];
    assert_eq!(place["location"]["uri"], folder.uri("points/all.yaml"));
    assert_eq!(place["location"]["range"]["start"]["line"], 7);
    let plain = find(&mut Client::with(&[&folder.path("")], json!({}), Value::Null));
    assert_eq!(plain.get("relatedInformation"), None);
    assert_eq!(plain.get("codeDescription"), None);
    let reason = place["message"].as_str().unwrap();
    assert_eq!(
        plain["message"].as_str().unwrap(),
        format!("{}\n- {reason}", related["message"].as_str().unwrap())
    );
}
