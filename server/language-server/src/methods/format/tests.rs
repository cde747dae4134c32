//! Lining up moves spaces and nothing else, whatever the text.

#![allow(clippy::unwrap_used, clippy::disallowed_methods)]

use super::gaps;
use model::Facts;
use proptest::prelude::*;
use std::path::Path;
use std::sync::LazyLock;
use syntax::File;
use workspace::Workspace;

fn formatted(text: &str) -> String {
    let mut new = text.to_owned();
    let mut gaps = gaps(&File::new(text));
    gaps.sort_by_key(|(gap, _)| std::cmp::Reverse(gap.start));
    for (gap, spaces) in gaps {
        new.replace_range(gap.start as usize..gap.end as usize, &" ".repeat(spaces));
    }
    new
}

#[test]
fn points_stand_in_columns() {
    let text = "\
points:
  HP1-OCC: {device: controller-1, object: binary-output 3, description: Occupied command, driven-by: {schedule: hours}}
  HP1-DEHUM: {device: controller-1, object: binary-output 4, description: Dehumidify call, driven-by: {contact: field}}  # one
  HP1-HUM:    {device: controller-1,object: analog-input 2,    description: Zone humidity, units: '%RH', range: 0..100}
  # the next room
  B: {device: controller-1}
  CCC: {device: é}
  D: 3
  E:  {device: controller-1}
zones:
  a:
    occupied: {cool-above: 75 °F, dehumidify-above: 50 %RH}
    unoccupied: {cool-above: 80.5 °F, dehumidify-above: 50 %RH}
    thermostat: {differential: 1 °F}
    space:   {people: 2}
";
    let wanted = "\
points:
  HP1-OCC:   {device: controller-1, object: binary-output 3, description: Occupied command, driven-by: {schedule: hours}}
  HP1-DEHUM: {device: controller-1, object: binary-output 4, description: Dehumidify call,  driven-by: {contact: field}}  # one
  HP1-HUM:   {device: controller-1, object: analog-input 2,  description: Zone humidity, units: '%RH', range: 0..100}
  # the next room
  B:   {device: controller-1}
  CCC: {device: é}
  D: 3
  E: {device: controller-1}
zones:
  a:
    occupied:   {cool-above: 75 °F,   dehumidify-above: 50 %RH}
    unoccupied: {cool-above: 80.5 °F, dehumidify-above: 50 %RH}
    thermostat: {differential: 1 °F}
    space:   {people: 2}
";
    assert_eq!(formatted(text), wanted);
    assert_eq!(formatted(&text.replace('\n', "\r\n")), wanted.replace('\n', "\r\n"));
}

#[test]
fn what_is_not_understood_is_left_alone() {
    for text in [
        "points:\n  A:   {x: 1\n  BB: {x: 1}}\n",
        "points:\n  A:   {x: 1,\n    y: 2}\n  BB:  &a {x: 1}\n  C:   *a\n",
        "points:\n  \"A\":   {x: 1}\n  BB :  {x: 1}\n  C:\t{x: 1}\n",
        "points:\n  A:   {x: 1 , y: 2}\n",
        "points:\n  A:   {\"x\": 1,   y: 2}\n",
        "points:\n  A:   [x,   y]\n",
        "nonsense\n  A:   {x: 1}\n",
        "points: {A:   {x: 1},    B: {x: 2}}\n",
    ] {
        assert_eq!(formatted(text), text);
    }
}

/// The files of both samples.
static SAMPLES: LazyLock<Vec<String>> = LazyLock::new(|| {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/saltmarsh-records-centre");
    let mut texts = Vec::new();
    for folder in ["clean", "clean/points", "with-mistakes", "with-mistakes/points"] {
        for file in std::fs::read_dir(root.join(folder)).unwrap() {
            let path = file.unwrap().path();
            if path.extension().is_some_and(|e| e == "yaml") {
                texts.push(std::fs::read_to_string(path).unwrap());
            }
        }
    }
    assert!(texts.len() > 15);
    texts
});

const BITS: [&str; 22] = [
    "", " ", "   ", "{", "}", "[", "]", ",", ":", ": ", "'", "\"", "#", " # é", "\n", "\r\n", "\r", "\t",
    "&a ", "*a", "- ", "𝄞",
];

fn holds(text: &str) {
    let new = formatted(text);
    let squeezed = |text: &str| text.replace(' ', "");
    assert_eq!(squeezed(&new), squeezed(text));
    assert_eq!(formatted(&new), new, "a second time changes more of {text:?}");
    let facts = |text: &str| -> Vec<Facts> {
        File::new(text).pieces().iter().map(|piece| Facts::of(&piece.part)).collect()
    };
    assert_eq!(facts(&new), facts(text), "{text:?}");
    assert_eq!(findings(&new), findings(text), "{text:?}");
}

/// What is found in a job of one file: the check, and what it says.
fn findings(text: &str) -> Vec<(&'static str, String)> {
    let mut job = Workspace::empty(Path::new(""));
    let file = job.open("a.yaml", text);
    job.check(&|_, _| ());
    job.findings(file).map(|(_, finding)| (finding.check.id, finding.shown(job.job()).into_owned())).collect()
}

#[test]
fn the_samples_keep_their_facts() {
    SAMPLES.iter().for_each(|text| holds(text));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]
    #[test]
    fn a_mangled_text_keeps_its_facts(
        file in any::<prop::sample::Index>(),
        cuts in prop::collection::vec((any::<prop::sample::Index>(), 0..4_usize, 0..BITS.len()), 0..12),
        crlf in any::<bool>(),
    ) {
        let mut text = file.get(&SAMPLES).clone();
        for (at, length, bit) in cuts {
            let start = text.floor_char_boundary(at.index(text.len() + 1));
            let end = text.floor_char_boundary((start + length).min(text.len())).max(start);
            text.replace_range(start..end, BITS[bit]);
        }
        holds(&if crlf { text.replace('\n', "\r\n") } else { text });
    }
}
