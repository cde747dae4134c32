//! The one door to a job for editor and command line: its files on disk and in editors, what the
//! checks found, and how little of it an edit makes stale.

mod disk;
mod ledger;
mod library_copy;
mod overlay;
mod path;
mod pointers;
mod readers;
mod repair;
mod repeats;
mod run;
mod sheets;
mod walk;
mod workspace;

pub use disk::{find_jobs, find_root};
pub use library_copy::library_copy;
pub use overlay::Overlay;
pub use path::{as_spelled, real};
pub use repair::{Chosen, FileEdit, Repair, Repairer, Stop, edits_of};
pub use walk::{LeftOut, SITE, Why};
pub use workspace::{Batch, Changes, Workspace};
