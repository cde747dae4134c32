//! What the files of a job declare: facts lowered from the tree, names, references, and the index
//! across files; the built-in unit types.
//!
//! The model reports no finding of its own: what cannot be read as meant is a [`Problem`], data
//! like the rest, and the rest is still read. Facts hold node numbers instead of byte offsets, so
//! that an edit of layout changes no fact.

pub mod bacnet;
mod circles;
mod deviation;
mod entry;
mod fields;
pub mod graph;
mod halves;
mod index;
mod job;
mod key;
mod kind;
mod library;
mod lower;
mod names;
mod nearest;
mod prepared;
mod problem;
mod quantity;
mod renamed;
mod schema;
pub mod trade;
mod view;
mod word_list;
mod words;

pub use deviation::Deviation;
pub use entry::{Entry, EntryId, FileId};
pub use fields::{Field, ValueShape};
pub use job::{Contributors, Import, ImportError, Job, JobFile, Touched};
pub use key::Key;
pub use kind::{Entries, Kind, Symbol};
pub use library::TEXTS as LIBRARY;
pub use lower::LONGEST_NAME;
pub use lower::calendar::{Calendar, Days};
pub use lower::device::Device;
pub use lower::limits::{self, PublishedLimit};
pub use lower::point::{self, Driver, Operator, Point, Source};
pub use lower::reader::Use;
pub use lower::requirement::{self, Demand, Hours, Requirement};
pub use lower::schedule::{self, Schedule};
pub use lower::site::{self, SiteField};
pub use lower::unit::{Unit, Wiring};
pub use lower::unit_type::{InputDecl, OptionDecl, OutputDecl, UnitType};
pub use lower::zone::{self, FollowedLimit, ModeLimits, Thermostat, Zone};
pub use lower::{Declared, Facts, Item, entry_shape};
pub use names::{Name, Spot, Within, Written};
pub use nearest::{is_slip, nearest};
pub use prepared::Prepared;
pub use problem::{Problem, ProblemKind};
pub use quantity::{Quantity, QuantityKind, Range, UnitOfMeasure, plain};
pub use renamed::{did_you_mean, renamed};
pub use schema::schema;
pub use trade::{Call, LimitKey, Mode, Role, Service, Side};
pub use view::{Found, LimitInForce, Place, View};
pub use word_list::list_words;
pub use words::Words;
