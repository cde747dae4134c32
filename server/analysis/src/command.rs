//! What commands a point in the end.

use model::{Driver, Point, Spot};

/// The command in force at a point.
pub(crate) enum Command<'p> {
    /// A pinned value.
    Pinned {
        /// Where it is written.
        at: Spot,
        value: bool,
        priority: u8,
    },
    Source(&'p Driver),
}

/// The command of the highest priority; of equals the first written, an override before a source.
pub(crate) fn in_command(point: &Point) -> Option<Command<'_>> {
    let pinned = point.drivers.iter().filter_map(|d| d.override_.as_ref());
    let pinned = pinned.map(|o| {
        let command = Command::Pinned { at: o.at.into(), value: o.value, priority: o.priority };
        (o.priority, command)
    });
    let sources = point.drivers.iter().filter(|d| d.source.is_some() || d.override_.is_none());
    let sources = sources.map(|d| (d.priority, Command::Source(d)));
    // `min_by_key` keeps the first of equals.
    pinned.chain(sources).min_by_key(|(priority, _)| *priority).map(|(_, command)| command)
}
