//! What tells a finding from every other of its job, and the short name of that which programs keep.

use crate::about::{About, content};
use crate::check::Finding;
use model::{Entry, Item, Name, Spot};
use std::collections::HashMap;
use std::fmt;
use syntax::{NodeId, NodeKind, PartRole};

/// What a finding is: a check, an entry, and what in it. Two findings with one key are the same finding, whatever
/// their words.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct FindingKey {
    pub check: &'static str,
    /// The entry, wherever it stands.
    pub entry: EntryName,
    /// What it is about in the entry.
    pub about: About,
}

/// An entry by its section and name: not by its file or place.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct EntryName {
    /// Its section; that which it opens, for a section's own line.
    pub section: Name,
    /// Its name; for a requirement, whose it is and what it asks for. Nothing for a section's own line.
    pub name: Option<Name>,
}

impl EntryName {
    /// The name of an entry.
    pub fn of(entry: &Entry) -> EntryName {
        let part = &entry.part;
        let name = match (part.role(), &entry.facts.item) {
            (PartRole::Header, _) => None,
            (_, Item::Requirement(_)) => Some(demand(entry)),
            _ => Some(Name::new(part.key().unwrap_or_default())),
        };
        EntryName { section: Name::new(part.section()), name }
    }
}

/// The zone of a requirement, what it asks for, and the hours it holds in.
fn demand(entry: &Entry) -> Name {
    let part = &entry.part;
    let mut words: Vec<&str> = Vec::new();
    for (key, value) in part.pairs(part.value()) {
        match part.scalar(key) {
            Some("zone" | "hours") => words.extend(part.scalar(value)),
            key => words.extend(key),
        }
    }
    // The order of keys says nothing.
    words.sort_unstable();
    Name::new(words.join(" "))
}

/// The entry as it is called in a sentence.
impl fmt::Display for EntryName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = self.name.as_ref().filter(|name| !name.is_empty());
        write!(f, "`{}`", name.unwrap_or(&self.section))
    }
}

/// A finding as a sentence names it: `` `dehumidification-gap` of `DH-1` ``.
impl fmt::Display for FindingKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "`{}` of {}", self.check, self.entry)
    }
}

impl Finding {
    /// What it is, found in this entry.
    pub fn key(&self, entry: &Entry) -> FindingKey {
        FindingKey { check: self.check.id, entry: EntryName::of(entry), about: self.about.clone() }
    }

    /// Whether another finding of the same entry is this one, perhaps with other figures or words.
    pub fn is(&self, other: &Finding) -> bool {
        self.check.id == other.check.id && self.about == other.about
    }
}

/// The short name of a finding, the same as long as what it is about stays.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Default)]
pub struct FindingId(u64);

impl fmt::Display for FindingId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:016x}", self.0)
    }
}

/// The short names of all findings of a job, in their order; no two are alike.
///
/// Where findings have one key, say since two entries have one name, they are told apart by what is written where
/// they stand; only where that is equal, too, by counting.
pub fn identify<'f>(findings: impl Iterator<Item = (&'f Entry, &'f Finding)>) -> Vec<FindingId> {
    let findings: Vec<(&Entry, &Finding)> = findings.collect();
    let mut ids: Vec<u64> = findings.iter().map(|(entry, finding)| digest(&finding.key(entry))).collect();
    // A long entry is gone over once and not for each of its findings.
    let mut entries: HashMap<*const Entry, String> = HashMap::new();
    for alike in groups(&ids) {
        for n in alike {
            if let (Some((entry, finding)), Some(id)) = (findings.get(n), ids.get_mut(n)) {
                let whole =
                    entries.entry(std::ptr::from_ref(*entry)).or_insert_with(|| digest_of_entry(entry));
                *id = Digest(*id).word(&written(entry, &finding.spot)).word(whole).0;
            }
        }
    }
    for alike in groups(&ids) {
        for (count, n) in alike.into_iter().enumerate().skip(1) {
            if let Some(id) = ids.get_mut(n) {
                *id = Digest(*id).word(&count.to_string()).0;
            }
        }
    }
    ids.into_iter().map(FindingId).collect()
}

/// The numbers of those that are equal to others, group by group.
fn groups(ids: &[u64]) -> Vec<Vec<usize>> {
    let mut sorted: Vec<(u64, usize)> = ids.iter().copied().zip(0..).collect();
    sorted.sort_unstable();
    let groups = sorted.chunk_by(|(a, _), (b, _)| a == b).filter(|alike| alike.len() > 1);
    groups.map(|alike| alike.iter().map(|(_, n)| *n).collect()).collect()
}

fn digest(key: &FindingKey) -> u64 {
    let name = key.entry.name.as_ref();
    let digest = Digest::NEW.word(key.check).word(&key.entry.section);
    let digest = digest.word(if name.is_some() { "entry" } else { "header" });
    let digest = digest.word(name.map_or("", Name::as_str));
    key.about.facts().iter().fold(digest, |digest, (noun, name)| digest.word(noun).word(name)).0
}

/// What is written in an entry, whatever the layout, as one word.
fn digest_of_entry(entry: &Entry) -> String {
    let mut words = String::new();
    content(&entry.part, entry.part.value(), &mut words);
    format!("{:016x}", Digest::NEW.word(&words).0)
}

/// What is written around a spot, whatever the layout: the item or pair.
fn written(entry: &Entry, spot: &Spot) -> String {
    let part = &entry.part;
    let mut words = String::new();
    let outwards = |node: NodeId| std::iter::successors(Some(node), |node| part.parent(*node));
    if let Some(node) = spot.node() {
        let item = outwards(node).find(|at| part.parent(*at).is_some_and(|p| part.kind(p) == NodeKind::List));
        let value = part.key_of(node).map(|key| part.end_of(key));
        if let Some(node) = item.or(value) {
            content(part, node, &mut words);
        }
    } else {
        let span = spot.span(part);
        words.push_str(part.text().get(span.start as usize..span.end as usize).unwrap_or_default().trim());
    }
    words
}

/// FNV-1a, 64 bits (Fowler, Noll and Vo): the same on every machine and in every version.
#[derive(Clone, Copy)]
struct Digest(u64);

impl Digest {
    const NEW: Digest = Digest(0xcbf2_9ce4_8422_2325);

    /// The digest of what went before and a word, whose end counts.
    fn word(self, word: &str) -> Digest {
        let bytes = word.bytes().chain([0xff]);
        Digest(bytes.fold(self.0, |sum, byte| (sum ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)))
    }
}

#[cfg(test)]
mod tests {
    use super::Digest;

    /// Vectors of <http://www.isthe.com/chongo/tech/comp/fnv/>, `test_fnv.c`, each with our end of a word taken off.
    #[test]
    fn digests_are_fnv_1a() {
        let plain = |text: &str| {
            text.bytes().fold(Digest::NEW.0, |s, b| (s ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3))
        };
        for (text, sum) in
            [("", 0xcbf2_9ce4_8422_2325), ("a", 0xaf63_dc4c_8601_ec8c), ("foobar", 0x8594_4171_f739_67e8)]
        {
            assert_eq!(plain(text), sum);
            assert_eq!(Digest::NEW.word(text).0, (sum ^ 0xff).wrapping_mul(0x0100_0000_01b3));
        }
    }
}
