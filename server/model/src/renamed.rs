//! Names that were others once, so that what is written with an old one says what it became.

use crate::word_list::list_words;

/// Old names and new ones: of checks, keys, options, choices, commands and flags.
const RENAMED: &[(&str, &str)] = &[
    ("--form", "--format"),
    ("--from", "--level"),
    ("any-time", "allowed"),
    ("as-shipped", "default"),
    ("command-pinned", "override-left-on"),
    ("dehumidify-when", "unoccupied-dehumidification"),
    ("device-instance-taken-twice", "duplicate-device-instance"),
    ("drift", "predict"),
    ("either", "on-or-off"),
    ("event-in-clock-change", "clock-change-hour"),
    ("humidify-when", "unoccupied-humidification"),
    ("mould-conditions", "predicted-mold"),
    ("name-twice", "duplicate-name"),
    ("object-taken-twice", "duplicate-object"),
    ("object-unfit", "wrong-object-type"),
    ("range-unfit", "wrong-range"),
    ("schedule-value-unfit", "wrong-schedule-values"),
    ("text", "description"),
    ("text-missing", "description-missing"),
    ("text-twice", "duplicate-description"),
    ("two-writers", "competing-commands"),
    ("units-unfit", "wrong-units"),
    ("value-unfit", "wrong-value"),
    ("window-reversed", "window-ends-before-start"),
    ("yaml-broken", "syntax-error"),
    ("zone-turns-humid", "predicted-too-humid"),
];

/// The name that `old` gave way to, if it did. Whether it has a meaning in its place is the caller's to know.
pub fn renamed(old: &str) -> Option<&'static str> {
    RENAMED.iter().find(|(known, _)| *known == old).map(|(_, new)| *new)
}

/// ``Did you mean `a` or `b`?``, or that the name was renamed; `near` is of [`crate::nearest`].
pub fn did_you_mean<'a>(written: &str, near: impl Iterator<Item = &'a str> + Clone) -> String {
    match renamed(written).filter(|new| near.clone().next() == Some(*new)) {
        Some(new) => format!("It was renamed to `{new}`."),
        None => format!("Did you mean {}?", list_words(near, "or")),
    }
}
