//! Every form of a report, from sheets made by hand: no job, no folder.

#![allow(clippy::unwrap_used)]

use crate::requirements::{Kept, RequirementLine};
use crate::review::{DeviationLine, FileSpan, FindingLine, RepairLine, Review, UnitLine};
use crate::{
    Form, chart_json, chart_text, drift_json, drift_svg, drift_text, hours_text, review_json, review_lines,
    review_window,
};
use analysis::sheet::{
    Assumption, DayBar, Days, Figures, Forecast, GapAbove, GapSheet, HeldTo, HourAbove, Picture, PictureHour,
    ServiceSheet, ShownWeek, SurfaceMean, UnitSheet, When,
};
use analysis::{Chart, ChartInput, ChartRow, Gap, ServiceVerdict, Verdict, Verdicts};
use calendar::Period;
use checks::{FindingId, Severity};
use model::{EntryId, Name};
use std::sync::Arc;
use syntax::is_unseen;

/// What a stranger may call a thing: another line, a terminal's orders, another direction, markup.
const HOSTILE: &str =
    "U\nHP-9  always  168.0\r\u{1b}[2J\u{1b}]0;t\u{7}\u{9b}1m\u{202e}\u{2028}</text><script>&\"'";

fn when(words: &str) -> When {
    When { unix: 1_811_000_000, words: words.to_owned() }
}

fn days() -> Days {
    Days { from: "2027-01-01".into(), to: "2027-01-07".into(), time_zone: "UTC".into(), hours: 168.0 }
}

fn gap() -> GapSheet {
    GapSheet { from: when("Fri 2027-01-01 17:00"), to: when("Sat 2027-01-02 08:00"), hours: 15.0 }
}

fn unit_sheet(name: &str) -> UnitSheet {
    let halves =
        (0..48).map(|half| Some(if half < 16 { Verdict::Never } else { Verdict::Conditional })).collect();
    let service = ServiceSheet {
        service: name.to_owned(),
        verdict: Verdict::Conditional,
        hours: Some(153.0),
        unless: vec![name.to_owned(), "a heating call".to_owned()],
        unless_complete: false,
        gaps: Some(vec![gap(), gap()]),
        longest_gap: Some(gap()),
        days: vec![DayBar { day: "Fri 2027-01-01".into(), halves }],
    };
    UnitSheet {
        unit: name.to_owned(),
        unit_type: name.to_owned(),
        zone: Some(name.to_owned()),
        period: Days { time_zone: name.to_owned(), ..days() },
        services: vec![service],
        limits: Vec::new(),
        week: Some(ShownWeek { from: "2027-01-01".into(), outside: 6, days: 7 }),
    }
}

fn chart(name: &str) -> Chart {
    let name = Name::new(name);
    let input = ChartInput { name: name.clone(), terminal: Some(name.clone()), wired: name.to_string() };
    Chart {
        unit: name.clone(),
        unit_type: name.clone(),
        options: vec![(name.clone(), name.clone())],
        undecided: vec![name.clone()],
        inputs: vec![input],
        outputs: vec![name],
        rows: vec![
            ChartRow { inputs: vec![Some(true)], outputs: vec![true] },
            ChartRow { inputs: vec![Some(false)], outputs: vec![false] },
        ],
        complete: false,
    }
}

fn forecast(name: &str) -> Forecast {
    let hour = || HourAbove {
        at: when("Fri 2027-01-01 20:00"),
        dew_point: 15.5,
        dew_point_words: "59.9 °F".into(),
        relative_humidity: 61.2,
        limit: Some(name.to_owned()),
    };
    let figures = |above| Figures {
        hours: 168,
        above,
        above_in_gaps: 3,
        worst_hour: Some(hour()),
        worst_gap: Some(GapAbove {
            from: when("Fri 2027-01-01 17:00"),
            to: when("Sat 2027-01-02 08:00"),
            hours: 15.0,
            crosses_after: 2.25,
            worst: hour(),
        }),
        surface: Some(SurfaceMean {
            until: when("Sat 2027-01-02 08:00"),
            days: 30,
            relative_humidity: 71.0,
            temperature: 12.0,
            temperature_words: "53.6 °F".into(),
            favours_mould: false,
        }),
    };
    let hours = [58.0, 59.5, 61.0, 60.0].map(|dew_point| PictureHour {
        dew_point,
        limit: Some(60.0),
        may_dry: dew_point < 59.0,
    });
    Forecast {
        zone: name.to_owned(),
        period: Days { time_zone: name.to_owned(), ..days() },
        weather: name.to_owned(),
        missing_hours: 2,
        held_to: vec![HeldTo { limit: name.to_owned(), source: name.to_owned() }],
        mould: Some(80.0),
        result: figures(9),
        tight: figures(7),
        leaky: figures(12),
        assumptions: vec![Assumption {
            name: name.to_owned(),
            value: name.to_owned(),
            source: name.to_owned(),
            default: true,
        }],
        picture: Some(Picture {
            from: when("Fri 2027-01-01 17:00"),
            to: when(name),
            hours: hours.into(),
            scale: "°F".into(),
        }),
    }
}

fn verdicts(name: &str) -> Verdicts {
    let service = ServiceVerdict {
        service: Name::new("dehumidification"),
        verdict: Verdict::Conditional,
        hours: Some(153.0),
        gaps: Some(2),
        longest_gap: Some(Gap { from: 1_798_822_800, to: 1_798_876_800 }),
        unless: vec![name.to_owned(), "a heating call".to_owned()],
        cut_short: false,
    };
    Verdicts { services: vec![service], period_hours: 168.0 }
}

fn review<'w>(name: &'w str, verdicts: &'w Verdicts) -> Review<'w> {
    let place = FileSpan { library: false, file: name, from: (3, 5), to: (3, 9) };
    let line = FindingLine {
        id: FindingId::default(),
        place,
        severity: Severity::Error,
        message: name.into(),
        check: "wrong-value",
        because: [(place, name)].into(),
        follows: None,
        repairs: Some(vec![RepairLine {
            title: name.to_owned(),
            effect: Some(name.to_owned()),
            safe: true,
            edits: vec![(place, name.to_owned())],
        }]),
        bytes: 0..0,
        entry: EntryId(0),
        number: 0,
    };
    let requirement =
        RequirementLine { zone: name, asks: name.to_owned(), kept: Kept::Missed, detail: name.to_owned() };
    let deviation = DeviationLine { place, check: name, reason: name, hidden: vec![name.into()] };
    Review {
        site: Some(name),
        requirements: vec![requirement],
        files_read: 2,
        left_out: &[],
        findings: vec![line],
        deviations: vec![deviation],
        units: vec![UnitLine { unit: name, verdicts, entry: EntryId(0) }],
        period: Some(Arc::new(Period::new("UTC", "2027-01-01".parse().unwrap(), 7).unwrap())),
        ..Review::default()
    }
}

fn review_of(name: &str, coloured: bool) -> String {
    let (verdicts, mut text) = (verdicts(name), String::new());
    let put = |piece: &str| {
        text.push_str(piece);
        Ok(())
    };
    review_lines(&review(name, &verdicts), &format!("{name}/"), &form(coloured), put).unwrap();
    text
}

fn form(coloured: bool) -> Form {
    Form { width: Form::WIDTH, coloured, from: Severity::Note, reasons: true }
}

fn window_of(name: &str, coloured: bool) -> String {
    let (verdicts, mut text) = (verdicts(name), String::new());
    let put = |piece: &str| {
        text.push_str(piece);
        Ok(())
    };
    review_window(&review(name, &verdicts), &form(coloured), put).unwrap();
    text
}

/// Each text about a name.
fn texts(name: &str) -> [(&'static str, String); 5] {
    [
        ("window", window_of(name, false)),
        ("review", review_of(name, false)),
        ("hours", hours_text(&unit_sheet(name))),
        ("chart", chart_text(&chart(name))),
        ("drift", drift_text(&forecast(name))),
    ]
}

#[test]
fn no_name_acts_on_a_terminal_or_makes_a_line() {
    for ((form, text), (_, plain)) in texts(HOSTILE).into_iter().zip(texts("U HP-9 always 168.0 <script>")) {
        assert!(!text.contains(|c: char| c != '\n' && is_unseen(c)), "{form}: {text:?}");
        assert!(text.contains("\\u{a}HP-9") && text.contains("\\u{1b}[2J"), "{form}: {text}");
        assert!(text.lines().all(|line| !line.starts_with("HP-9")), "{form}: {text}");
        // What is wrapped may take more lines; nothing else does.
        if form == "review" || form == "hours" {
            assert_eq!(text.lines().count(), plain.lines().count(), "{form}: {text}");
        }
    }
}

/// The only codes on a terminal are the report's own.
#[test]
fn colours_are_the_only_codes() {
    for text in [review_of(HOSTILE, true), window_of(HOSTILE, true)] {
        for code in text.split('\u{1b}').skip(1) {
            let (order, _) = code.split_once('m').unwrap();
            assert!(
                order.starts_with('[') && order[1..].chars().all(|c| c.is_ascii_digit() || c == ';'),
                "{order:?}"
            );
        }
        assert!(!text.contains('\u{9b}') && !text.contains('\u{202e}'));
    }
}

#[test]
fn no_name_is_markup_in_a_drawing() {
    let svg = drift_svg(&forecast(HOSTILE)).unwrap();
    assert!(!svg.contains("<script"), "{svg}");
    assert!(svg.contains("&lt;script&gt;&amp;&quot;"), "{svg}");
    assert!(!svg.contains(|c: char| c != '\n' && is_unseen(c)), "{svg:?}");
    assert_eq!(svg.matches("<text").count(), svg.matches("</text>").count());
    assert_eq!(
        svg.matches("<text").count(),
        drift_svg(&forecast("stacks")).unwrap().matches("<text").count()
    );
    let without = Forecast { picture: None, ..forecast("stacks") };
    assert_eq!(drift_svg(&without).unwrap_err(), "nothing can be drawn for `stacks`");
}

/// A program gets every name as it is.
#[test]
fn json_holds_names_as_they_are() {
    let verdicts = verdicts(HOSTILE);
    let whole: serde_json::Value =
        serde_json::from_str(&review_json(&review(HOSTILE, &verdicts), Severity::Note)).unwrap();
    assert_eq!(whole["findings"][0]["message"], HOSTILE);
    assert_eq!((&whole["site"], &whole["counts"]["errors"]), (&HOSTILE.into(), &1.into()));
    assert_eq!(whole["version"], env!("CARGO_PKG_VERSION"));
    assert_eq!(whole["findings"][0]["repairs"][0]["edits"][0]["new"], HOSTILE);
    assert_eq!(whole["verdicts"][0]["unit"], HOSTILE);
    assert_eq!(whole["verdicts"][0]["longest-gap"]["hours"], 15.0);
    assert_eq!(whole["deviations"][0]["reason"], HOSTILE);
    let chart = chart_json(&chart(HOSTILE));
    assert_eq!((&chart["unit"], &chart["rows"][0]["inputs"][HOSTILE]), (&HOSTILE.into(), &true.into()));
    let drift = drift_json(&forecast(HOSTILE));
    assert_eq!((&drift["zone"], &drift["result"]["worst-gap"]["limit"]), (&HOSTILE.into(), &HOSTILE.into()));
    let sheet = serde_json::to_value(unit_sheet(HOSTILE)).unwrap();
    assert_eq!((&sheet["type"], &sheet["services"][0]["verdict"]), (&HOSTILE.into(), &"conditional".into()));
}

#[test]
fn hours_are_laid_out() {
    let text = hours_text(&unit_sheet("HP-1"));
    let expected = "\
HP-1, 2027-01-01 to 2027-01-07, HP-1

HP-1: conditional
  can run 153 of 168 h (91 %)
  unless HP-1
      or a heating call
      or more, which are not listed
  2 gaps, the longest 15 h: Fri 2027-01-01 17:00 to Sat 2027-01-02 08:00
                 0     3     6     9     12    15    18    21
  Fri 2027-01-01 ................++++++++++++++++++++++++++++++++
                 # whenever called for, + unless blocked, . never
                 blank outside the review period
";
    assert_eq!(text, expected);
    let outside = ShownWeek { from: "2030-01-07".into(), outside: 7, days: 7 };
    let text = hours_text(&UnitSheet { week: Some(outside), ..unit_sheet("HP-1") });
    assert!(
        text.ends_with(
            "\nthe week from 2030-01-07 lies outside the review period, so nothing is known of it\n"
        )
    );
    assert!(!text.contains('#'), "{text}");
}

#[test]
fn a_review_is_laid_out() {
    let expected = "\
points.yaml/points.yaml:3:5: error: points.yaml [wrong-value]
    points.yaml/points.yaml:3:5:  points.yaml

Deviations
  points.yaml/points.yaml:3:5: points.yaml: points.yaml
      hides: points.yaml

When each unit can dehumidify, 2027-01-01 to 2027-01-07, UTC
  unit         verdict                                h a week  longest gap
  points.yaml  unless points.yaml or a heating call     153.0         15 h  Fri Jan 1 17:00 to Sat Jan 2 08:00

1 error, 0 warnings, 0 notes, 1 deviation
";
    let squeezed = |text: &str| {
        text.lines().map(|line| line.split_whitespace().collect::<Vec<_>>().join(" ")).collect::<Vec<_>>()
    };
    assert_eq!(squeezed(&review_of("points.yaml", false)), squeezed(expected));
}
