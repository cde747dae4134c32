//! A job: its files, their entries, and the index over them.

mod change;

use crate::circles::Circles;
use crate::entry::{Entry, EntryId, FileId};
use crate::halves::Halves;
use crate::index::Index;
use crate::key::Key;
use crate::kind::Kind;
use crate::lower::Facts;
use crate::names::{Name, Spot};
use crate::nearest::nearest;
use crate::prepared::{Prepared, PreparedEntry};
use rustc_hash::{FxHashMap, FxHashSet};
use smallvec::SmallVec;
use std::ops::Range;
use std::sync::{Arc, OnceLock};
use syntax::{Edit, File};

/// So many names of a kind are compared with a mistyped one; of more, only those that share half of it.
const FEW: usize = 500;

/// The entries that contribute to a key: seldom more than a few.
pub type Contributors = SmallVec<[EntryId; 4]>;

/// A file: its path in the job, its text, its entries.
#[derive(Clone)]
pub struct JobFile {
    /// Path from the job folder, `/` between names; for the library, its file name.
    pub path: String,
    /// Whether it belongs to the built-in library.
    pub library: bool,
    file: File,
    ids: Vec<EntryId>,
}

impl JobFile {
    /// Text and entries.
    pub fn file(&self) -> &File {
        &self.file
    }

    /// The numbers of its entries, in order.
    pub fn entries(&self) -> &[EntryId] {
        &self.ids
    }
}

/// A file that an entry names (a calendar, weather), as it was found. What is not UTF-8 in it is replaced.
pub type Import = Result<Arc<str>, ImportError>;

/// Why an import cannot be used.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum ImportError {
    /// The path leads out of the job folder.
    Outside,
    /// It cannot be read, and why.
    Unreadable(String),
}

/// What a change of text changed in the facts.
#[derive(Default, Debug)]
pub struct Touched {
    /// Entries that are new or state other facts than before.
    pub entries: Vec<EntryId>,
    /// Entries that are no more.
    pub removed: Vec<EntryId>,
    /// Keys of the index whose readers may now see something else.
    pub keys: FxHashSet<Key>,
}

/// The job as it stands: plain data, changed by whole files, single edits and imports.
#[derive(Clone, Default)]
pub struct Job {
    files: Vec<Option<JobFile>>,
    entries: Vec<Option<Entry>>,
    free: Vec<EntryId>,
    pub(crate) index: Index,
    /// Made when the first name is looked for that is not there: most jobs have none.
    halves: OnceLock<Halves>,
    /// Made when a point is met that leads far: most jobs have none.
    circles: OnceLock<Arc<Circles>>,
    imports: FxHashMap<Name, Import>,
}

impl Job {
    /// A job with nothing in it but the built-in unit types.
    pub fn new() -> Job {
        let mut job = Job::default();
        for (path, file) in crate::library::files() {
            job.add(path.to_owned(), file.clone(), true, &mut Touched::default());
        }
        job
    }

    /// Adds a file, prepared beforehand so that many can be prepared at once.
    pub fn open(&mut self, path: String, file: Prepared, touched: &mut Touched) -> FileId {
        self.add(path, file, false, touched)
    }

    /// Adds all files of a job that nothing was worked out of yet, and returns their numbers in order,
    /// and the paths of the files that their entries name.
    pub fn open_all(&mut self, files: Vec<(String, Prepared)>) -> (Vec<FileId>, Vec<Name>) {
        self.entries.reserve_exact(files.iter().map(|(_, file)| file.entries.len()).sum());
        let (mut numbers, mut told) = (Vec::with_capacity(files.len()), Vec::with_capacity(files.len()));
        for (path, mut prepared) in files {
            let file = FileId(self.files.len() as u32);
            let first = self.entries.len() as u32;
            told.push((first, prepared.told.take().unwrap_or_else(|| prepared.tell())));
            let mut ids = Vec::with_capacity(prepared.entries.len());
            for (ordinal, PreparedEntry { part, facts }) in (0..).zip(prepared.entries) {
                let facts = facts.unwrap_or_else(|| Arc::new(Facts::of(&part)));
                ids.push(EntryId(first + ordinal));
                self.entries.push(Some(Entry { file, part, facts, ordinal }));
            }
            self.files.push(Some(JobFile { path, library: false, file: prepared.file, ids }));
            numbers.push(file);
        }
        self.halves = OnceLock::new();
        self.circles = OnceLock::new();
        self.index.add_all(&told);
        (numbers, told.into_iter().flat_map(|(_, told)| told.imports).collect())
    }

    fn add(&mut self, path: String, prepared: Prepared, library: bool, touched: &mut Touched) -> FileId {
        let id = FileId(self.files.len() as u32);
        self.files.push(Some(JobFile { path, library, file: prepared.file, ids: Vec::new() }));
        self.replace(id, 0..0, prepared.entries, touched);
        id
    }

    /// Puts a whole new text in place of a file's.
    pub fn set(&mut self, id: FileId, prepared: Prepared, touched: &mut Touched) {
        let Some(Some(old)) = self.files.get_mut(id.0 as usize) else { return };
        let count = old.ids.len();
        old.file = prepared.file;
        self.replace(id, 0..count, prepared.entries, touched);
    }

    /// Applies one edit to a file.
    pub fn edit(&mut self, id: FileId, edit: &Edit, touched: &mut Touched) {
        let Some(Some(file)) = self.files.get_mut(id.0 as usize) else { return };
        let change = file.file.edit(edit);
        let new = change.removed.start..change.removed.start + change.added;
        let pieces = file.file.pieces().get(new).unwrap_or(&[]);
        let entries = pieces.iter().map(|p| PreparedEntry { part: p.part.clone(), facts: None }).collect();
        self.replace(id, change.removed, entries, touched);
    }

    /// Takes a file out of the job.
    pub fn close(&mut self, id: FileId, touched: &mut Touched) {
        let count = self.file(id).map_or(0, |f| f.ids.len());
        self.replace(id, 0..count, Vec::new(), touched);
        if let Some(slot) = self.files.get_mut(id.0 as usize) {
            *slot = None;
        }
    }

    /// Says what an imported file holds; `None` forgets it.
    pub fn set_import(&mut self, path: Name, import: Option<Import>, touched: &mut Touched) {
        if self.imports.get(&path) != import.as_ref() {
            touched.keys.insert(Key::Import(path.clone()));
            match import {
                Some(import) => self.imports.insert(path, import),
                None => self.imports.remove(&path),
            };
        }
    }

    /// Imports that are known, by their paths as written.
    pub fn imports(&self) -> &FxHashMap<Name, Import> {
        &self.imports
    }

    /// Whether any entry still names this path.
    pub fn imported(&self, path: &Name) -> bool {
        self.count(&Key::Import(path.clone()), 1) > 0
    }

    /// How many entries contribute to a key, counted no further than `most`.
    pub fn count(&self, key: &Key, most: usize) -> usize {
        self.index.get(&self.entries, key).take(most).count()
    }

    /// How many entries contribute to a key, looked at no closer than their number: never too few, and too many
    /// only where another key has the same hash.
    pub fn at_most(&self, key: &Key) -> usize {
        self.index.at_most(key)
    }

    /// The entry of this number.
    pub fn entry(&self, id: EntryId) -> Option<&Entry> {
        self.entries.get(id.0 as usize)?.as_ref()
    }

    /// The file of this number.
    pub fn file(&self, id: FileId) -> Option<&JobFile> {
        self.files.get(id.0 as usize)?.as_ref()
    }

    /// All files, library last, each with its number.
    pub fn files(&self) -> impl Iterator<Item = (FileId, &JobFile)> {
        self.files.iter().enumerate().filter_map(|(i, f)| Some((FileId(i as u32), f.as_ref()?)))
    }

    /// Entries that contribute to a key, in the order of files and lines: library last.
    pub fn contributors(&self, key: &Key) -> Contributors {
        let mut ids = self.index.get(&self.entries, key).collect::<Contributors>();
        if ids.len() > 1 {
            ids.sort_unstable_by(|a, b| self.order(*a).cmp(&self.order(*b)));
            ids.dedup();
        }
        ids
    }

    /// The names of a kind that are near a mistyped one, nearest first.
    pub fn near(&self, kind: Kind, name: &str) -> Vec<Name> {
        let all = Key::All(kind);
        let ids = if self.index.at_most(&all) <= FEW {
            self.index.get(&self.entries, &all).collect()
        } else {
            self.halves.get_or_init(|| Halves::of(&self.entries)).near(kind, name)
        };
        let names = ids.iter().filter_map(|id| self.entry(*id)?.part.key());
        nearest(name, names).into_iter().map(Name::new).collect()
    }

    /// The points that take their values from each other, of which this is one; nothing where it does not take its
    /// value from itself.
    pub fn circle(&self, point: &Name) -> Option<&[Name]> {
        let define = |name: &Name| Key::Define(Kind::Point, name.clone());
        let of_points = |facts: &Facts| -> Vec<Name> {
            facts.uses.iter().filter(|used| used.kind == Kind::Point).map(|used| used.name.clone()).collect()
        };
        let sources = |name: &Name| {
            let first = self.contributors(&define(name)).into_iter().find_map(|id| self.entry(id));
            first.map_or_else(Vec::new, |entry| of_points(&entry.facts))
        };
        let circles = self.circles.get_or_init(|| {
            let points = self.contributors(&Key::All(Kind::Point));
            let names = points.iter().filter_map(|id| Some(Name::new(self.entry(*id)?.part.key()?)));
            Arc::new(Circles::among(names, sources))
        });
        circles.of(point)
    }

    /// What entries are sorted by.
    pub fn order(&self, id: EntryId) -> Option<(bool, &str, u32)> {
        let entry = self.entry(id)?;
        let file = self.file(entry.file)?;
        Some((file.library, &file.path, entry.ordinal))
    }

    /// A spot of an entry as bytes of its file.
    pub fn span(&self, id: EntryId, spot: &Spot) -> Option<(FileId, Range<u32>)> {
        let entry = self.entry(id)?;
        let piece = self.file(entry.file)?.file.pieces().get(entry.ordinal as usize)?;
        let span = spot.span(&entry.part);
        Some((entry.file, piece.start + span.start..piece.start + span.end))
    }

    /// The entry at an offset of a file, and the offset inside it.
    pub fn entry_at(&self, file: FileId, offset: u32) -> Option<(EntryId, u32)> {
        let f = self.file(file)?;
        let i = f.file.piece_at(offset)?;
        Some((*f.ids.get(i)?, offset.saturating_sub(f.file.pieces().get(i)?.start)))
    }
}
