//! The one road: a flight log and a configuration become a flight analysis. Pure: no files, no clock.
//!
//! [`analyse_files`] is the door: bytes in, an analysis or a located refusal out. [`analyse_flight`] behind it reads as the
//! road: what GPS says (`gps`), what sensors add (`sensors`), what was measured (`windows`). Reports see [`FlightAnalysis`]
//! and the records inside it, nothing else.
//!
//! ```
//! use driftless_analysis::{Asked, FlightFiles, analyse_files};
//!
//! // A minute and a half straight on, one position a second: such a flight does not show the wind.
//! let row = |s: u32| format!("2026-05-01T06:{:02}:{:02}Z,{:.6},11\n", s / 60, s % 60, 47.0 + 1e-4 * f64::from(s));
//! let log = format!("time,lat,lon\n{}", (0..90).map(row).collect::<String>());
//! let files = FlightFiles { name: "straight.csv".to_owned(), log: log.as_bytes(), ..FlightFiles::default() };
//! let analysis = analyse_files(files, &Asked::default(), &mut |_| ())?;
//! assert_eq!(analysis.fixes_read, 90);
//! assert!(analysis.wind_unknown().is_some() && analysis.accepted().all(|window| window.airspeed_mps.is_none()));
//! # Ok::<(), driftless_analysis::Refusal>(())
//! ```

mod air_track;
mod alert;
pub mod campaign;
mod combined;
mod compass;
mod config;
pub mod constants;
mod dates;
mod door;
mod dropped;
mod flight;
mod flights;
mod gps;
mod inertial;
mod marks;
mod power;
mod result;
mod second_opinion;
mod sensors;
mod stage;
mod start;
mod windows;

pub use air_track::AirTrackPoint;
pub use alert::FlightAlert;
pub use combined::{CombinedRate, combined_rates, typical_days};
pub use compass::{CompassAgreement, CompassDoubt, CompassReference, after_doubts};
pub use config::FlightConfig;
pub use dates::DateError;
pub use door::{Asked, FlightFiles, Refusal, RefusalFault, TextFile, analyse_files, read_log, sha256};
pub use driftless_inertial::align::{AlignError, Alignment};
pub use driftless_inertial::allan::{AllanPoint, BiasInstability};
pub use driftless_inertial::compass::{CalibrationDoubt, Compass, CompassError, EarthError};
pub use driftless_inertial::mounting::DownError;
pub use driftless_inertial::swing::{HandsHint, Spectrum};
pub use driftless_inertial::{BesideGps, BiasSlope, ImuError, OwnNoise, RateSeries, SensorHealth, TemperatureHealth};
pub use driftless_segment::{
    Favoured, Finding, HandsOff, Limits, Measured, Origin, ScenarioBasis, SecondOpinion, SteadySpeed, Verdict,
    WindUnknown, Window, WindowRate, marks_file,
};
pub use driftless_track::{
    Airborne, Fix, FixQuality, FlightLog, Geodetic, Grouped, InputLimit, InputLimits, LimitSetting, LogFormat, Mark,
    MarkKind, NoTrack, OverLimit, Problem, Scenario, Severity, Track, TrackConfig, TrackError, TrackPoint,
    VelocitySource, prepare, prepare_or_tell,
};
pub use driftless_wind::flight::{CompassEstimateError, EstimateError, GyroEstimateError};
pub use driftless_wind::flight::{
    FlightEstimate, Node, NoiseLevels, Observability, Rival, Settling, Smoothing, UnclearWind,
};
pub use dropped::{DroppedFault, DroppedKind, Times, dropped_kind, is_archive, is_campaign};
pub use flight::{AnalysisError, FlightInput, analyse_flight};
pub use flights::FlownFlight;
pub use inertial::{
    ClockOffset, ClockTimes, Difference, Headings, InertialAnalysis, InertialFile, InertialSource, InertialStatus,
    InertialWindow, NotAligned, NotRead, NotUsed, SensorCompass, SensorsUsed, compass_headings, gyro_rates,
};
pub use power::{PowerKnown, PowerSource};
pub use result::{FileNotUsed, FlightAnalysis, MadeBy, VelocityCircle, WindowMeasurement};
pub use stage::Stage;
