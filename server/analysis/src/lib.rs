//! Joins the model with the engines: what each unit can do, at which hours, over all states its
//! inputs may take, and what that makes of a zone's air. Knows no protocol and no terminal.

mod analysis;
mod atom;
mod calls;
mod chart;
mod claim;
mod command;
pub mod drift;
mod drying;
mod facts;
mod judge;
mod logic_of_type;
mod memo;
mod proof;
mod reasons;
mod same;
mod sensors;
pub mod sheet;
mod signal;
mod time;
mod unit;
mod variables;
mod verdict;
mod wires;
mod words;

pub use analysis::Analysis;
pub use atom::Atom;
pub use calls::{Beyond, CallRule, call_rules};
pub use chart::{Chart, ChartInput, ChartRow, chart};
pub use claim::Claim;
pub use drying::{ZoneDrying, can_dry, drying_units};
pub use logic_of_type::TypeLogic;
pub use memo::Memo;
pub use model::Mode;
pub use proof::setting::{Setting, fixed_settings};
pub use proof::solved::{Moment, Reach};
pub use reasons::{Because, Reason, ReasonKind};
pub use sensors::Sensor;
pub use signal::Signal;
pub use time::TimedSchedule;
pub use unit::UnitAnalysis;
pub use verdict::{Gap, ServiceVerdict, Verdict, Verdicts, common, longest, shared};
pub use wires::Wires;
pub use words::{day_words, degrees_words, hours_words, moment_words};
