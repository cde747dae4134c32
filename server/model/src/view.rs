//! Reading a job while noting what was read, so that an edit recomputes no more than it must.

use crate::entry::{Entry, EntryId};
use crate::job::{Contributors, Import, Job};
use crate::key::Key;
use crate::kind::Kind;
use crate::lower::limits::published;
use crate::lower::site::{DAYS, SiteField};
use crate::lower::{Declared, Item};
use crate::names::{Name, Spot};
use crate::quantity::Quantity;
use jiff::civil::{Date, date};
use rustc_hash::FxHashSet;
use std::cell::RefCell;

/// A job, and the keys of its index that were read through this view, where they are wanted.
pub struct View<'j> {
    job: &'j Job,
    reads: Option<RefCell<FxHashSet<Key>>>,
}

/// A place that a finding or a reason points to.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Place {
    pub entry: EntryId,
    /// Where in it.
    pub spot: Spot,
}

/// A limit that setpoints are held against.
#[derive(Clone, PartialEq, Debug)]
pub struct LimitInForce {
    pub value: Quantity,
    /// Document, edition and clause, or `the site`.
    pub source: &'static str,
    /// Where the site sets it; nothing for the published value.
    pub written: Option<Place>,
}

/// Something found in the job.
pub struct Found<'j, T> {
    /// Its entry's number.
    pub id: EntryId,
    pub entry: &'j Entry,
    /// The thing itself.
    pub is: &'j T,
}

// By hand, since a derive would ask the same of `T`.
impl<T> Clone for Found<'_, T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T> Copy for Found<'_, T> {}

impl<'j, T> Found<'j, T> {
    /// A spot of it as a place.
    pub fn place(&self, spot: impl Into<Spot>) -> Place {
        Place { entry: self.id, spot: spot.into() }
    }

    /// The place of its name.
    pub fn head(&self) -> Place {
        self.place(self.entry.part.key_node())
    }

    /// Its name; empty for items of a list.
    pub fn name(&self) -> &'j str {
        self.entry.part.key().unwrap_or("")
    }
}

impl<'j> View<'j> {
    /// A view that notes nothing.
    pub fn new(job: &'j Job) -> Self {
        View { job, reads: None }
    }

    /// A view that notes what is read, and has read nothing yet.
    pub fn noting(job: &'j Job) -> Self {
        View { job, reads: Some(RefCell::default()) }
    }

    /// The keys that were read; none where nothing was noted.
    pub fn into_reads(self) -> FxHashSet<Key> {
        self.reads.map(RefCell::into_inner).unwrap_or_default()
    }

    /// Whether nothing is noted: what is read then may depend on all of the job at no cost. What is answered may not
    /// depend on it.
    pub fn asks_once(&self) -> bool {
        self.reads.is_none()
    }

    fn note(&self, key: impl FnOnce() -> Key) {
        if let Some(reads) = &self.reads {
            reads.borrow_mut().insert(key());
        }
    }

    /// Entries that contribute to a key, in the order of files and lines.
    pub fn contributors(&self, key: Key) -> Contributors {
        let ids = self.job.contributors(&key);
        self.note(|| key);
        ids
    }

    /// An entry that a key led to. Only numbers that came from this view may be asked for: the
    /// read of their key is what keeps the answer current.
    pub fn entry(&self, id: EntryId) -> Option<&'j Entry> {
        self.job.entry(id)
    }

    /// An entry as the thing it declares.
    pub fn as_found<T: Declared>(&self, id: EntryId) -> Option<Found<'j, T>> {
        let entry = self.job.entry(id)?;
        Some(Found { id, entry, is: T::of(&entry.facts.item)? })
    }

    /// The thing of this name; the first where there are several, the job's own before the
    /// library's.
    pub fn find<T: Declared>(&self, name: &Name) -> Option<Found<'j, T>> {
        let ids = self.contributors(Key::Define(T::KIND, name.clone()));
        ids.into_iter().find_map(|id| self.as_found(id))
    }

    /// Things of kind `T` that use the name of a thing of `kind`.
    pub fn users<T: Declared>(&self, kind: Kind, name: &Name) -> Vec<Found<'j, T>> {
        let ids = self.contributors(Key::Refer(kind, name.clone()));
        ids.into_iter().filter_map(|id| self.as_found(id)).collect()
    }

    /// Every thing of a kind. Whoever asks depends on all of them.
    pub fn all<T: Declared>(&self) -> Vec<Found<'j, T>> {
        let ids = self.contributors(Key::All(T::KIND));
        ids.into_iter().filter_map(|id| self.as_found(id)).collect()
    }

    /// The points that take their values from each other, of which this is one. Whoever asks depends on all points.
    pub fn circle(&self, point: &Name) -> Option<&'j [Name]> {
        self.note(|| Key::All(Kind::Point));
        self.job.circle(point)
    }

    /// The names of a kind that are near a mistyped one, nearest first. This is not noted as read, so nothing that
    /// a check reports may depend on it: it is for what is worked out each time it is shown.
    pub fn near(&self, kind: Kind, name: &str) -> Vec<Name> {
        self.job.near(kind, name)
    }

    /// The path of the file an entry stands in; empty for an entry of another job.
    pub fn path(&self, entry: &Entry) -> &'j str {
        self.job.file(entry.file).map_or("", |file| &file.path)
    }

    /// Whether an entry belongs to the built-in library.
    pub fn built_in(&self, entry: &Entry) -> bool {
        self.job.file(entry.file).is_some_and(|file| file.library)
    }

    /// Whether any entry contributes to a key.
    pub fn any(&self, key: &Key) -> bool {
        self.count(key, 1) > 0
    }

    /// How many entries contribute to a key, counted no further than `most`: to be asked before
    /// [`View::contributors`] where they may be many, since every one of them would ask.
    pub fn count(&self, key: &Key, most: usize) -> usize {
        self.note(|| key.clone());
        self.job.count(key, most)
    }

    /// How many entries contribute to a key, quickly: never too few, and too many only where another key has the
    /// same hash.
    pub fn at_most(&self, key: &Key) -> usize {
        self.note(|| key.clone());
        self.job.at_most(key)
    }

    /// An imported file.
    pub fn import(&self, path: &Name) -> Option<&'j Import> {
        self.note(|| Key::Import(path.clone()));
        self.job.imports().get(path)
    }

    /// How many files the entries of the job name. Nothing is noted: it bounds what is spent on one of them, and
    /// changes nothing that is said of a file within its share.
    pub fn imports(&self) -> usize {
        self.job.imports().len()
    }

    /// One field of `site:`.
    pub fn site_field(&self, field: &'static str) -> Option<(EntryId, &'j SiteField)> {
        let ids = self.contributors(Key::Define(Kind::Site, Name::new_static(field)));
        ids.into_iter().find_map(|id| match &self.job.entry(id)?.facts.item {
            Item::Site(field) => Some((id, &**field)),
            _ => None,
        })
    }

    /// A published limit, or what the site puts in its place; nothing where neither sets one.
    pub fn limit(&self, name: &str) -> Option<LimitInForce> {
        let published = published(name)?;
        if let Some((entry, SiteField::Limits(limits))) = self.site_field("limits")
            && let Some((_, own)) = limits.iter().find(|(key, _)| *key == name)
        {
            let written = Place { entry, spot: own.at.into() };
            return Some(LimitInForce { value: own.value?, source: "the site", written: Some(written) });
        }
        Some(LimitInForce { value: published.value?, source: published.source, written: None })
    }

    /// What `site:` says of time: all that verdicts depend on.
    pub fn period(&self) -> (&'j str, Date, u32) {
        let zone = match self.site_field("time-zone") {
            Some((_, SiteField::TimeZone(zone))) => zone.value.as_str(),
            _ => "UTC",
        };
        match self.site_field("review") {
            Some((_, SiteField::Review(review))) => {
                (zone, review.from.map_or(FIRST_DAY, |from| from.value), review.days)
            }
            _ => (zone, FIRST_DAY, DAYS),
        }
    }
}

/// First day of the review period where a site names none.
const FIRST_DAY: Date = date(2027, 1, 1);
