//! What a repair does, as an order; where it takes several steps, each with its place.

use checks::{About, FindingKey, Proposal};
use model::{EntryId, Job};
use syntax::Part;

/// So many keys tell where in an entry something stands: `occupied cool-above`.
const MOST_KEYS: usize = 2;

/// A step of a repair.
#[derive(Clone)]
pub(super) struct Order {
    title: String,
    /// The entry, and the keys in it under which something changes, as far as the title names neither.
    place: String,
    decides: Option<(EntryId, About)>,
}

impl Order {
    /// The order of a proposal for a job as it stands.
    pub(super) fn of(job: &Job, proposal: &Proposal) -> Order {
        let title = proposal.title.clone();
        let mut place = String::new();
        if let Some(edit) = proposal.edits.first()
            && let Some(part) = job.entry(edit.entry).map(|entry| &*entry.part)
        {
            let keys = keys_at(part, edit.range.start, edit.range.is_empty());
            let keys = keys.iter().skip(keys.len().saturating_sub(MOST_KEYS)).copied();
            // What has no name of its own is known by its section.
            let entry = part.key().unwrap_or(part.section());
            let words = std::iter::once(entry).chain(keys).filter(|word| !names(&title, word));
            place = words.collect::<Vec<_>>().join(" ");
        }
        Order { title, place, decides: proposal.decides.clone() }
    }

    /// What it does, without its place.
    pub(super) fn title(&self) -> &str {
        &self.title
    }

    /// Whether it answers a question that a proposal would answer once more.
    pub(super) fn is_contrary_to(&self, proposal: &Proposal) -> bool {
        self.decides.is_some() && self.decides == proposal.decides
    }
}

/// Several orders as one: `Write 75 °F (lobby occupied heat-below); write 77 °F (hall occupied cool-above)`.
/// A single one stands at its finding, which says where.
pub(super) fn orders(orders: &[Order]) -> String {
    let mut all = String::new();
    for (n, order) in orders.iter().enumerate() {
        let mut signs = order.title.chars();
        if n > 0 {
            all.push_str("; ");
            all.extend(signs.next().into_iter().flat_map(char::to_lowercase));
        }
        all.push_str(signs.as_str());
        if orders.len() > 1 && !order.place.is_empty() {
            all.push_str(&format!(" ({})", order.place));
        }
    }
    all
}

/// So many findings are named that show when a repair is applied.
const MOST_SHOWN: usize = 2;

/// What shows once a repair is applied, as a sentence: ``Then shows: `dehumidification-gap` of `DH-1` ``.
pub(super) fn then_shows(shows: &[FindingKey]) -> Option<String> {
    let mut named: Vec<String> = shows.iter().map(FindingKey::to_string).collect();
    named.dedup();
    let more = named.len().saturating_sub(MOST_SHOWN);
    named.truncate(MOST_SHOWN);
    let rest = if more > 0 { format!(" and {more} more") } else { String::new() };
    (!named.is_empty()).then(|| format!("Then shows: {}{rest}", named.join(", ")))
}

/// The keys under which a byte of an entry stands, from the outside. What is inserted behind a value
/// does not stand under its key.
fn keys_at(part: &Part, offset: u32, inserted: bool) -> Vec<&str> {
    let holds = |start: u32, end: u32| start <= offset && (offset < end || !inserted && offset == end);
    let (mut keys, mut at) = (Vec::new(), part.value());
    loop {
        let pair = part.pairs(at).find(|(key, value)| {
            let (key, value) = (part.span(*key), part.span(*value));
            holds(key.start, value.end.max(key.end))
        });
        if let Some((key, value)) = pair {
            keys.extend(part.scalar(key));
            at = value;
        } else if let Some(item) = part.items(at).find(|item| {
            let span = part.span(*item);
            holds(span.start, span.end)
        }) {
            at = item;
        } else {
            return keys;
        }
    }
}

/// Whether a text holds a name, and not as a part of another.
fn names(text: &str, name: &str) -> bool {
    let joins = |c: char| c.is_alphanumeric() || c == '-' || c == '_';
    let alone = |at: usize| {
        let (before, after) = text.split_at_checked(at).unwrap_or_default();
        let after = after.get(name.len()..).unwrap_or_default();
        !before.ends_with(joins) && !after.starts_with(joins)
    };
    text.match_indices(name).any(|(at, _)| alone(at))
}

#[cfg(test)]
mod tests {
    use super::*;
    use checks::PartEdit;
    use model::{Prepared, Touched};
    use syntax::File;

    #[test]
    fn each_of_several_steps_tells_its_place() {
        let text = "zones:\n  lobby:\n    occupied: {heat-below: 70 °F, cool-above: 75 °F}\n  hall: {occupied: {cool-above: 74 °F}}\n";
        let mut job = Job::new();
        let file = job.open("a.yaml".to_owned(), Prepared::new(File::new(text)), &mut Touched::default());
        let order = |title: &str, old: &str| {
            let at = text.find(old).unwrap_or_default() as u32;
            let (entry, start) = job.entry_at(file, at).unwrap_or((model::EntryId(u32::MAX), 0));
            let range = start..start + old.len() as u32;
            let edits = vec![PartEdit { entry, range, new: String::new() }];
            Order::of(&job, &Proposal { title: title.to_owned(), edits, cost: 1, decides: None, safe: true })
        };
        let first = order("Write 68 °F", "70 °F");
        assert_eq!(orders(std::slice::from_ref(&first)), "Write 68 °F");
        assert_eq!(
            orders(&[
                first,
                order("Write 77 °F", "74 °F"),
                order("Set `cool-above` of lobby to 78 °F", "75 °F")
            ]),
            "Write 68 °F (lobby occupied heat-below); write 77 °F (hall occupied cool-above); \
             set `cool-above` of lobby to 78 °F (occupied)"
        );
    }
}
