//! The review for somebody at a terminal: what to begin with, the findings file by file with their lines, and a
//! summary, all within the window.

mod finding;
mod first;
mod frame;
mod gather;
mod groups;
mod summary;
#[cfg(test)]
mod tests;
mod window;

use crate::form::Form;
use crate::paint::Paint;
use crate::review::Review;
use crate::words;
use groups::{FileGroup, MOST_IN_FULL, groups};
use std::io;
use syntax::visible;
use window::Window;

/// Windows are laid out for no less and no more columns than these.
const WIDTHS: (usize, usize) = (60, 160);

/// Puts out a review as somebody at a terminal reads it, piece by piece.
///
/// # Errors
/// Those of `put`; nothing is put out after one.
pub fn review_window(
    review: &Review<'_>,
    form: &Form,
    mut put: impl FnMut(&str) -> io::Result<()>,
) -> io::Result<()> {
    let width = form.width.clamp(WIDTHS.0, WIDTHS.1);
    let mut window = Window::new(width, Paint { coloured: form.coloured });
    head(&mut window, review);
    first::start_with_these(&mut window, review);
    put(&std::mem::take(&mut window.text))?;
    for group in groups(review, form.from) {
        file_head(&mut window, &group);
        for headed in group.in_full() {
            finding::finding(&mut window, review, headed, form);
        }
        let more = group.findings.len().saturating_sub(MOST_IN_FULL);
        if more > 0 {
            let text = format!("… {} more in this file (--format lines shows all)", words::thousands(more));
            window.paragraph(window.paint.dim(), &text, 2);
            window.end();
        }
        put(&std::mem::take(&mut window.text))?;
    }
    summary::summary(&mut window, review, form);
    put(&window.text)
}

/// `drycall 0.1.0 · Saltmarsh Records Centre · 2027-01-01 to 2027-12-31, America/New_York`.
fn head(window: &mut Window, review: &Review<'_>) {
    let mut parts = vec![format!("drycall {}", env!("CARGO_PKG_VERSION"))];
    parts.extend(review.site.map(|site| visible(site).into_owned()));
    parts.extend(
        review
            .period
            .as_ref()
            .map(|p| format!("{} to {}, {}", p.first_date(), p.last_date(), visible(p.zone()))),
    );
    window.heading(&parts.join(" · "));
    window.end();
}

fn file_head(window: &mut Window, group: &FileGroup<'_, '_>) {
    let (bold, plain) = (window.paint.bold(), anstyle::Style::new());
    window.put(bold, &visible(group.file));
    window.at_right(plain, &summary::tally(group.counts, false));
    window.end();
    window.end();
}
