#![allow(clippy::unwrap_used, clippy::panic)]
use super::{Link, PAGE_STYLE, STYLE, link, pieces, week_svg};
use analysis::sheet::UnitPage;
use std::path::Path;
use workspace::Workspace;

fn sample() -> Workspace {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    Workspace::load(&root.join("samples/saltmarsh-records-centre/with-mistakes"), &|_, _| {})
}

fn page(workspace: &Workspace, unit: &str, from: Option<&str>) -> UnitPage<Link> {
    let locate = |place: &model::Place| {
        link(workspace, place).map(|link| Link { go: Some(format!("{}:{}", link.file, link.line)), ..link })
    };
    workspace.unit_page(unit, None, from.map(|date| date.parse().unwrap()), &locate).unwrap()
}

/// Whether all that is opened is closed, in order, with every attribute quoted.
fn well_formed(text: &str) -> Result<(), String> {
    let mut open: Vec<&str> = Vec::new();
    let mut rest = text;
    while let Some(at) = rest.find('<') {
        let (before, tag) = rest.split_at(at);
        if before.contains('>') {
            return Err(format!("a stray > in {before:?}"));
        }
        let end = tag.find('>').ok_or("a tag that does not end")?;
        let (inside, behind) = (&tag[1..end], &tag[end + 1..]);
        if inside.contains('<') || inside.matches('"').count() % 2 == 1 {
            return Err(format!("a broken tag {inside:?}"));
        }
        let name = inside.split([' ', '/']).find(|part| !part.is_empty()).unwrap_or("");
        if inside.starts_with('/') {
            let opened = open.pop();
            if opened != Some(name) {
                return Err(format!("</{name}> closes {opened:?}"));
            }
        } else if !inside.ends_with('/') && !["br", "input"].contains(&name) {
            open.push(name);
        }
        // What a style says is no markup.
        rest = if name == "style" && !inside.starts_with('/') {
            &behind[behind.find("</style>").ok_or("a style that does not end")?..]
        } else {
            behind
        };
    }
    if open.is_empty() { Ok(()) } else { Err(format!("left open: {open:?}")) }
}

#[test]
fn a_gap_over_midnight_is_joined_and_measured() {
    let workspace = sample();
    let svg = week_svg(&page(&workspace, "CR-1", None));
    for told in [
        "CR-1 cannot dehumidify stacks for 228.5 h, Fri Mar 5 18:00 to Mon Mar 15 07:30",
        ">228.5 h gap<",
        "goes on 78.5 h more, to Mon Mar 15 07:30",
        ">07:30<",
        ">18:00<",
        "Stocktaking week",
    ] {
        assert!(svg.contains(told), "{told}");
    }
    // The first row is left on one side for the gap before, both sides for the long one; each row in between on both.
    assert_eq!(svg.matches("class=\"wedge\" d=\"M-6").count(), 7);
    assert_eq!(svg.matches("class=\"wedge\" d=\"M1.5").count(), 7);
    // Its length once beside the rows, once where it begins.
    assert_eq!(svg.matches("class=\"length\"").count(), 1);
}

#[test]
fn a_page_opens_on_the_longest_gap_else_on_the_week_there_is_most_often() {
    let workspace = sample();
    assert_eq!(page(&workspace, "CR-1", None).week.from, "2027-03-05");
    let frequent = page(&workspace, "AC-2", None);
    assert_eq!(frequent.longest_gap, None);
    assert_eq!(frequent.week.from, "2027-01-04");
    // A gap without end says nothing about its first week.
    assert_ne!(page(&workspace, "HP-2", None).week.from, "2027-01-01");
    assert_eq!(page(&workspace, "CR-1", Some("2027-06-07")).week.from, "2027-06-07");
}

#[test]
fn every_page_is_well_formed_and_the_same_each_time() {
    let workspace = sample();
    for unit in workspace.unit_names() {
        // The week of a clock change, one at the edge of the period, and the one that a page opens on.
        for from in [None, Some("2027-03-10"), Some("2027-11-05"), Some("2027-12-29"), Some("2026-12-28")] {
            let page = page(&workspace, &unit, from);
            let board =
                workspace.board(&page.service, page.week.from.parse().unwrap(), &|p| link(&workspace, p));
            let made = pieces(&page, board.as_ref(), None);
            assert_eq!(made, pieces(&page, board.as_ref(), None));
            for piece in [
                &made.job,
                &made.board,
                &made.headline,
                &made.week,
                &made.why,
                &made.year,
                &made.ladder,
                &made.choices,
                &made.svg,
            ] {
                well_formed(piece).unwrap_or_else(|why| panic!("{unit} {from:?}: {why}\n{piece}"));
                assert!(!piece.contains("style=") && !piece.contains("<script"), "{unit}");
            }
        }
    }
}

#[test]
fn nothing_of_a_job_is_markup() {
    let mut workspace = Workspace::empty(Path::new("/job"));
    workspace.open(
        "site.yaml",
        "site: {name: '<b>&\"', time-zone: UTC}\n\
         units: {'<i>\"&': {type: stand-alone-dehumidifier, zone: '<z>', inputs: {dehumidify: '\"><x'}}}\n\
         zones: {'<z>': {schedule: '<s>'}}\npoints: {'\"><x': {driven-by: {contact: field}}}\n\
         schedules: {'<s>': {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:00}}}\n",
    );
    let page = page(&workspace, "<i>\"&", None);
    let board = workspace.board(&page.service, page.week.from.parse().unwrap(), &|p| link(&workspace, p));
    let made = pieces(&page, board.as_ref(), None);
    for piece in [&made.job, &made.board, &made.headline, &made.week, &made.why, &made.year, &made.svg] {
        well_formed(piece).unwrap_or_else(|why| panic!("{why}\n{piece}"));
        assert!(["<i>", "<b>&\"", "<z>", "<x", "<s>"].iter().all(|raw| !piece.contains(raw)), "{piece}");
    }
}

#[test]
fn what_blocks_is_lit_and_what_the_job_says_stands_apart() {
    let workspace = sample();
    let page = page(&workspace, "CR-1", None);
    let made = pieces(&page, None, None);
    // The first track of the day on which the gap begins.
    let (_, behind) = made.week.split_once("dry-call lit").unwrap();
    assert!(behind.starts_with(
        "\" role=\"row\" hidden><div class=\"dry-name\" role=\"rowheader\"><code>occupied</code>"
    ));
    assert!(
        behind.contains(">off: blocks<")
            && behind.contains(">blocks when on<")
            && behind.contains(">not wired<")
    );
    let (job, unit_type) = made.why.split_once("How this unit works").unwrap();
    assert!(job.contains("What this job says") && job.contains("units.yaml:57"));
    assert!(
        !job.contains("cooling-with-electric-reheat.yaml")
            && unit_type.contains("cooling-with-electric-reheat.yaml")
    );
}

#[test]
fn without_weather_nothing_is_predicted() {
    let mut workspace = Workspace::empty(Path::new("/job"));
    workspace.open(
        "site.yaml",
        "site: {time-zone: UTC}\nunits: {U: {type: stand-alone-dehumidifier, zone: z}}\nzones: {z: {}}\n",
    );
    let made = pieces(&page(&workspace, "U", None), None, None);
    assert!(made.year.contains("No weather for z: nothing is predicted."), "{}", made.year);
    assert!(
        pieces(&page(&sample(), "CR-1", None), None, None).year.contains("Predicted, which proves nothing")
    );
}

#[test]
fn a_clock_change_is_told_beside_its_day() {
    let workspace = sample();
    let made = pieces(&page(&workspace, "CR-1", Some("2027-03-10")), None, None);
    assert!(made.week.contains("<small>clocks go from 02:00 to 03:00</small>"));
}

/// With `DRYCALL_UPDATE=1` writes the files instead.
#[test]
#[allow(clippy::disallowed_methods)]
fn the_extension_has_the_looks_of_the_drawings() {
    let media = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../editors/vscode/media");
    for (name, style) in [("drawing.css", STYLE), ("page.css", PAGE_STYLE)] {
        if std::env::var_os("DRYCALL_UPDATE").is_some() {
            std::fs::write(media.join(name), style).unwrap();
        }
        let found = std::fs::read_to_string(media.join(name)).unwrap_or_default();
        assert!(
            found == style,
            "{name} of the extension is out of step: run the tests with DRYCALL_UPDATE=1"
        );
    }
}
