//! Let-go and take-over, the hands-off windows between them, and the scenario of each.
//!
//! The road through this crate:
//!
//! 1. [`pair_marks`] pairs the marks of a log; [`marks_file`] reads and places those of a marks file.
//! 2. [`Signals`] prepares turn rate, airspeed and climb from a whole-flight estimate that knows of no windows.
//! 3. [`windows`] trims the transient after let-go and names scenarios; where nothing is marked it searches for
//!    steady stretches first ([`find_candidates`]), which stay candidates until somebody vouches for them.
//! 4. [`judge`] accepts or refuses a measured window, with the figure and the limit of each reason.
//!
//! All limits are in [`Limits`], each with its default and the reason for it.

mod candidates;
mod change_points;
mod judge;
mod limits;
mod marks;
pub mod marks_file;
mod robust;
mod scenario;
mod series;
mod signals;
mod transient;
mod window;
mod windows;

#[cfg(test)]
mod tests;

pub use candidates::{Candidate, find_candidates};
pub use judge::{Evidence, judge, looks_steady};
pub use limits::Limits;
pub use marks::{MarkedStretch, pair_marks};
pub use signals::Signals;
pub use transient::time_constant_s;
pub use window::{HandsOff, Origin, Window};
pub use windows::windows;
