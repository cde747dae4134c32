//! What a finding is about, in facts: what tells it from every other, whatever its words, its line and its file.

use model::schedule::Exception;
use model::{Name, Spot};
use syntax::{NodeId, NodeKind, Part};

/// What a name in a fact is the name of, in a word that never changes: the identities of findings are made of it.
pub type Noun = &'static str;

/// Nouns of the facts that findings are about.
pub mod noun {
    use super::Noun;

    /// A unit's input.
    pub const INPUT: Noun = "input";
    /// A unit's output.
    pub const OUTPUT: Noun = "output";
    /// A unit's option.
    pub const OPTION: Noun = "option";
    /// A choice of an option.
    pub const CHOICE: Noun = "choice";
    /// A term of a type's logic.
    pub const TERM: Noun = "term";
    /// A state that a type's logic must never reach.
    pub const NEVER: Noun = "never";
    pub const SERVICE: Noun = "service";
    /// A mode of a zone.
    pub const MODE: Noun = "mode";
    /// A limit of a zone, a point or a site, by its key.
    pub const LIMIT: Noun = "limit";
    /// A surface of a space.
    pub const SURFACE: Noun = "surface";
    pub const POINT: Noun = "point";
    pub const SCHEDULE: Noun = "schedule";
    /// An exception of a schedule, by its days and hours.
    pub const EXCEPTION: Noun = "exception";
    /// Days of a week.
    pub const DAYS: Noun = "days";
    /// A window of a day.
    pub const WINDOW: Noun = "window";
    /// A change of the clock.
    pub const CLOCK: Noun = "clock";
    /// A priority of commands.
    pub const PRIORITY: Noun = "priority";
    /// A file that the job names.
    pub const FILE: Noun = "file";
    /// A line of such a file, by what it says.
    pub const LINE: Noun = "line";
    /// A check that a deviation names.
    pub const CHECK: Noun = "check";
    /// A key, from the outside inwards.
    pub const KEY: Noun = "key";
    /// An item of a list, by what it says first.
    pub const ITEM: Noun = "item";
    /// What is written at a place that has no key.
    pub const TEXT: Noun = "text";
    /// How many more there are of the same kind.
    pub const REST: Noun = "rest";
}

/// More of a text than this many characters tells nothing apart that its beginning does not.
const TEXT_AT_MOST: usize = 200;

/// Facts that a finding is about, the outermost first; none where it is about the entry as a whole.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Default)]
pub struct About(Box<[(Noun, Name)]>);

impl About {
    /// The entry as a whole.
    pub fn entry() -> About {
        About::default()
    }

    /// A fact of the entry.
    pub fn of(noun: Noun, name: impl AsRef<str>) -> About {
        About::entry().and(noun, name)
    }

    /// The same, and one fact more.
    #[must_use]
    pub fn and(self, noun: Noun, name: impl AsRef<str>) -> About {
        let mut facts = self.0.into_vec();
        facts.push((noun, Name::new(name)));
        About(facts.into())
    }

    /// The keys under which a node stands, its own among them.
    pub fn path(part: &Part, node: NodeId) -> About {
        let (mut facts, mut at) = (Vec::new(), node);
        while let Some(parent) = part.parent(at).filter(|_| at != part.value() && at != part.key_node()) {
            match part.kind(parent) {
                NodeKind::Map => {
                    let key = part.key_of(at).and_then(|key| part.scalar(key)).unwrap_or_default();
                    facts.push((noun::KEY, Name::new(key)));
                }
                NodeKind::List => facts.push((noun::ITEM, first_words(part, at))),
                NodeKind::Scalar | NodeKind::Null => {}
            }
            at = parent;
        }
        facts.reverse();
        About(facts.into())
    }

    /// What stands at a spot: the keys that lead to it, and what is written where they do not say it all.
    pub fn spot(part: &Part, spot: &Spot) -> About {
        let written = || {
            let span = spot.span(part);
            let text = part.text().get(span.start as usize..span.end as usize).unwrap_or_default();
            let line = text.trim().lines().next().unwrap_or_default();
            line.chars().take(TEXT_AT_MOST).collect::<Name>()
        };
        match spot {
            Spot::Node(node) => About::path(part, *node),
            Spot::Within(node, _) => About::path(part, *node).and(noun::TEXT, written()),
            Spot::Comment(_) | Spot::Bytes(_) => About::of(noun::TEXT, written()),
        }
    }

    /// An exception, by its days and hours: a list's order and a priority may change.
    pub fn exception(part: &Part, exception: &Exception) -> About {
        About::of(noun::EXCEPTION, exception_words(part, exception))
    }

    /// The facts, the outermost first.
    pub fn facts(&self) -> &[(Noun, Name)] {
        &self.0
    }
}

/// An exception but for its priority.
pub(crate) fn exception_words(part: &Part, exception: &Exception) -> String {
    let mut words = String::new();
    for (key, value) in part.pairs(exception.at).filter(|(key, _)| part.scalar(*key) != Some("priority")) {
        content(part, key, &mut words);
        content(part, value, &mut words);
    }
    words
}

/// What a node holds, whatever the layout.
pub(crate) fn content(part: &Part, node: NodeId, words: &mut String) {
    match part.kind(node) {
        NodeKind::Scalar | NodeKind::Null => {
            words.push_str(part.scalar(node).unwrap_or_default());
            words.push(' ');
        }
        NodeKind::List => {
            words.push_str("[ ");
            part.items(node).for_each(|item| content(part, item, words));
            words.push_str("] ");
        }
        NodeKind::Map => {
            words.push_str("{ ");
            for (key, value) in part.pairs(node) {
                content(part, key, words);
                content(part, value, words);
            }
            words.push_str("} ");
        }
    }
}

/// What an item of a list says first: of a map the value of its first key.
fn first_words(part: &Part, item: NodeId) -> Name {
    let mut at = item;
    loop {
        let inner = match part.kind(at) {
            NodeKind::Scalar | NodeKind::Null => return Name::new(part.scalar(at).unwrap_or_default()),
            NodeKind::Map => part.pairs(at).next().map(|(_, value)| value),
            NodeKind::List => part.items(at).next(),
        };
        match inner {
            Some(inner) => at = inner,
            None => return Name::default(),
        }
    }
}
