//! # What it finds
//!
//! A point whose name does not match the site's own pattern, `site: {point-name: PATTERN}`. In a
//! pattern `#` is a digit, `@` a letter, `*` anything or nothing, and every other character itself.
//!
//! # Why it matters
//!
//! Graphics, trends and the owner's searches go by the pattern. Nobody finds a point outside it.
//!
//! # Example
//!
//! ```yaml bad
//! site:
//!   point-name: "@@#-*"
//! points:
//!   DOOR-RR: {object: binary-input 1, description: Reading room door}
//! # ^^^^^^^ `@@#-*`
//! ```
//! ```yaml good
//! site:
//!   point-name: "@@#-*"
//! points:
//!   RR1-DOOR: {object: binary-input 1, description: Reading room door}
//! ```
//! ```yaml near
//! # No pattern, no rule.
//! points:
//!   DOOR-RR: {object: binary-input 1, description: Reading room door}
//! ```
//!
//! # Repair
//!
//! Rename the point, and every place that names it.
//!
//! # Source
//!
//! The site's own rule.

use crate::about::About;
use crate::check::{Check, Run, Severity, Sink};
use crate::context::Ctx;
use model::{Found, Place, Point, SiteField};

pub(crate) static CHECK: Check = Check {
    id: "name-breaks-rule",
    severity: Severity::Warning,
    source: include_str!("name_breaks_rule.rs"),
    run: Run::Point(run),
    repairs: &[],
};

fn run(ctx: &Ctx<'_>, point: Found<'_, Point>, out: &mut Sink) {
    let Some((site, SiteField::PointName(pattern))) = ctx.view.site_field("point-name") else {
        return;
    };
    let Some(name) = point.entry.part.key().filter(|name| !follows(name, &pattern.value)) else {
        return;
    };
    let message = format!(
        "`{name}` does not match the point names of the site, `{}`. There `@` is a letter, `#` a digit and `*` anything. Rename the point.",
        pattern.value
    );
    let place = Place { entry: site, spot: pattern.at.into() };
    out.report(About::entry(), point.entry.part.key_node(), message)
        .because(place, "The pattern for point names");
}

/// Whether a name follows a pattern, from its first sign to its last.
fn follows(name: &str, pattern: &str) -> bool {
    let (name, pattern): (Vec<char>, Vec<char>) = (name.chars().collect(), pattern.chars().collect());
    let (mut n, mut p) = (0, 0);
    // Where the last `*` stands, and how much of the name it has taken so far.
    let mut star: Option<(usize, usize)> = None;
    while let Some(sign) = name.get(n) {
        match pattern.get(p) {
            Some('*') => {
                star = Some((p, n));
                p += 1;
            }
            Some(rule) if is_one(*sign, *rule) => {
                n += 1;
                p += 1;
            }
            _ => {
                // Let the last `*` take one sign more, and try again behind it.
                let Some((at, taken)) = star else {
                    return false;
                };
                star = Some((at, taken + 1));
                (n, p) = (taken + 1, at + 1);
            }
        }
    }
    pattern.iter().skip(p).all(|rule| *rule == '*')
}

fn is_one(sign: char, rule: char) -> bool {
    match rule {
        '#' => sign.is_ascii_digit(),
        '@' => sign.is_alphabetic(),
        _ => sign == rule,
    }
}

#[cfg(test)]
mod tests {
    use super::follows;

    #[test]
    fn patterns() {
        for (name, pattern, right) in [
            ("RR1-DOOR", "@@#-*", true),
            ("RR1-", "@@#-*", true),
            ("RR1", "@@#-*", false),
            ("DOOR-RR", "@@#-*", false),
            ("B001-AHU2-SAT", "B###-*-@@@", true),
            ("B001-AHU2-SA", "B###-*-@@@", false),
            ("aXbXc", "*X*c", true),
            ("aXbXcd", "*X*c", false),
            ("", "*", true),
            ("", "@", false),
            ("é1", "@#", true),
        ] {
            assert_eq!(follows(name, pattern), right, "{name} {pattern}");
        }
        let (name, pattern) = ("a".repeat(2_000), "*a".repeat(40) + "b");
        assert!(!follows(&name, &pattern));
    }
}
