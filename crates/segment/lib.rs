//! Let-go and take-over, the hands-off windows between them, the scenario of each, and what was measured in it.
//!
//! The road through this crate:
//!
//! 1. [`pair_marks`] pairs the marks of a log; [`marks_file`] reads and places those of a marks file.
//! 2. [`Signals`] prepares turn rate, airspeed and climb from a whole-flight estimate.
//! 3. [`window_spans`] trims the transient after let-go; where nothing is marked it searches for steady spans first
//!    (`candidates`), which stay candidates until somebody vouches for them. [`looks_steady`] says which of
//!    them the whole-flight estimate may take as steady when it is run again.
//! 4. [`name_scenarios`] makes windows of them: numbered, and with trim and power from climb, airspeed and engine where
//!    nobody named a scenario.
//! 5. [`measure`] takes the two turn rates of a window from the estimate: what the aircraft did between its ends
//!    ([`WindowRate::turn_rate`]) and what the set-up does ([`WindowRate::steady_rate`]). Beside them stand the second
//!    opinion, the raw [`course_rate`] for contrast, and bank, air radius and load factor of the coordinated turn.
//!    [`judge`] then accepts or refuses the window, with the figure and the limit of each reason: the [`Verdict`].
//!
//! All limits are in [`Limits`]; what they are by default, and every other figure, is in [`constants`] with its source.
//!
//! ```
//! use driftless_segment::{Finding, Verdict, marks_file};
//! use driftless_track::{InputLimits, Scenario};
//!
//! // Seconds count from the first fix.
//! let rows = marks_file::parse("let_go,take_over,scenario\n60,130,trim-level\n", &InputLimits::default())?;
//! assert_eq!(rows[0].scenario, Some(Scenario::TrimLevel));
//!
//! // What speaks against a window is data with the figure and the limit; a caution refuses nothing.
//! let low = Finding::FlownLow { height_m: 120.0, limit_m: 150.0 };
//! assert!(Verdict { findings: vec![low.clone()] }.accepted());
//! let short = Finding::TooShort { length_s: 12.0, cut_s: 8.0, limit_s: 20.0 };
//! assert_eq!((short.code(), short.measured().limit), ("too-short", Some(20.0)));
//! assert!(!Verdict { findings: vec![short, low] }.accepted());
//! # Ok::<(), marks_file::MarksError>(())
//! ```

#![cfg_attr(not(test), warn(clippy::indexing_slicing))]

mod candidates;
mod change_points;
pub mod constants;
mod course;
mod finding;
mod judge;
mod limits;
mod marks;
pub mod marks_file;
mod measure;
mod near_ground;
mod scenario;
mod second_opinion;
mod series;
mod signals;
mod spans;
mod steady;
mod transient;
mod trend;
mod verdict;
mod window;
mod window_rate;

#[cfg(test)]
mod testing;

pub use course::course_rate;
pub use finding::{Finding, Measured, SteadySpeed, WindUnknown};
pub use judge::{Evidence, judge};
pub use limits::Limits;
pub use marks::{HandsOffSpan, pair_marks};
pub use measure::{Basis, measure, turn_rate};
pub use scenario::name_scenarios;
pub use second_opinion::{CircleOpinion, Favoured, SecondOpinion};
pub use signals::Signals;
pub use spans::window_spans;
pub use steady::looks_steady;
pub use verdict::Verdict;
pub use window::{HandsOff, Origin, ScenarioBasis, Window, WindowSpan};
pub use window_rate::WindowRate;
