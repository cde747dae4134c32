//! From the tree of one entry to its facts: a pure function, entry by entry.

pub(crate) mod calendar;
pub(crate) mod device;
pub mod limits;
pub mod point;
pub(crate) mod reader;
pub mod requirement;
pub mod schedule;
pub(crate) mod section;
pub mod site;
pub(crate) mod unit;
pub(crate) mod unit_type;
pub mod zone;

use crate::deviation::{Deviation, deviations};
use crate::fields::ValueShape;
use crate::key::Key;
use crate::kind::{Entries, Kind, sections};
use crate::names::{Name, Spot};
use crate::problem::{Problem, ProblemKind};
use reader::{Reader, Use, shortened};
use section::Section;
use std::collections::BTreeSet;
use syntax::{FaultKind, Part, PartRole};

/// A longer name is none that a controller or a list can hold.
pub const LONGEST_NAME: usize = 255;

/// A kind of thing that entries declare.
pub trait Declared: Sized {
    const KIND: Kind;
    /// It, if the entry is one.
    fn of(item: &Item) -> Option<&Self>;
}

macro_rules! items {
    ($($(#[$doc:meta])* $Kind:ident: $module:ident::$Facts:ident, $($_row:tt),+;)+) => {
        /// The facts of one entry.
        #[derive(Clone, PartialEq, Debug)]
        pub enum Item {
            $($(#[$doc])* $Kind(Box<$module::$Facts>),)+
            /// The line that opens a section.
            Header,
            /// Something that is no entry of ours.
            Stray,
        }

        impl Item {
            /// Its kind; nothing for what declares nothing.
            pub fn kind(&self) -> Option<Kind> {
                match self {
                    $(Item::$Kind(_) => Some(Kind::$Kind),)+
                    Item::Header | Item::Stray => None,
                }
            }

            /// A few words on it, to stand beside its name in a list.
            pub fn brief(&self) -> Option<String> {
                match self {
                    $(Item::$Kind(it) => it.brief(),)+
                    Item::Header | Item::Stray => None,
                }
            }
        }

        /// What an entry of each section holds.
        pub fn entry_shape(kind: Kind) -> ValueShape {
            match kind { $(Kind::$Kind => $module::$Facts::ENTRY,)+ }
        }

        fn item(r: &mut Reader<'_>, kind: Kind) -> Item {
            match kind {
                $(Kind::$Kind => $module::$Facts::lower(r).map_or(Item::Stray, |it| Item::$Kind(Box::new(it))),)+
            }
        }

        $(impl Declared for $module::$Facts {
            const KIND: Kind = Kind::$Kind;
            fn of(item: &Item) -> Option<&Self> {
                if let Item::$Kind(it) = item { Some(it) } else { None }
            }
        })+
    };
}
sections!(items);

/// One entry as the model knows it. Holds no byte offsets: equal facts compare equal whatever the
/// layout.
#[derive(Clone, PartialEq, Debug)]
pub struct Facts {
    /// What it declares, and under which name; nothing for headers, strays and list items.
    pub declares: Option<(Kind, Name)>,
    /// The facts themselves.
    pub item: Item,
    /// Names of other things it uses.
    pub uses: Box<[Use]>,
    /// Whether its YAML could not be read in full: absences in it prove nothing.
    pub broken: bool,
    rare: Option<Box<Rare>>,
}

/// What most entries do not have.
#[derive(Clone, PartialEq, Debug, Default)]
struct Rare {
    problems: Box<[Problem]>,
    deviations: Box<[Deviation]>,
    imports: Box<[Name]>,
    unread: Box<[Name]>,
    unread_keys: Box<[Name]>,
}

impl Facts {
    /// Reads the facts of one part.
    pub fn of(part: &Part) -> Facts {
        let mut r = Reader::new(part);
        for fault in part.faults() {
            r.problems.push(Problem {
                kind: match fault.kind {
                    FaultKind::Broken => ProblemKind::YamlBroken,
                    FaultKind::TooLarge => ProblemKind::TooLarge,
                },
                spot: Spot::Bytes(fault.range.clone()),
                missing: None,
                message: fault.message.clone(),
                instead: Vec::new(),
            });
        }
        let kind = Kind::of_section(part.section());
        let (item, declares) = match (part.role(), kind) {
            (PartRole::Entry, Some(kind)) => {
                let name = part.key().filter(|_| kind.entries() != Entries::Listed);
                if let Some(long) = name.filter(|name| name.chars().nth(LONGEST_NAME).is_some()) {
                    let (count, name) = (long.chars().count(), shortened(long));
                    r.unfit(
                        part.key_node(),
                        format!("`{name}` is {count} characters long. Shorten it to {LONGEST_NAME} at most."),
                    );
                }
                let name = name.map(Name::new);
                (item(&mut r, kind), name.map(|n| (kind, n)))
            }
            (PartRole::Header, kind) => {
                if kind.is_none() {
                    let known = Kind::ALL.into_iter().map(Kind::section);
                    r.unknown_key(part.key_node(), part.section(), known, None);
                }
                (Item::Header, None)
            }
            // What stands under an unknown section is reported once, at its header.
            (PartRole::Entry, None) | (PartRole::Stray, _) => (Item::Stray, None),
        };
        let (deviations, more) = deviations(part);
        if let Some((first, count)) = more {
            r.problems.push(Problem {
                kind: ProblemKind::TooLarge,
                spot: Spot::Comment(first),
                message: format!("This entry has {count} more deviations from here on, and they are not read. Delete those that match no finding."),
                missing: None,
                instead: Vec::new(),
            });
        }
        let Reader { problems, uses, imports, .. } = r;
        let (unread, unread_keys) = if part.broken() { words_of(part) } else { Default::default() };
        let rare = Rare {
            problems: problems.into(),
            deviations: deviations.into(),
            imports: imports.into(),
            unread,
            unread_keys,
        };
        Facts {
            declares,
            item,
            uses: uses.into_boxed_slice(),
            broken: part.broken(),
            rare: (rare != Rare::default()).then(|| Box::new(rare)),
        }
    }

    /// What could not be read as meant.
    pub fn problems(&self) -> &[Problem] {
        self.rare.as_ref().map_or(&[], |rare| &rare.problems)
    }

    /// Deviations stated in its comments.
    pub fn deviations(&self) -> &[Deviation] {
        self.rare.as_ref().map_or(&[], |rare| &rare.deviations)
    }

    /// Files of the job that it names.
    pub fn imports(&self) -> &[Name] {
        self.rare.as_ref().map_or(&[], |rare| &rare.imports)
    }

    /// Whether something in it could not be read as meant, so that what it leaves unsaid proves
    /// nothing.
    pub fn doubtful(&self) -> bool {
        self.broken || !self.problems().is_empty()
    }

    /// The kind among whose entries it is listed.
    pub(crate) fn listed_as(&self) -> Option<Kind> {
        let unnamed = || self.item.kind().filter(|kind| kind.entries() == Entries::Listed);
        self.declares.as_ref().map(|(kind, _)| *kind).or_else(unnamed)
    }

    /// Every key of the cross-file index to which this entry contributes.
    pub fn keys(&self) -> impl Iterator<Item = Key> + '_ {
        let own = self.declares.iter().map(|(kind, name)| Key::Define(*kind, name.clone()));
        let listed = self.listed_as().map(Key::All);
        let uses = self.uses.iter().map(|u| Key::Refer(u.kind, u.name.clone()));
        let imports = self.imports().iter().cloned().map(Key::Import);
        own.chain(listed).chain(uses).chain(self.claims()).chain(imports).chain(self.unread())
    }

    /// The words of its text, where that could not be read in full: what they declare or use is not known.
    pub(crate) fn unread(&self) -> impl Iterator<Item = Key> + '_ {
        self.rare.iter().flat_map(|rare| {
            let keys = rare.unread_keys.iter().map(|word| Key::Unread(word.clone(), true));
            keys.chain(rare.unread.iter().map(|word| Key::Unread(word.clone(), false)))
        })
    }

    /// What it takes for itself: an object and a text, or a device instance.
    pub(crate) fn claims(&self) -> impl Iterator<Item = Key> + '_ {
        let point = if let Item::Point(point) = &self.item { Some(point) } else { None };
        let device = if let Item::Device(device) = &self.item { Some(device) } else { None };
        let object = point.and_then(|point| {
            Some(Key::Object(point.device.as_ref()?.value.clone(), point.object.as_ref()?.value))
        });
        let text = point.and_then(|point| Some(Key::Text(point.text.as_ref()?.value.clone())));
        let instance = device.and_then(|device| Some(Key::DeviceInstance(device.instance?.value)));
        object.into_iter().chain(text).chain(instance)
    }
}

/// So many different words of a text that could not be read are looked for.
const MOST_WORDS: usize = 10_000;

/// The words of a text, and those that stand before a colon.
fn words_of(part: &Part) -> (Box<[Name]>, Box<[Name]>) {
    let (mut words, mut keys) = (BTreeSet::new(), BTreeSet::new());
    let is_word = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | '.');
    let mut rest = part.text();
    while let Some(start) = rest.find(is_word).filter(|_| words.len() < MOST_WORDS) {
        let begun = rest.get(start..).unwrap_or_default();
        let end = begun.find(|c| !is_word(c)).unwrap_or(begun.len());
        let (word, behind) = begun.split_at(end);
        rest = behind;
        if word.chars().nth(LONGEST_NAME).is_none() {
            words.insert(word);
            if behind.trim_start_matches(['"', '\'', ' ']).starts_with(':') {
                keys.insert(word);
            }
        }
    }
    (words.into_iter().map(Name::new).collect(), keys.into_iter().map(Name::new).collect())
}
