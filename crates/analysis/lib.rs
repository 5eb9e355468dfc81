//! The one road: a flight log and a configuration become a flight analysis. Pure: no files, no clock.

mod result;

pub use driftless_rates::{SecondOpinion, WindowRate};
pub use driftless_segment::{HandsOff, Origin, Window};
pub use driftless_track::{FlightLog, LogFormat, Problem, Scenario, Severity, Track, TrackPoint, VelocitySource};
pub use driftless_wind::flight::{FlightEstimate, Node, NoiseLevels, Observability};
pub use result::{FlightAnalysis, MadeBy, VelocityCircle, WindowMeasurement};
