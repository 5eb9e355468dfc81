//! What an analysis holds. Reports see this and nothing else.

use crate::combined::{airspeed_open, doubtful_near_ground};
use crate::{CombinedRate, CompassAgreement, FlightAlert, FlownFlight, InertialAnalysis, NotAligned, combined_rates};
use driftless_segment::{Favoured, Measured, WindUnknown, Window, WindowRate};
use driftless_track::{LogFormat, Problem, Track};
use driftless_units::{Estimate, Wind};
use driftless_wind::flight::FlightEstimate;

/// How an output was made; every output carries it.
#[derive(Debug, Clone, PartialEq)]
pub struct MadeBy {
    /// Version of the program.
    pub version: String,
    /// Command line as typed.
    pub command: String,
    /// SHA-256 of the log as given (before decompression), lower-case hex.
    pub input_sha256: String,
    /// Configuration, as name and value.
    pub config: Vec<(String, String)>,
}

/// One flight, analysed.
#[derive(Debug, Clone)]
pub struct FlightAnalysis {
    /// How this was made.
    pub made_by: MadeBy,
    /// Name of the log file as given.
    pub file: String,
    /// Format of the log.
    pub format: LogFormat,
    /// Fixes read from the file.
    pub fixes_read: usize,
    /// The cleaned track.
    pub track: Track,
    /// Problems met on the way, reading included.
    pub problems: Vec<Problem>,
    /// What the analysis has to tell about its result.
    pub alerts: Vec<FlightAlert>,
    /// The flights of the log, in time order; none when it stays on the ground.
    pub flights: Vec<FlownFlight>,
    /// The whole-flight estimate, of several flights one behind the other; `None` when there was nothing to estimate from (see `alerts`).
    pub estimate: Option<FlightEstimate>,
    /// The circle fitted to the ground velocities of the flight (or of its best span); `None` when none fits.
    pub circle: Option<VelocityCircle>,
    /// Windows in time order, accepted and refused.
    pub windows: Vec<WindowMeasurement>,
    /// The heading recorded in the log against the estimated one; `None` without one, or where no headings are known.
    pub compass: Option<CompassAgreement>,
    /// What inertial files beside the log add; `None` when none were given.
    pub inertial: Option<InertialAnalysis>,
}

/// A window with everything measured in it.
pub type WindowMeasurement = WindowRate;

/// A circle in velocity space: centre = wind, radius = airspeed.
#[derive(Debug, Clone, Copy)]
pub struct VelocityCircle {
    /// Centre: the wind.
    pub wind: Wind,
    /// Covariance of the centre, m²/s²: [east-east, east-north, north-north], correlated residuals accounted for.
    pub wind_cov: [f64; 3],
    /// Radius: the airspeed, m/s.
    pub airspeed_mps: Estimate<f64>,
    /// Root-mean-square distance of the velocities from the circle, m/s.
    pub residual_mps: f64,
    /// Start of the span it was fitted to, seconds from the track's epoch.
    pub start_s: f64,
    /// End of that span.
    pub end_s: f64,
}

/// Problems that leave a whole file out.
const NOT_USED: [&str; 2] = ["imu-not-read", "marks-file-unused"];

/// A file given beside a log that had no part in its analysis.
#[derive(Debug, Clone, PartialEq)]
pub enum FileNotUsed {
    /// What was told while reading it.
    Told(Problem),
    /// An inertial file that cannot be laid on the flight.
    NotAligned(NotAligned),
}

impl FileNotUsed {
    /// Stable name of the kind, as in the list of problems.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Told(problem) => problem.code,
            Self::NotAligned(_) => "imu-not-aligned",
        }
    }

    /// Stable name of the reason, and the figure that decided, with its limit.
    pub fn reason(&self) -> (&'static str, Measured) {
        match self {
            Self::Told(problem) => (problem.code, Measured::default()),
            Self::NotAligned(why) => why.reason(),
        }
    }
}

impl FlightAnalysis {
    /// Why the wind is not known; `None` when it is.
    pub fn wind_unknown(&self) -> Option<&WindUnknown> {
        self.alerts.iter().find_map(|alert| match alert {
            FlightAlert::WindNotKnown(why) | FlightAlert::AirspeedOpen { why, .. } => Some(why),
            _ => None,
        })
    }

    /// What is wrong with files given beside the log that had no part in this: whoever names a file expects it to be used.
    pub fn files_not_used(&self) -> impl Iterator<Item = FileNotUsed> {
        let told = self.problems.iter().filter(|problem| NOT_USED.contains(&problem.code)).cloned();
        let not_aligned = self.alerts.iter().filter_map(|alert| match alert {
            FlightAlert::SensorNotAligned(why) => Some(FileNotUsed::NotAligned(why.clone())),
            _ => None,
        });
        told.map(FileNotUsed::Told).chain(not_aligned)
    }

    /// The number, from 1, of the flight that a window belongs to; `None` when it was marked in a log that stays on the ground.
    pub fn flight_of(&self, window: &Window) -> Option<usize> {
        self.flights.iter().position(|flight| flight.windows.contains(&window.id)).map(|place| place + 1)
    }

    /// The accepted windows of each flight, set-up and scenario as one figure.
    pub fn combined(&self) -> Vec<CombinedRate> {
        combined_rates(&self.windows, |window| self.flight_of(window))
    }

    /// What to make of a second opinion that lies farther from the turn rate of a window than chance would bring about in a
    /// report of this many windows; `None` when both agree, or where there is none.
    pub fn disagreement(&self, measured: &WindowMeasurement) -> Option<Favoured> {
        let compared = self.accepted().filter(|w| w.second_opinion.is_some()).count();
        measured.second_opinion.as_ref()?.disagreement(measured.turn_rate?.value, compared)
    }

    /// Accepted windows whose rate holds for each airspeed that the log leaves open, but for candidates near the ground, which make
    /// no figure of anything.
    pub fn rates_without_wind(&self) -> impl Iterator<Item = &WindowMeasurement> {
        self.accepted().filter(|w| airspeed_open(w) && !doubtful_near_ground(w))
    }

    /// Windows that passed every limit.
    pub fn accepted(&self) -> impl Iterator<Item = &WindowMeasurement> {
        self.windows.iter().filter(|w| w.accepted())
    }
}
