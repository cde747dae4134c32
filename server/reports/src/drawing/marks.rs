//! What all drawings are made of: places as shares of a width, texts that show only where they fit, hatching.

use std::fmt::Write as _;
use syntax::visible;

/// The name of the hatching that stands for "cannot run".
pub(super) const HATCH: &str = "dry-hatch";

/// A text as the content of an element or an attribute. XML has no place for control characters at all.
pub(crate) fn escaped(text: &str) -> String {
    visible(text).replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

/// Words with names in backquotes, these set as code.
pub(super) fn code(words: &str) -> String {
    let mut html = String::new();
    for (n, part) in words.split('`').enumerate() {
        let part = escaped(part);
        let _ = if n % 2 == 1 { write!(html, "<code>{part}</code>") } else { write!(html, "{part}") };
    }
    html
}

/// Words with names in backquotes as plain text.
pub(super) fn plain(words: &str) -> String {
    escaped(&words.replace('`', ""))
}

/// A share of a width: `31.25%`.
pub(super) fn share(part: f64) -> String {
    let text = format!("{:.3}", part * 100.0);
    let text = text.trim_end_matches('0').trim_end_matches('.');
    format!("{text}%")
}

/// A minute of a day as a share of its width.
pub(super) fn of_day(minute: u16) -> f64 {
    f64::from(minute) / 1440.0
}

/// How wide a drawing is.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) enum Room {
    /// So many pixels.
    Fixed(f64),
    /// As wide as there is room: what fits only in a wide one says so by its class.
    Fluid,
}

/// Widths in pixels that the style knows.
const WIDTHS: [u32; 12] = [120, 160, 200, 240, 280, 330, 390, 460, 540, 640, 760, 900];

impl Room {
    /// The class of something that needs a width; nothing where it is never to be shown.
    pub(super) fn needs(self, width: f64) -> Option<String> {
        match self {
            Room::Fixed(room) => (width <= room).then(String::new),
            Room::Fluid => {
                let known = WIDTHS.into_iter().find(|known| width <= f64::from(*known))?;
                Some(if known == WIDTHS[0] { String::new() } else { format!(" need-{known}") })
            }
        }
    }

    /// The class of what stands in where something that needs a width is not shown.
    pub(super) fn below(self, width: f64) -> Option<String> {
        match self {
            Room::Fixed(room) => (width > room).then(String::new),
            Room::Fluid => match WIDTHS.into_iter().find(|known| width <= f64::from(*known)) {
                Some(known) => (known != WIDTHS[0]).then(|| format!(" below-{known}")),
                None => Some(String::new()),
            },
        }
    }
}

/// About how wide a text of 11 pixels is.
pub(super) fn width(text: &str) -> f64 {
    text.chars()
        .map(|c| if matches!(c, 'i' | 'l' | '.' | ',' | ' ' | ':' | 'f' | 't' | 'j') { 3.7 } else { 6.6 })
        .sum()
}

/// A text of which there is a short form, in a stretch that is a share of the width.
pub(super) struct Label<'t> {
    pub(super) long: &'t str,
    pub(super) short: &'t str,
    /// The share of the width that the stretch takes.
    pub(super) of: f64,
    /// Where the stretch begins, as a share of the width.
    pub(super) at: f64,
    /// The text's baseline in pixels.
    pub(super) y: f64,
    pub(super) class: &'static str,
    /// Whether a plate of paper lies under it.
    pub(super) plate: bool,
}

impl Label<'_> {
    pub(super) fn svg(&self, room: Room) -> String {
        let needs = |text: &str| (width(text) + 12.0) / self.of.max(1e-6);
        let mut svg = String::new();
        let long = needs(self.long);
        if let Some(class) = room.needs(long) {
            svg += &self.one(self.long, &class);
        }
        if !self.short.is_empty() && self.short != self.long {
            let (shown, fits) = (room.below(long), room.needs(needs(self.short)));
            if let (Some(below), Some(needs)) = (shown, fits) {
                svg += &self.one(self.short, &format!("{below}{needs}"));
            }
        }
        svg
    }

    fn one(&self, text: &str, class: &str) -> String {
        let plate = if self.plate {
            format!(
                "<rect class=\"plate\" x=\"3\" y=\"{:.1}\" width=\"{:.0}\" height=\"11.5\"/>",
                self.y - 9.5,
                width(text) + 6.0
            )
        } else {
            String::new()
        };
        format!(
            "<svg class=\"label{class}\" x=\"{}\" overflow=\"visible\">{plate}<text class=\"{}\" x=\"6\" y=\"{}\">{}</text></svg>",
            share(self.at),
            self.class,
            self.y,
            escaped(text)
        )
    }
}

/// A mark of a diamond at a baseline: filled for what is missed, open for what is met.
pub(super) fn diamond(met: Option<bool>) -> &'static str {
    match met {
        Some(true) => {
            "<svg class=\"dry-sign\" width=\"11\" height=\"11\" aria-hidden=\"true\"><path class=\"met\" d=\"M5.5 1 L10 5.5 L5.5 10 L1 5.5z\"/></svg>"
        }
        Some(false) => {
            "<svg class=\"dry-sign\" width=\"11\" height=\"11\" aria-hidden=\"true\"><path class=\"missed\" d=\"M5.5 .5 L10.5 5.5 L5.5 10.5 L.5 5.5z\"/></svg>"
        }
        None => "",
    }
}

/// The hatching, to stand once in a page or a drawing.
pub(super) fn hatch() -> String {
    format!(
        "<defs><pattern id=\"{HATCH}\" width=\"5\" height=\"5\" patternUnits=\"userSpaceOnUse\" \
         patternTransform=\"rotate(45)\"><line class=\"hatch\" x1=\"0\" x2=\"0\" y1=\"0\" y2=\"5\"/></pattern></defs>"
    )
}

/// Lines at whole hours, every sixth stronger.
pub(super) fn grid(svg: &mut String, top: f64, bottom: f64) {
    for hour in (0..=24).step_by(3) {
        let (at, class) = (share(f64::from(hour) / 24.0), if hour % 6 == 0 { "grid" } else { "grid thin" });
        let _ = write!(svg, "<line class=\"{class}\" x1=\"{at}\" x2=\"{at}\" y1=\"{top}\" y2=\"{bottom}\"/>");
    }
}

/// A bar of a verdict.
pub(super) fn bar(look: &str, from: f64, to: f64, y: f64, height: f64) -> String {
    let (x, width) = (share(from), share(to - from));
    // The hatching is named here: a name in a style sheet would be looked for in the sheet.
    let fill = if look == "cannot" { format!(" fill=\"url(#{HATCH})\"") } else { String::new() };
    format!("<rect class=\"{look}\" x=\"{x}\" width=\"{width}\" y=\"{y}\" height=\"{height}\"{fill}/>")
}

/// The class of a verdict's bar.
pub(super) fn look(verdict: analysis::Verdict) -> &'static str {
    match verdict {
        analysis::Verdict::Always => "can",
        analysis::Verdict::Never => "cannot",
        analysis::Verdict::NotProven => "open",
        analysis::Verdict::Conditional => "yields",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_shows_only_where_it_fits() {
        assert_eq!(Room::Fixed(100.0).needs(99.0), Some(String::new()));
        assert_eq!(Room::Fixed(100.0).needs(101.0), None);
        assert_eq!(Room::Fixed(100.0).below(101.0), Some(String::new()));
        assert_eq!(Room::Fluid.needs(100.0), Some(String::new()));
        assert_eq!(Room::Fluid.needs(161.0), Some(" need-200".to_owned()));
        assert_eq!(Room::Fluid.below(161.0), Some(" below-200".to_owned()));
        assert_eq!(Room::Fluid.needs(5000.0), None);
        assert_eq!(Room::Fluid.below(5000.0), Some(String::new()));
    }

    #[test]
    fn the_style_knows_every_width() {
        for width in &WIDTHS[1..] {
            assert!(crate::drawing::STYLE.contains(&format!(".need-{width}")), "need-{width}");
            assert!(crate::drawing::STYLE.contains(&format!(".below-{width}")), "below-{width}");
        }
    }

    #[test]
    fn what_a_job_says_is_text_and_nothing_else() {
        assert_eq!(code("`<b>` & \u{1b}"), "<code>&lt;b&gt;</code> &amp; \\u{1b}");
    }
}
