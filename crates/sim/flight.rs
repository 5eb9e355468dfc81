//! A simulated flight: what the logger recorded, and the truth.

use crate::imu::{self, ImuSample};
use crate::scenario::{Format, Scenario};
use crate::truth::Truth;
use crate::{SimError, fly, sensors};
use driftless_track::{Fix, FlightLog, InputLimits, LogFormat, Mark};

/// A flight made from a scenario and a seed.
#[derive(Debug, Clone, PartialEq)]
pub struct SimulatedFlight {
    /// What it was made from.
    pub scenario: Scenario,
    /// The seed of its randomness.
    pub seed: u64,
    /// What the logger recorded.
    pub fixes: Vec<Fix>,
    /// What the pilot marked.
    pub marks: Vec<Mark>,
    /// What the inertial sensor recorded, if there is one.
    pub imu: Vec<ImuSample>,
    /// What really happened.
    pub truth: Truth,
}

/// Flies a scenario. The same scenario and seed give the same flight to the bit, on every machine.
///
/// # Errors
/// [`SimError::Invalid`] for values out of range, [`SimError::Endless`], [`SimError::TooLong`] and
/// [`SimError::HitsGround`] for a plan that cannot be flown.
pub fn simulate(scenario: &Scenario, seed: u64) -> Result<SimulatedFlight, SimError> {
    simulate_within(scenario, seed, &InputLimits::default())
}

/// The same for flights of another length than is usual.
///
/// # Errors
/// Those of [`simulate`], [`SimError::TooLong`] at the limit given.
pub fn simulate_within(scenario: &Scenario, seed: u64, limits: &InputLimits) -> Result<SimulatedFlight, SimError> {
    scenario.check().map_err(crate::scenario::Fault::unlocated)?;
    let truth = fly::fly(scenario, seed, limits)?;
    let fixes = sensors::record(scenario, seed, &truth);
    let marks = sensors::marks(scenario, seed, &truth);
    let imu = imu::record(scenario, seed, &truth);
    Ok(SimulatedFlight { scenario: scenario.clone(), seed, fixes, marks, imu, truth })
}

impl SimulatedFlight {
    /// The flight as a log in memory, as if read from a file of the scenario's first format.
    pub fn to_log(&self) -> FlightLog {
        let format = match self.scenario.output.formats.first() {
            Some(Format::Igc) => LogFormat::Igc,
            Some(Format::Nmea) => LogFormat::Nmea,
            Some(Format::Csv) => LogFormat::Csv,
            Some(Format::Gpx) | None => LogFormat::Gpx,
        };
        let marks = if self.scenario.output.marks_in_log { self.marks.clone() } else { Vec::new() };
        FlightLog { format, fixes: self.fixes.clone(), marks, segment_starts: vec![0], problems: Vec::new() }
    }
}
