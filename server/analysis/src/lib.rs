//! Joins the model with the engines: what each unit can do, at which hours, over all states its
//! inputs may take. Knows no protocol and no terminal.

mod calls;
mod chart;
mod logic_of_type;
mod memo;
mod reasons;
mod signal;
mod time;
mod unit;
mod verdict;
mod words;

pub use calls::{CallRule, Mode, call_rules};
pub use chart::{Chart, ChartInput, ChartRow, chart};
pub use logic_of_type::TypeLogic;
pub use memo::Memo;
pub use reasons::Because;
pub use signal::{Atom, Signal};
pub use time::{TimedSchedule, period, timed};
pub use unit::{Moment, UnitAnalysis, analyse};
pub use verdict::{Gap, ServiceVerdict, Verdict, Verdicts};
pub use words::{call_words, day_words, hours_words, moment_words};
