//! From fixes as a logger wrote them to a clean track in a local frame.
//!
//! * [`FlightLog`]: what a file said, with where it said it (`crates/formats` makes these).
//! * [`Problem`]: something found on the way, located and counted, with advice; data, not an error.
//! * [`prepare`]: the way from the one to the other; its steps read in the order they are taken.
//! * [`Track`]: one time base, no repeats, no spikes, gaps known, east-north-up metres, ground velocities.
//!
//! ```
//! use driftless_track::{Fix, FlightLog, LogFormat, SourceRef, TrackConfig, prepare};
//!
//! // Half a minute to the north, one fix a second, 11 m further with each.
//! let fix = |second: u32| Fix {
//!     time: format!("2026-05-01T06:00:{second:02}Z").parse().expect("a time"),
//!     lat_deg: 47.0 + 1e-4 * f64::from(second),
//!     lon_deg: 11.0,
//!     source: SourceRef { line: second + 1, byte: 0 },
//!     // Nothing else was recorded.
//!     ..Fix::default()
//! };
//! let fixes = (0..30).map(fix).collect();
//! let log =
//!     FlightLog { format: LogFormat::Csv, fixes, marks: vec![], segment_starts: vec![0], problems: vec![] };
//! let track = prepare(&log, &TrackConfig::default())?;
//! assert_eq!((track.points.len(), track.duration_s()), (30, 29.0));
//! let speed_mps = track.points[15].velocity.speed_mps();
//! assert!((speed_mps - 11.1).abs() < 0.1, "{speed_mps}");
//! # Ok::<(), driftless_track::TrackError>(())
//! ```

#![cfg_attr(not(test), warn(clippy::indexing_slicing))]

mod airborne;
mod altitude;
mod flights;
mod frame;
mod input_limits;
mod log;
mod optional;
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

pub use driftless_units::{Scenario, VelocitySource};
pub use flights::Airborne;
pub use frame::Geodetic;

pub use input_limits::{Grouped, InputLimit, InputLimits, LimitSetting, LimitSettingError, OverLimit};
pub use log::{Fix, FixQuality, FlightLog, LogFormat, Mark, MarkKind, SourceRef};
pub use optional::OptionalF64;
pub use prepare::{NoTrack, TrackConfig, TrackError, prepare, prepare_or_tell};
pub use problem::{Problem, ProblemCode, Problems, Severity};
pub use track::{Gap, LocalFrame, Track, TrackPoint};
