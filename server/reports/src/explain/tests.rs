//! Every name has a page, and every example is one.

#![allow(clippy::unwrap_used)]

use super::*;
use crate::table::width;
use checks::Severity;
use std::path::Path;
use workspace::Workspace;

fn review(text: &str) -> Vec<(String, Severity, String)> {
    let mut workspace = Workspace::empty(Path::new("/job"));
    let file = workspace.open("site.yaml", text);
    workspace.check(&|_, _| {});
    let shown = |f: &checks::Finding| (f.check.id.to_owned(), f.severity, f.message.clone());
    workspace.findings(file).map(|(_, f)| shown(f)).collect()
}

#[test]
fn the_example_has_every_section_and_no_error() {
    for kind in Kind::ALL {
        assert!(!section_example(kind.section()).is_empty(), "no example of {}", kind.section());
    }
    let errors: Vec<_> =
        review(EXAMPLE).into_iter().filter(|(_, severity, _)| *severity == Severity::Error).collect();
    assert!(errors.is_empty(), "{errors:#?}");
}

/// An example that stands alone is read as what it is; what it lacks beside it is another matter.
#[test]
fn every_key_has_a_page_and_its_example_can_be_read() {
    let mut examples = 0;
    for key in keys() {
        let page = explain(&key.dotted()).unwrap();
        assert!(page.contains(key.field.text.split_whitespace().next().unwrap()), "{page}");
        let lines = page.lines().filter(|line| width(line) > WIDTH);
        assert_eq!(lines.collect::<Vec<_>>(), [""; 0], "{page}");
        let Some(example) = shapes::example(key.field.shape) else { continue };
        let [section, above @ .., last] = key.path.as_slice() else { continue };
        // Names that a job chooses stand between some keys; only what is right below an entry is tried.
        if !above.is_empty() {
            continue;
        }
        examples += 1;
        let text = match *section {
            "site" => format!("site:\n  {last}: {example}\n"),
            "requirements" => format!("requirements:\n  - {{{last}: {example}}}\n"),
            "calendars" => format!("calendars:\n  X:\n    - {{{last}: {example}}}\n"),
            section => format!("{section}:\n  X:\n    {last}: {example}\n"),
        };
        let unread = ["syntax-error", "key-unknown", "unit-of-measure-missing"];
        let found = review(&text);
        assert!(!found.iter().any(|(check, ..)| unread.contains(&check.as_str())), "{text}{found:?}");
    }
    assert!(examples > 20, "{examples}");
}

#[test]
fn a_name_stands_for_a_check_a_type_a_section_or_a_key() {
    let starts = |name: &str, with: &str| {
        let page = explain(name).unwrap();
        assert!(page.starts_with(with), "{name}: {page}");
    };
    starts(
        "dehumidification-gap",
        "dehumidification-gap (warning; Unit logic against schedules and setpoints)",
    );
    starts("stand-alone-dehumidifier", "# ");
    starts("zones", "zones: a section");
    starts("zones:", "zones: a section");
    starts("units.inputs", "units.inputs (may be left out)");
    starts("driven-by", "points.driven-by (may be left out)");
    starts("driven-by.call", "points.driven-by.call (may be left out)");
    assert!(explain("units").unwrap().contains("points.units (may be left out)"));
    assert!(explain("zone").unwrap().matches(".zone (").count() > 2);
}

#[test]
fn a_name_that_nothing_has_brings_those_near_it() {
    let said = |name: &str| explain(name).unwrap_err();
    assert!(said("dehumidifier").contains("`stand-alone-dehumidifier`"), "{}", said("dehumidifier"));
    assert!(said("heat-pump").contains("`heat-pump-with-hot-gas-reheat`"), "{}", said("heat-pump"));
    assert!(said("unit").contains("`units`"), "{}", said("unit"));
    assert!(said("drivenby").contains("`driven-by`"), "{}", said("drivenby"));
    assert!(said("units.input").contains("`units.inputs`"), "{}", said("units.input"));
    assert!(said("yaml-broken").contains("It was renamed to `syntax-error`"), "{}", said("yaml-broken"));
    assert!(said("qqqqqq").contains("`drycall explain` lists"), "{}", said("qqqqqq"));
}

#[test]
fn the_contents_name_everything() {
    let contents = contents();
    for check in ALL {
        assert!(contents.contains(&format!("  {} (", check.id)), "{}", check.id);
        assert!(checks::family(check).is_some());
    }
    for (file, page) in LIBRARY {
        assert!(
            contents.contains(&format!("  {}\n", type_name(file))) && !in_a_line(page).is_empty(),
            "{file}"
        );
    }
    assert!(contents.lines().all(|line| width(line) <= WIDTH), "{contents}");
}
