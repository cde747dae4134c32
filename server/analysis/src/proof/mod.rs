//! What is proven of a unit. Top to bottom, each file knows those before it:
//!
//! - `state`: what schedules say, the mode that comes of it, one of a thing for each mode;
//! - `course`: a period as intervals in which no schedule changes, and the *kinds* of moments there are;
//! - `constraint`: which calls of a thermostat exclude each other, and what says so;
//! - `shape`: the input of every proof, and the key by which it is kept; no name, place or hour is in it;
//! - `schedules`, `rules`, `followed`: the way there. `Followed` (what stands behind a unit) comes *under* a course
//!   and is `Ruled` (what its zones' calls may do in each mode), which gives a `Shape`. No step can be left out;
//! - `setting`: a zone's limits as they are set at one time and another, for who needs no unit;
//! - `circuit`: a shape as functions, with any written fact of it left open;
//! - `budget`: how much work each question may take;
//! - `moment`: one kind of moment, with the states that are allowed in it;
//! - `effects`: which inputs change what a unit does;
//! - `question`: a claim put to a circuit; `why`: the fewest facts that force it;
//! - `solved`: what follows from a shape, and what was asked of it (`recall`), shared by all units of this shape.
//!
//! Words are made outside (`claim`, `facts`, `judge`), where names and places are known.

pub(crate) mod budget;
pub(crate) mod circuit;
pub(crate) mod constraint;
pub(crate) mod course;
pub(crate) mod effects;
pub(crate) mod followed;
pub(crate) mod moment;
pub(crate) mod question;
pub(crate) mod recall;
pub(crate) mod rules;
pub(crate) mod schedules;
pub(crate) mod setting;
pub(crate) mod shape;
pub(crate) mod solved;
pub(crate) mod state;
pub(crate) mod why;
