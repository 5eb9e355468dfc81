//! What a gyro brings to the whole-flight estimate, and what the estimate finds about it. The model is in
//! [`super::blocks::gyro`].

use super::{EstimateError, FlightEstimate};
use driftless_units::Estimate;

/// What a gyro says about the turn between two times, seconds from the path's epoch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GyroIncrement {
    /// Start.
    pub start_s: f64,
    /// End.
    pub end_s: f64,
    /// Heading change about the vertical, right positive, rad; bias left in.
    pub turn_rad: f64,
    /// Standard uncertainty of the heading at each end, rad. It belongs to the moment: where one increment ends and the
    /// next begins it is the same error, and it falls out of their sum.
    pub end_std_u_rad: f64,
    /// Standard uncertainty of the change by the gyro's white noise, rad: independent from one increment to the next.
    pub white_std_u_rad: f64,
}

/// The turns a gyro saw over a flight, and how well it was known before the flight was looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct GyroRates {
    /// In time order, not overlapping; what does not abut is a gap. Best laid on [`super::node_times`]; else short, as
    /// they are split in proportion where a node falls inside one. The swing is better not averaged out of them: the
    /// estimate follows it, and an average takes some of the turn's own wander along.
    pub increments: Vec<GyroIncrement>,
    /// Bias left in every rate, rad/s, before the track is looked at.
    pub bias_rad_s: Estimate<f64>,
    /// Random walk of the bias, rad/s per √s.
    pub bias_walk: f64,
    /// Standard uncertainty of the scale before the track is looked at.
    pub scale_std_u: f64,
    /// Standard uncertainty of the times above before the track is looked at, common to all, s.
    pub clock_std_u_s: f64,
    /// What the estimate cannot know about the gyro's headings.
    pub doubt: GyroDoubt,
}

/// Errors of gyro headings beyond what the estimate knows of them, as standard uncertainties; 0 for a perfect model.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct GyroDoubt {
    /// Share of a turn by which the scale found may be off.
    pub scale: f64,
    /// Heading at either end of a window, rad.
    pub end_rad: f64,
}

impl GyroDoubt {
    /// Of the turn of a window.
    pub(super) fn of_turn_rad(&self, turn_rad: f64) -> f64 {
        (self.scale * turn_rad).hypot(std::f64::consts::SQRT_2 * self.end_rad)
    }
}

/// An estimate made with a gyro, and what it found about the gyro.
#[derive(Debug, Clone)]
pub struct GyroEstimate {
    /// The flight.
    pub flight: FlightEstimate,
    /// The gyro.
    pub errors: GyroErrors,
}

/// Errors of a gyro, found together with the flight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GyroErrors {
    /// Bias left in the rates at the middle of the flight, rad/s.
    pub bias_rad_s: Estimate<f64>,
    /// Scale error left in the rates: they are too large by this share.
    pub scale: Estimate<f64>,
    /// What is to be added to the times of the increments, s. An axis that is pitched acts the same, and its part of the
    /// uncertainty is not in this one.
    pub clock_s: Estimate<f64>,
    /// Period of the twist of whoever carries the sensor about the aircraft, s.
    pub twist_period_s: f64,
    /// Its root mean square, rad.
    pub twist_rad: f64,
    /// Nodes of the estimate with a gyro heading.
    pub nodes: usize,
}

/// Why the gyro could not be used.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum GyroEstimateError {
    /// No node of the flight has a gyro heading.
    #[error("no node has a gyro heading")]
    NoOverlap,
    /// As without a gyro.
    #[error(transparent)]
    Estimate(#[from] EstimateError),
}
