//! Let-go and take-over, the hands-off windows between them, and the scenario of each.
//!
//! The road through this crate:
//!
//! 1. [`pair_marks`] pairs the marks of a log; [`marks_file`] reads and places those of a marks file.
//! 2. [`Signals`] prepares turn rate, airspeed and climb from a whole-flight estimate.
//! 3. [`windows`] trims the transient after let-go; where nothing is marked it searches for steady stretches first
//!    ([`find_candidates`]), which stay candidates until somebody vouches for them. [`looks_steady`] says which of
//!    them the whole-flight estimate may take as steady when it is run again.
//! 4. [`name_scenarios`] names trim and power from climb, airspeed and engine where nobody did.
//! 5. [`judge`] accepts or refuses a measured window, with the figure and the limit of each reason.
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
mod testing;

pub use candidates::{Candidate, find_candidates};
pub use judge::{Evidence, judge, looks_steady};
pub use limits::Limits;
pub use marks::{MarkedStretch, pair_marks};
pub use scenario::name_scenarios;
pub use signals::Signals;
pub use transient::time_constant_s;
pub use window::{HandsOff, Origin, Window};
pub use windows::windows;
