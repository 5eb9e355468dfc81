//! What was flown: flights with logs, runs timed with a stopwatch, runs with a known weight.

use super::{FlightId, PilotId, SetupId, WingId};
use chrono::NaiveDate;
use driftless_units::Scenario;

/// What a run was flown with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FlownWith {
    /// Set-up.
    pub setup: SetupId,
    /// Wing.
    pub wing: WingId,
    /// Pilot, where named.
    pub pilot: Option<PilotId>,
}

/// A flight with a log.
#[derive(Debug, Clone, PartialEq)]
pub struct Flight {
    /// Key by which other runs name it: `id` in the file, else the name of the log without folder and ending.
    pub key: String,
    /// Path of the log, as written (relative to the campaign file).
    pub log: String,
    /// Path of the marks file, if there is one.
    pub marks: Option<String>,
    /// Paths of inertial files recorded beside it.
    pub imu: Vec<String>,
    /// Path of the column mapping of a CSV log, if it has one.
    pub csv_map: Option<String>,
    /// Why the whole flight counts for nothing, where somebody decided so; its files are then not read.
    pub exclude: Option<String>,
    /// What it was flown with; a window may say otherwise in the marks file.
    pub with: FlownWith,
    /// Scenario of all its windows, where the log cannot tell.
    pub scenario: Option<Scenario>,
    /// Whether windows that nobody marked count as hands-off.
    pub take_candidates: bool,
    /// Windows left out on purpose, by number, each with the reason.
    pub leave_out: Vec<LeftOut>,
    /// Air temperature at the height of the windows, °C.
    pub temperature_c: Option<f64>,
    /// Pressure at sea level (QNH), hPa.
    pub qnh_hpa: Option<f64>,
    /// Height band and the like, in words.
    pub altitude_note: Option<String>,
    /// Note.
    pub note: Option<String>,
    /// Line in the campaign file.
    pub line: usize,
}

/// A window left out by the person who wrote the campaign file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOut {
    /// Number of the window in the flight's report.
    pub window: u32,
    /// Why.
    pub reason: String,
}

/// A window of a flight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct WindowRef {
    /// The flight.
    pub flight: FlightId,
    /// Number of the window in its report.
    pub window: u32,
}

/// Which way the aircraft turned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turned {
    /// To the left.
    Left,
    /// To the right.
    Right,
}

impl Turned {
    /// Right positive.
    pub const fn sign(self) -> f64 {
        match self {
            Self::Left => -1.0,
            Self::Right => 1.0,
        }
    }
}

/// What a stopwatch said: an angle past landmarks, and the time it took.
#[derive(Debug, Clone, PartialEq)]
pub struct Timing {
    /// Angle turned through, degrees, without sign.
    pub degrees: f64,
    /// Time it took (mean of `count` timings), seconds.
    pub seconds: f64,
    /// How many times it was timed.
    pub count: u32,
    /// Which way it turned.
    pub turned: Turned,
    /// Standard uncertainty of one reading of the watch (start and stop together), seconds.
    pub reading_std_u_s: f64,
    /// Standard uncertainty of pointing at the landmarks (both ends together), degrees.
    pub pointing_std_u_deg: f64,
}

/// A run timed with a stopwatch.
#[derive(Debug, Clone, PartialEq)]
pub struct StopwatchRun {
    /// What it was flown with.
    pub with: FlownWith,
    /// Scenario.
    pub scenario: Scenario,
    /// What the watch said.
    pub timing: Timing,
    /// Who timed.
    pub timed_by: Option<String>,
    /// Day.
    pub date: Option<NaiveDate>,
    /// The window of a log on the same run, to compare both. The run then counts once, by its log.
    pub same_run: Option<WindowRef>,
    /// Note.
    pub note: Option<String>,
    /// Where it stands.
    pub place: Place,
}

/// A weight hung on one side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HungWeight {
    /// Mass, kg.
    pub mass_kg: f64,
    /// Standard uncertainty of the mass, kg.
    pub mass_std_u_kg: f64,
    /// Arm from the middle, m.
    pub arm_m: f64,
    /// Standard uncertainty of the arm, m.
    pub arm_std_u_m: f64,
    /// Side on which it hung.
    pub side: Turned,
}

/// A run with a known weight, which shows how strongly a wing answers to a moment. It counts for that alone.
#[derive(Debug, Clone, PartialEq)]
pub struct KnownWeightRun {
    /// The weight; a mass of zero is the reference run without it.
    pub weight: HungWeight,
    /// How its turn rate is known.
    pub measured: WeightMeasured,
    /// Note.
    pub note: Option<String>,
    /// Where it stands.
    pub place: Place,
}

/// How the turn rate of a known-weight run is known.
#[derive(Debug, Clone, PartialEq)]
pub enum WeightMeasured {
    /// By windows of a flight; without numbers, by all of them.
    Log {
        /// The flight.
        flight: FlightId,
        /// Numbers of the windows; empty for all.
        windows: Vec<u32>,
    },
    /// With a stopwatch.
    Stopwatch {
        /// What it was flown with.
        with: FlownWith,
        /// Scenario.
        scenario: Scenario,
        /// What the watch said.
        timing: Timing,
    },
}

/// Where something stands: in the campaign file, or in a sheet of runs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// Name of the file.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
}
