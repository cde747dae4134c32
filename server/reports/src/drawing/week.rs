//! A unit's week: seven rows on one scale of hours.

use super::marks::{Label, Room, bar, escaped, grid, look, of_day, share};
use super::words::{clock, hours, state};
use super::{Link, measure, tracks};
use analysis::Verdict;
use analysis::sheet::page::{DayPage, Stretch, UnitPage};
use std::fmt::Write as _;

/// Height of a day.
pub(super) const DAY: f64 = 32.0;
/// Where a bar begins and how high it is.
const BAR: (f64, f64) = (14.0, 12.0);
/// Room that the time at a joint takes.
const TIME: f64 = 36.0;

/// The scale of hours, without the lines below it.
pub(super) fn scale(room: Room) -> String {
    let mut svg = String::new();
    for hour in (0..=24).step_by(3) {
        let between = if hour % 6 == 3 { room.needs(330.0) } else { Some(String::new()) };
        let Some(class) = between else { continue };
        let at = share(f64::from(hour) / 24.0);
        let _ = write!(
            svg,
            "<text class=\"hour{class}\" x=\"{at}\" y=\"12\" text-anchor=\"middle\">{hour}</text>"
        );
    }
    svg
}

/// A day's marks, 32 pixels high; with `live` its stretches can be chosen.
pub(super) fn day(page: &UnitPage<Link>, number: usize, room: Room, live: bool) -> String {
    let mut svg = String::new();
    let Some(day) = page.week.days.get(number) else { return svg };
    grid(&mut svg, 10.0, 28.0);
    if !day.inside {
        let words = Label {
            long: "outside the review period",
            short: "outside",
            of: 1.0,
            at: 0.0,
            y: 24.0,
            class: "mute",
            plate: false,
        };
        return svg + &words.svg(room);
    }
    let before = number.checked_sub(1).and_then(|before| page.week.days.get(before));
    let mut cells = String::new();
    for (n, stretch) in day.stretches.iter().enumerate() {
        let (from, to) = (of_day(stretch.from), of_day(stretch.to));
        let verdict = page.week.states.get(stretch.state).map_or(Verdict::NotProven, |state| state.verdict);
        svg += &bar(look(verdict), from, to, BAR.0, BAR.1);
        if live {
            cells += &cell(page, day, (number, n), stretch);
        }
    }
    for span in &day.broken {
        let (from, to) = (share(of_day(span.from)), share(of_day(span.to)));
        let _ = write!(svg, "<line class=\"breaks\" x1=\"{from}\" x2=\"{to}\" y1=\"28.5\" y2=\"28.5\"/>");
    }
    svg += "<line class=\"idle\" x1=\"0\" x2=\"100%\" y1=\"11.5\" y2=\"11.5\"/>";
    for span in &day.occupied {
        let (from, to) = (share(of_day(span.from)), share(of_day(span.to)));
        let _ = write!(svg, "<line class=\"busy\" x1=\"{from}\" x2=\"{to}\" y1=\"11.5\" y2=\"11.5\"/>");
    }
    joints(&mut svg, day, room);
    for stretch in &day.stretches {
        svg += &label(page, number, before, stretch, room);
    }
    svg += &wedges(page, number);
    svg + &cells
}

/// The times at which something changes, each where there is room behind the one before.
fn joints(svg: &mut String, day: &DayPage<Link>, room: Room) {
    let mut minutes: Vec<u16> = day.stretches.iter().flat_map(|s| [s.from, s.to]).collect();
    minutes.extend(day.occupied.iter().flat_map(|span| [span.from, span.to]));
    minutes.sort_unstable();
    minutes.dedup();
    let mut last = 0.0;
    for minute in minutes.into_iter().filter(|minute| (1..1440).contains(minute)) {
        let at = of_day(minute);
        let (x, words) = (share(at), clock(minute));
        let _ = write!(svg, "<line class=\"tick\" x1=\"{x}\" x2=\"{x}\" y1=\"9\" y2=\"14\"/>");
        if let Some(class) = room.needs(TIME / (at - last)) {
            let _ = write!(
                svg,
                "<text class=\"time{class}\" x=\"{x}\" y=\"8\" text-anchor=\"middle\">{words}</text>"
            );
            last = at;
        }
    }
}

/// What stands in a stretch, where it says more than the day before did there.
fn label(
    page: &UnitPage<Link>,
    number: usize,
    before: Option<&DayPage<Link>>,
    stretch: &Stretch<Link>,
    room: Room,
) -> String {
    let Some(state) = page.week.states.get(stretch.state) else { return String::new() };
    let again = |other: &Stretch<Link>| {
        (other.from, other.to, other.state) == (stretch.from, stretch.to, stretch.state)
    };
    let told = before.is_some_and(|day| day.stretches.iter().any(again));
    let (long, short) = match (state.verdict, stretch.gap.and_then(|gap| page.week.gaps.get(gap))) {
        (_, Some(gap)) => {
            // Its length stands where it begins, and beside the rows that it runs through.
            if stretch.goes_on_from && (number > 0 || stretch.from > 0) {
                return String::new();
            }
            let long = if stretch.goes_on_from {
                format!("{} gap from {}", hours(gap.hours), lately(&gap.from_short, gap.hours))
            } else {
                format!("{} gap", hours(gap.hours))
            };
            (long, hours(gap.hours))
        }
        _ if told => return String::new(),
        (Verdict::Always, _) => ("can run when called".to_owned(), String::new()),
        (Verdict::NotProven, _) => ("not proven".to_owned(), "?".to_owned()),
        _ => (state.yields.clone(), state.yields_short.clone()),
    };
    let label = Label {
        long: &long,
        short: &short,
        of: of_day(stretch.to) - of_day(stretch.from),
        at: of_day(stretch.from),
        y: 24.0,
        class: if state.verdict == Verdict::Always { "on-solid" } else { "said" },
        plate: state.verdict == Verdict::Never,
    };
    label.svg(room)
}

/// A moment of the week before by its weekday alone: `Thu 18:00`.
fn lately(moment: &str, hours: f64) -> String {
    match moment.split(' ').collect::<Vec<_>>().as_slice() {
        [day, .., clock] if hours < 6.0 * 24.0 => format!("{day} {clock}"),
        _ => moment.to_owned(),
    }
}

/// Wedges at the edges of a day that a gap runs over.
fn wedges(page: &UnitPage<Link>, number: usize) -> String {
    let (from, to) = measure::goes_on(page, number);
    let mut svg = String::new();
    if from.is_some() {
        svg += "<path class=\"wedge\" d=\"M-6 16 l4.5 4 l-4.5 4z\"/>";
    }
    if to.is_some() {
        svg += "<svg x=\"100%\" overflow=\"visible\"><path class=\"wedge\" d=\"M1.5 16 l4.5 4 l-4.5 4z\"/></svg>";
    }
    svg
}

/// A stretch that can be chosen: what it is in words, and where its cause is written.
fn cell(
    page: &UnitPage<Link>,
    day: &DayPage<Link>,
    (d, n): (usize, usize),
    stretch: &Stretch<Link>,
) -> String {
    let words = words(page, day, stretch);
    let why = page.week.states.get(stretch.state).map_or(&[][..], |state| &state.because);
    let go = stretch.line.iter().chain(why).find_map(|why| why.at.go.as_deref());
    let go = go.map_or_else(String::new, |go| format!(" data-go=\"{}\"", escaped(go)));
    let (x, width) = (share(of_day(stretch.from)), share(of_day(stretch.to) - of_day(stretch.from)));
    let gap = stretch.gap.map_or_else(String::new, |gap| format!(" data-gap=\"{gap}\""));
    format!(
        "<g class=\"stretch\" role=\"gridcell\" tabindex=\"-1\" data-day=\"{d}\" data-stretch=\"{n}\" data-from=\"{}\" \
         data-to=\"{}\"{gap}{go} aria-label=\"{}\"><rect class=\"hit\" x=\"{x}\" width=\"{width}\" y=\"8\" height=\"23\"/></g>",
        stretch.from,
        stretch.to,
        escaped(&words)
    )
}

/// `Fri Mar 5, 18:00 to 24:00: cannot run, gap of 228.5 h to Mon Mar 15 07:30`.
fn words(page: &UnitPage<Link>, day: &DayPage<Link>, stretch: &Stretch<Link>) -> String {
    let said = page.week.states.get(stretch.state).map_or_else(String::new, state);
    let gap = stretch.gap.and_then(|gap| page.week.gaps.get(gap)).map_or_else(String::new, |gap| {
        let breaks = if gap.breaks { ", breaks a requirement" } else { "" };
        format!(", gap of {}, {} to {}{breaks}", hours(gap.hours), gap.from_short, gap.to_short)
    });
    format!("{}, {} to {}: {said}{gap}", day.name, clock(stretch.from), clock(stretch.to))
}

/// The week as a grid for a page.
pub(super) fn html(page: &UnitPage<Link>) -> String {
    let label = format!("Week of {} from {}, {}", page.unit, page.week.from_words, page.service);
    let mut html = format!("<div class=\"dry-week\" role=\"grid\" aria-label=\"{}\">", escaped(&label));
    let _ = write!(
        html,
        "<div class=\"dry-hours\" aria-hidden=\"true\"><span class=\"dry-name\"></span><div class=\"dry-track\">\
         <svg width=\"100%\" height=\"18\" overflow=\"visible\">{}</svg></div><span class=\"dry-measure\"></span></div>",
        scale(Room::Fluid)
    );
    for (number, day) in page.week.days.iter().enumerate() {
        let holiday = if day.holidays.is_empty() { "" } else { " holiday" };
        let small: String = shown_notes(page, number)
            .iter()
            .map(|note| format!("<small>{}</small>", escaped(note)))
            .collect();
        let all: String = notes(day).iter().map(|note| format!(", {}", escaped(note))).collect();
        let _ = write!(
            html,
            "<div class=\"dry-group{holiday}\" role=\"rowgroup\" data-day=\"{number}\" aria-label=\"{name}{all}\">\
             <div class=\"dry-day\" role=\"row\"><div class=\"dry-name\" role=\"rowheader\" data-day=\"{number}\">{name}{small}</div>\
             <div class=\"dry-track\" role=\"none\"><svg role=\"none\" width=\"100%\" height=\"{DAY}\" overflow=\"visible\">{}</svg></div>\
             <div class=\"dry-measure\" role=\"none\"><svg aria-hidden=\"true\" width=\"100%\" height=\"100%\" overflow=\"visible\">{}</svg></div></div>{}</div>",
            self::day(page, number, Room::Fluid, true),
            measure::day(page, number),
            tracks::html(page, number),
            name = escaped(&day.name),
        );
    }
    html + &measure::rest(page).map_or_else(String::new, |rest| {
        format!("<p class=\"dry-rest\" aria-hidden=\"true\">{}</p>", escaped(&rest))
    }) + "</div>"
}

/// What calendars and clocks say of a day.
fn notes(day: &DayPage<Link>) -> Vec<&str> {
    day.holidays.iter().chain(&day.clock).map(String::as_str).collect()
}

/// The same without the holiday that the day before has told of.
pub(super) fn shown_notes(page: &UnitPage<Link>, number: usize) -> Vec<&str> {
    let Some(day) = page.week.days.get(number) else { return Vec::new() };
    let before = number.checked_sub(1).and_then(|before| page.week.days.get(before));
    let told = before.is_some_and(|before| before.holidays == day.holidays);
    if told { day.clock.iter().map(String::as_str).collect() } else { notes(day) }
}
