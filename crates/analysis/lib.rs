//! The one road: a flight log and a configuration become a flight analysis. Pure: no files, no clock.
//!
//! [`analyse_files`] is the door: bytes in, an analysis or a located refusal out. [`analyse_flight`] behind it reads as the
//! pipeline. Reports see [`FlightAnalysis`] and the records inside it, nothing else.

mod air_track;
mod alert;
pub mod campaign;
mod compass;
mod config;
mod dates;
mod door;
mod flight;
mod flights;
mod gps;
mod inertial;
mod marks;
mod result;
mod second_opinion;
mod sensors;
mod stage;
mod start;
mod windows;

pub use air_track::AirTrackPoint;
pub use alert::FlightAlert;
pub use compass::{CompassAgreement, CompassReference, after_doubts};
pub use config::FlightConfig;
pub use dates::DateError;
pub use door::{Asked, FlightFiles, Refusal, RefusalFault, TextFile, analyse_files, read_log, sha256};
pub use driftless_inertial::align::{AlignError, Alignment};
pub use driftless_inertial::allan::{AllanPoint, BiasInstability};
pub use driftless_inertial::compass::{Compass, CompassDoubt, CompassError};
pub use driftless_inertial::mounting::DownError;
pub use driftless_inertial::swing::{HandsHint, Spectrum};
pub use driftless_inertial::{BesideGps, BiasSlope, ImuError, OwnNoise, RateSeries, SensorHealth, TemperatureHealth};
pub use driftless_segment::{
    Finding, HandsOff, Limits, Measured, Origin, SecondOpinion, SteadySpeed, Verdict, WindUnknown, Window, WindowRate,
    marks_file,
};
pub use driftless_track::{
    Airborne, FlightLog, Geodetic, Grouped, InputLimit, InputLimits, LimitSetting, LogFormat, OverLimit, Problem,
    Scenario, Severity, Track, TrackConfig, TrackError, TrackPoint, VelocitySource, prepare, prepare_or_tell,
};
pub use driftless_wind::flight::{EstimateError, GyroEstimateError};
pub use driftless_wind::flight::{FlightEstimate, Node, NoiseLevels, Observability, Settling, Smoothing, UnclearWind};
pub use flight::{AnalysisError, FlightInput, analyse_flight};
pub use flights::FlownFlight;
pub use inertial::{
    ClockOffset, ClockTimes, Difference, Headings, InertialAnalysis, InertialFile, InertialSource, InertialStatus,
    InertialWindow, NotAligned, NotRead, NotUsed, SensorsUsed, compass_headings, gyro_rates,
};
pub use result::{FileNotUsed, FlightAnalysis, MadeBy, VelocityCircle, WindowMeasurement};
pub use stage::Stage;
