//! From fixes as a logger wrote them to a clean track in a local frame.
//!
//! * [`FlightLog`]: what a file said, with where it said it (`crates/formats` makes these).
//! * [`Problem`]: something found on the way, located and counted, with advice; data, not an error.
//! * [`Track`]: one time base, no repeats, no spikes, gaps known, east-north-up metres, ground velocities.

mod log;
mod problem;
mod track;

pub use log::{Fix, FixQuality, FlightLog, LogFormat, Mark, MarkKind, Scenario, SourceRef};
pub use problem::{Problem, ProblemCode, Problems, Severity};
pub use track::{Gap, LocalFrame, Track, TrackPoint, VelocitySource};
