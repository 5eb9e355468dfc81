//! From fixes as a logger wrote them to a clean track in a local frame.
//!
//! * [`FlightLog`]: what a file said, with where it said it (`crates/formats` makes these).
//! * [`Problem`]: something found on the way, located and counted, with advice; data, not an error.
//! * [`prepare`]: the way from the one to the other; its steps read in the order they are taken.
//! * [`Track`]: one time base, no repeats, no spikes, gaps known, east-north-up metres, ground velocities.

#![cfg_attr(not(test), warn(clippy::indexing_slicing))]

mod airborne;
mod altitude;
mod flights;
mod frame;
mod input_limits;
mod log;
mod order;
mod path;
mod prepare;
mod problem;
mod rounding;
mod spikes;
mod stale;
mod track;
mod trusted;
mod velocity;

pub use driftless_units::Scenario;
pub use flights::Airborne;
pub use frame::Geodetic;

pub use input_limits::{Grouped, InputLimit, InputLimits, LimitSetting, LimitSettingError, OverLimit};
pub use log::{Fix, FixQuality, FlightLog, LogFormat, Mark, MarkKind, SourceRef};
pub use prepare::{NoTrack, TrackConfig, TrackError, prepare, prepare_or_tell};
pub use problem::{Problem, ProblemCode, Problems, Severity};
pub use track::{Gap, LocalFrame, Track, TrackPoint, VelocitySource};
