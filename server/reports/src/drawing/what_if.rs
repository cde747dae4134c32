//! What may be supposed otherwise. Nothing of it is written.

use super::Link;
use super::marks::escaped;
use analysis::sheet::page::{UnitPage, WhatIf, WhatIfKind};
use std::fmt::Write as _;

/// A row of switches; of one with a single other choice a check box.
pub(super) fn html(page: &UnitPage<Link>) -> String {
    if page.choices.is_empty() {
        return String::new();
    }
    let mut html = "<fieldset class=\"dry-what-if\"><legend>What if</legend>".to_owned();
    for (n, choice) in page.choices.iter().enumerate() {
        html += &switch(n, choice);
    }
    html + "<p class=\"dry-mute\">This only shows what would become of it. Nothing is written.</p></fieldset>"
}

fn switch(n: usize, choice: &WhatIf) -> String {
    let of = match choice.of {
        WhatIfKind::Option => "option",
        WhatIfKind::Input => "input",
    };
    let (name, now) = (escaped(&choice.name), escaped(&choice.now));
    let tied =
        |value: &str| if choice.of == WhatIfKind::Input { format!("tied {value}") } else { value.to_owned() };
    let about = format!("data-of=\"{of}\" data-name=\"{name}\"");
    if let [only] = choice.others.as_slice() {
        let words = escaped(&tied(only));
        return format!(
            "<label><input type=\"checkbox\" id=\"what-if-{n}\" {about} data-value=\"{}\"> <span><code>{name}</code> were \
             <code>{words}</code>? <span class=\"dry-mute\">now {now}</span></span></label>",
            escaped(only)
        );
    }
    let mut html = format!(
        "<label><span><code>{name}</code> were</span> <select id=\"what-if-{n}\" {about}><option value=\"\">{now}, as written</option>"
    );
    for other in &choice.others {
        let _ = write!(html, "<option value=\"{}\">{}</option>", escaped(other), escaped(&tied(other)));
    }
    html + "</select></label>"
}
