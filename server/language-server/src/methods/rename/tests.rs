//! Every name of the samples is given another and gets its own back.

#![allow(clippy::unwrap_used, clippy::disallowed_methods)]

use super::{Target, edits};
use model::{Spot, View};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use syntax::Edit;
use workspace::Workspace;

fn sample(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/saltmarsh-records-centre").join(name)
}

/// What was found, with either of two names read as one (but for files that are called so); of a finding that suggests
/// what is nearest, only the check counts.
fn findings(workspace: &Workspace, names: [&str; 2]) -> Vec<String> {
    let mut found = Vec::new();
    for (file, path) in workspace.files() {
        for (id, finding) in workspace.findings(file) {
            let (_, span) = workspace.span(id, &finding.spot).unwrap();
            let text = workspace.job().file(file).unwrap().file().text();
            let line = text.position(span.start, syntax::Encoding::Utf8).line;
            let inner = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_');
            let words = finding.message.split_inclusive(|c| !inner(c)).map(|word| {
                let (body, stop) = word.split_at(word.trim_end_matches(|c| !inner(c)).len());
                if names.contains(&body) && stop != "." { format!("IT{stop}") } else { word.to_owned() }
            });
            let message: String = words.collect();
            let message = if finding.check.id.ends_with("-unknown") { String::new() } else { message };
            found.push(format!("{path}:{line} {} {message}", finding.check.id));
        }
    }
    found.sort();
    found
}

fn texts(workspace: &Workspace) -> Vec<String> {
    let text = |(file, _)| workspace.job().file(file).unwrap().file().text().to_string();
    workspace.files().into_iter().map(text).collect()
}

/// Renames what stands at a place; the bytes where it stands afterwards, or why not.
fn apply(workspace: &mut Workspace, path: &str, at: u32, new: &str) -> Result<usize, String> {
    let file = workspace.file(path).unwrap();
    let (id, offset) = workspace.job().entry_at(file, at).unwrap();
    let edits = edits(&View::new(workspace.job()), id, offset, new).unwrap()?;
    let mut spans: Vec<_> =
        edits.iter().map(|(id, bytes)| workspace.span(*id, &Spot::Bytes(bytes.clone())).unwrap()).collect();
    spans.sort_by_key(|(file, span)| (*file, std::cmp::Reverse(span.start)));
    for (file, range) in &spans {
        workspace.edit(*file, &Edit { range: range.clone(), new: new.to_owned() });
    }
    workspace.check(&|_, _| {});
    Ok(spans.len())
}

/// A name that nothing goes by, of the old one's form, which the site's pattern of point names may ask for.
fn fresh(old: &str) -> String {
    let like = |c: char| match c {
        c if c.is_uppercase() => 'Q',
        c if c.is_alphabetic() => 'q',
        c if c.is_numeric() => '7',
        c => c,
    };
    old.chars().map(like).collect()
}

#[test]
fn every_name_of_the_samples_can_be_changed_and_changed_back() {
    for name in ["clean", "with-mistakes"] {
        let mut workspace = Workspace::load(&sample(name), &|_, _| {});
        workspace.check(&|_, _| {});
        let before = texts(&workspace);
        let mut seen: Vec<(&'static str, model::Name)> = Vec::new();
        let (mut changed, mut refused) = (0, BTreeSet::new());
        let paths: Vec<String> = workspace.files().iter().map(|(_, path)| (*path).to_owned()).collect();
        for path in &paths {
            let file = workspace.file(path).unwrap();
            for at in 0..workspace.job().file(file).unwrap().file().text().len() {
                let Some((id, offset)) = workspace.job().entry_at(file, at) else { continue };
                let target = Target::at(&View::new(workspace.job()), id, offset).map(|(_, target)| target);
                let Some(target) = target else { continue };
                let (old, noun) = (target.name().clone(), target.noun());
                let new = fresh(&old);
                if seen.contains(&(noun, old.clone())) {
                    continue;
                }
                let had = findings(&workspace, [&old, &new]);
                if edits(&View::new(workspace.job()), id, offset, &new).is_none() {
                    continue;
                }
                seen.push((noun, old.clone()));
                match apply(&mut workspace, path, at, &new) {
                    Err(why) => {
                        refused.insert(why);
                        continue;
                    }
                    Ok(places) => assert!(places > 0, "{old}"),
                }
                let have = findings(&workspace, [&old, &new]);
                let only = |a: &[String], b: &[String]| {
                    a.iter().filter(|finding| !b.contains(finding)).cloned().collect::<Vec<_>>()
                };
                let differ = (only(&have, &had), only(&had, &have));
                assert!(have == had, "{noun} {old} of {name}: {differ:#?}");
                // Every mention stands at or behind the first, so that one has not moved.
                apply(&mut workspace, path, at, &old).unwrap();
                assert_eq!(texts(&workspace), before, "{noun} {old} of {name}");
                changed += 1;
            }
        }
        assert!(changed > 60, "{changed} names changed");
        assert!(
            refused.iter().all(|why| why.contains("built-in") || why.contains("keeps it")),
            "{refused:#?}"
        );
    }
}

/// A job in one file, checked.
fn job(text: &str) -> Workspace {
    let mut workspace = Workspace::empty(Path::new("job"));
    workspace.open("a.yaml", text);
    workspace.check(&|_, _| {});
    workspace
}

fn text(workspace: &Workspace) -> String {
    texts(workspace).concat()
}

#[test]
fn quotes_stay_and_logic_over_several_lines_is_followed() {
    let before = "\
points:
  'A-1': {description: é, driven-by: {contact: field}}
  B: {driven-by: {logic: \"A-1 and not (A-1 or \\x41-1)\"}}
  C: {driven-by: {point: \"A-1\"}}
  D:
    driven-by:
      logic: >-
        not A-1 or
        (A-1) # no comment here
  E: {driven-by: {logic: A-10 or A-1}}
  A-10: {driven-by: {contact: field}}
";
    // An escape in the name itself cannot be followed.
    let mut workspace = job(before);
    assert!(apply(&mut workspace, "a.yaml", 12, "Z").unwrap_err().contains("escapes"));
    let before = before.replace("\\x41-1", "A-1").replace(" # no comment here", "");
    let mut workspace = job(&before);
    assert_eq!(apply(&mut workspace, "a.yaml", 12, "Z_9").unwrap(), 8);
    assert_eq!(text(&workspace), before.replace("A-10", "#").replace("A-1", "Z_9").replace('#', "A-10"));
}

#[test]
fn what_would_change_a_meaning_is_refused() {
    let before = "\
unit-types:
  fan-box:
    options: {when: {choices: [always, called]}}
    inputs: {call: {terminal: G}, lockout: {}, occupied: {}}
    terms: {wanted: call or when is always or occupied}
    outputs: {fan: {when: wanted and not lockout}, compressor: {when: call}}
units:
  EF-1: {type: fan-box, inputs: {call: P, lockout: not-wired, spare: Q}}
  HP-1: {type: heat-pump-with-hot-gas-reheat}
points:
  P: {driven-by: {contact: field}}
  R: {driven-by: {contact: field}}
calendars:
  closures: [{date: 2027-12-24}]
";
    for (word, new, why) in [
        ("call:", "lockout", "is taken"),
        ("call:", "fan", "is taken"),
        ("call:", "spare", "is taken"),
        ("call:", "cool-1", "verdicts would go by"),
        ("always,", "called", "is taken"),
        ("occupied:", "busy", "keeps it"),
        ("wanted:", "not", "meaning of its own"),
        ("P: {driven", "R", "already, in a.yaml"),
        ("P: {driven", "Q", "speaks of"),
        ("P: {driven", "not-wired", "meaning of its own"),
        ("P: {driven", "a b", "a space"),
        ("P: {driven", "a:b", "`:`"),
        ("P: {driven", "", "begins with"),
        ("P: {driven", "-a", "begins with"),
        ("heat-pump", "mine", "built-in"),
        ("closures", "2027-closures", "read as a date"),
        ("closures", "2027-12-24", "read as a date"),
    ] {
        let mut workspace = job(before);
        let refused = apply(&mut workspace, "a.yaml", before.find(word).unwrap() as u32, new).unwrap_err();
        assert!(refused.contains(why), "{word} to {new:?}: {refused}");
        assert_eq!(text(&workspace), before);
    }
    // What an output is its role says, so it may be called anything.
    for (word, new) in [("compressor:", "x"), ("fan:", "reheat-valve")] {
        let mut workspace = job(before);
        assert!(
            apply(&mut workspace, "a.yaml", before.find(word).unwrap() as u32, new).is_ok(),
            "{word} to {new}"
        );
    }
    // The same word as an option and as an input are two names.
    let mut workspace = job(before);
    let at = before.find("always or").unwrap() as u32;
    assert_eq!(apply(&mut workspace, "a.yaml", at, "ever").unwrap(), 2);
    assert_eq!(text(&workspace), before.replace("always", "ever"));
}
