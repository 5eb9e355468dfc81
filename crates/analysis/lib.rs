//! The one road: a flight log and a configuration become a flight analysis. Pure: no files, no clock.
//!
//! [`analyse_files`] is the door: bytes in, an analysis or a located refusal out. [`analyse_flight`] behind it reads as the
//! pipeline. Reports see [`FlightAnalysis`] and the records inside it, nothing else.

mod air_track;
mod alert;
pub mod campaign;
mod combined;
mod compass;
mod config;
mod dates;
mod door;
mod flight;
mod inertial;
mod result;
mod second_opinion;
mod start;

pub use air_track::AirTrackPoint;
pub use alert::FlightAlert;
pub use combined::{CombinedRate, combined_rates};
pub use compass::{CompassAgreement, CompassReference, after_doubts};
pub use config::FlightConfig;
pub use dates::DateError;
pub use door::{Asked, FlightFiles, Refusal, RefusalFault, TextFile, analyse_files, read_log, sha256};
pub use driftless_inertial::align::Alignment;
pub use driftless_inertial::allan::{AllanPoint, BiasInstability};
pub use driftless_inertial::compass::{Compass, CompassDoubt, CompassError};
pub use driftless_inertial::swing::{HandsHint, Spectrum};
pub use driftless_inertial::{BiasSlope, RateSeries, SensorHealth, TemperatureHealth};
pub use driftless_segment::{
    Finding, HandsOff, Limits, Measured, Origin, SecondOpinion, SteadySpeed, WindUnknown, Window, WindowRate,
    marks_file,
};
pub use driftless_track::{
    FlightLog, Geodetic, Grouped, InputLimit, InputLimits, LimitSetting, LogFormat, OverLimit, Problem, Scenario,
    Severity, Track, TrackConfig, TrackError, TrackPoint, VelocitySource, prepare, prepare_or_tell,
};
pub use driftless_wind::flight::EstimateError;
pub use driftless_wind::flight::{FlightEstimate, Node, NoiseLevels, Observability, UnclearWind};
pub use flight::{AnalysisError, FlightInput, Stage, analyse_flight};
pub use inertial::{
    ClockOffset, ClockTimes, Difference, Headings, InertialAnalysis, InertialFile, InertialSource, InertialWindow,
    analyse_inertial, compass_headings, gyro_rates,
};
pub use result::{FlightAnalysis, MadeBy, VelocityCircle, WindowMeasurement};
