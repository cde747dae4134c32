//! What is written in an entry, whether or not it could be read as meant.

use crate::about::{About, noun};
use crate::check::Sink;
use crate::context::Ctx;
use model::{Name, ProblemKind, Spot, Within, did_you_mean, list_words, nearest};
use syntax::{NodeId, Part};

/// Reports an entry's problems of one kind.
pub(crate) fn report(ctx: &Ctx<'_>, kind: ProblemKind, out: &mut Sink) {
    for problem in ctx.entry.facts.problems().iter().filter(|p| p.kind == kind) {
        let about = About::spot(&ctx.entry.part, &problem.spot);
        let about = problem.missing.iter().fold(about, |about, key| about.and(noun::KEY, key));
        out.report(about, problem.spot.clone(), problem.message.as_str())
            .instead(problem.instead.iter().map(Name::as_str));
    }
}

/// The value behind a key of a mapping.
pub(crate) fn value(part: &Part, map: NodeId, key: &str) -> Option<NodeId> {
    part.pairs(map).find(|(k, _)| part.scalar(*k) == Some(key)).map(|(_, value)| value)
}

/// Whether the entry's own mapping has a key, readable or not.
pub(crate) fn has(part: &Part, key: &str) -> bool {
    value(part, part.value(), key).is_some()
}

/// The names that one of the entry's own mappings declares, readable or not.
pub(crate) fn names<'p>(part: &'p Part, mapping: &str) -> impl Iterator<Item = &'p str> {
    let pairs = value(part, part.value(), mapping).into_iter().flat_map(|map| part.pairs(map));
    pairs.filter_map(|(key, _)| part.scalar(key))
}

/// A part of a scalar, where its text stands as written; else the whole of it.
pub(crate) fn spot(part: &Part, node: NodeId, within: &Within) -> Spot {
    if part.is_plain(node) { Spot::Within(node, within.clone()) } else { Spot::Node(node) }
}

/// What a mistyped name should be, as a sentence: the nearest of `known`, or a few of them.
pub(crate) fn advice<'a>(name: &str, known: impl Iterator<Item = &'a str> + Clone) -> String {
    /// More make no sentence that anybody reads.
    const FEW: usize = 12;
    let near = nearest(name, known.clone());
    if near.is_empty() {
        match known.clone().count() {
            0 => "There is none to choose from.".to_owned(),
            1..=FEW => format!("Use {}.", list_words(known, "or")),
            more => {
                let named: Vec<String> = known.take(FEW).map(|name| format!("`{name}`")).collect();
                format!("Use {} or one of {} more.", named.join(", "), more - FEW)
            }
        }
    } else {
        did_you_mean(name, near.into_iter())
    }
}

/// The files an entry names (calendars, weather), each with the place of its path.
pub(crate) fn imports<'e>(ctx: &Ctx<'e>) -> Vec<(NodeId, &'e Name)> {
    use model::{Days, Item, SiteField, schedule::On};
    let entry = ctx.entry;
    if let Item::Site(field) = &entry.facts.item
        && let SiteField::Weather(weather) = &**field
    {
        return weather.file.iter().map(|file| (file.at, &file.value)).collect();
    }
    let days: Vec<(NodeId, &Days)> = match &entry.facts.item {
        Item::Calendar(calendar) => calendar.entries.iter().map(|e| (e.at, &e.value)).collect(),
        Item::Schedule(schedule) => {
            let on = schedule.exceptions.iter().filter_map(|e| e.on.as_ref());
            on.filter_map(|on| if let On::Days(days) = &on.value { Some((on.at, days)) } else { None })
                .collect()
        }
        _ => Vec::new(),
    };
    let mut found = Vec::new();
    for (at, days) in days {
        if let Days::Import(path) = days {
            found.push((value(&entry.part, at, "import").unwrap_or(at), path));
        }
    }
    found
}
