//! Joins the model with the engines: what each unit can do, at which hours, over all states its
//! inputs may take, and what that makes of a zone's air. Knows no protocol and no terminal.

mod atom;
mod calls;
mod chart;
mod circuit;
mod command;
mod constraint;
mod course;
pub mod drift;
mod drying;
mod facts;
mod followed;
mod judge;
mod logic_of_type;
mod memo;
mod question;
mod reasons;
mod sensors;
mod setting;
mod shape;
mod signal;
mod solved;
mod time;
mod unit;
mod variables;
mod verdict;
mod why;
mod wires;
mod words;

pub use atom::Atom;
pub use calls::{Beyond, CallRule, Mode, call_rules};
pub use chart::{Chart, ChartInput, ChartRow, chart};
pub use drying::{DRYING, ZoneDrying, can_dry, drying_units, zone_drying};
pub use logic_of_type::TypeLogic;
pub use memo::Memo;
pub use reasons::{Because, Reason, ReasonKind};
pub use sensors::Sensor;
pub use setting::{Setting, settings};
pub use signal::Signal;
pub use solved::{Moment, Reach};
pub use time::{TimedSchedule, period, timed};
pub use unit::{UnitAnalysis, analyse, call_inputs};
pub use verdict::{Gap, ServiceVerdict, Verdict, Verdicts};
pub use why::Claim;
pub use wires::Wires;
pub use words::{call_words, day_words, degrees_words, hours_words, moment_words};
