//! What a compass brings to the whole-flight estimate, and what the estimate finds about it. The model is in
//! [`super::blocks::compass`].

use super::{EstimateError, FlightEstimate, GyroErrors, GyroEstimateError};
use driftless_units::Estimate;

/// What a compass says at one time, seconds from the path's epoch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CompassReading {
    /// Time.
    pub t_s: f64,
    /// Heading from true north, hard iron and declination taken off as well as they are known, rad.
    pub heading_rad: f64,
}

/// The headings of a compass over a flight, and how well it was known before the flight was looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct CompassHeadings {
    /// In time order, at [`super::node_times`]; what lies elsewhere is not used.
    pub readings: Vec<CompassReading>,
    /// Standard uncertainties of the deviation that is left.
    pub deviation_std_u: DeviationStdU,
    /// Standard uncertainty of the times above, common to all, s.
    pub lag_std_u_s: f64,
    /// Slow and white error are taken to be no less than these, root mean square, rad: a flight tells them badly.
    pub least_errors_rad: [f64; 2],
}

/// How well the deviation of a compass is known beforehand: it is taken to be nothing, to within these.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DeviationStdU {
    /// Coefficients A to E, rad.
    pub coefficients_rad: [f64; 5],
    /// Heeling coefficient, rad per rad of bank.
    pub heeling: f64,
}

/// An estimate made with a compass, and what it found about the compass.
#[derive(Debug, Clone)]
pub struct CompassEstimate {
    /// The flight.
    pub flight: FlightEstimate,
    /// The compass.
    pub errors: CompassErrors,
    /// The gyro, where it took part.
    pub gyro: Option<GyroErrors>,
}

/// Errors of a compass, found together with the flight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CompassErrors {
    /// Coefficients A to E of the deviation, rad.
    pub deviation_rad: [Estimate<f64>; 5],
    /// Heeling coefficient, rad per rad.
    pub heeling: Estimate<f64>,
    /// How much is to be added to its times, s.
    pub lag_s: Estimate<f64>,
    /// Slow error, root mean square, rad.
    pub slow_rad: f64,
    /// White error of a node, rad.
    pub white_rad: f64,
    /// The strangest step of the slow error.
    pub jump: Jump,
    /// Nodes of the estimate with a compass heading.
    pub nodes: usize,
}

/// The step of the flight at which the slow error of a compass fits its own model worst: the disturbance over the standard
/// deviation that it would have if the model held (auxiliary residual; Harvey & Koopman, *J. Bus. Econ. Stat.* 10 (1992)
/// 377-389; from memory).
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Jump {
    /// When, seconds from the path's epoch.
    pub t_s: f64,
    /// How many standard deviations, signed: easterly error positive.
    pub sigmas: f64,
}

/// Why a compass could not be used.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CompassEstimateError {
    /// No node of the flight has a compass heading.
    #[error("no node has a compass heading")]
    NoOverlap,
    /// The gyro beside it cannot be used.
    #[error(transparent)]
    Gyro(#[from] GyroEstimateError),
    /// As without a compass.
    #[error(transparent)]
    Estimate(#[from] EstimateError),
}
