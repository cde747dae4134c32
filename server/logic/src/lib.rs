//! Boolean functions, and the questions worth asking of them.
//!
//! An [`Expr`] is what somebody wrote; a [`Function`] is what it means. Two expressions that mean
//! the same give equal functions, so a claim about every state is a comparison and not a sample.
//!
//! Everything here is bounded: each answer that could grow without end takes [`SearchLimits`] and says
//! in [`SearchResult::complete`] whether it stopped short, and a function that outgrows its [`Bounds`]
//! becomes [`Function::unknown`], of which every question is answered [`Answer::Unknown`].

mod answer;
mod bounds;
mod cores;
mod cube;
mod cube_sets;
mod diagram;
mod expr;
mod facts;
mod function;
mod limits;
mod order;
mod primes;
mod rows;
mod table;

pub use answer::Answer;
pub use bounds::Bounds;
pub use cores::{cores, corrections, minimal_core};
pub use cube::{Cube, Literal, Var};
pub use expr::{Expr, Op};
pub use facts::BitSet;
pub use function::Function;
pub use limits::{SearchLimits, SearchResult};
pub use primes::{blocking_sets, prime_implicants};
pub use rows::{MergedRow, merge_rows};
