//! The state of the flight at one node, and the names of its parts.

use nalgebra::{SMatrix, SVector};

/// Number of state variables.
pub(super) const DIM: usize = 12;

/// Position over the ground, east, m. It carries the slow part of the receiver's error along.
pub(super) const POS_E: usize = 0;
/// Position over the ground, north, m.
pub(super) const POS_N: usize = 1;
/// Mean wind at the reference altitude, blowing to the east, m/s.
pub(super) const WIND_E: usize = 2;
/// Mean wind at the reference altitude, blowing to the north, m/s.
pub(super) const WIND_N: usize = 3;
/// Gust, east, m/s.
pub(super) const GUST_E: usize = 4;
/// Gust, north, m/s.
pub(super) const GUST_N: usize = 5;
/// True airspeed, m/s.
pub(super) const AIRSPEED: usize = 6;
/// Heading, unwrapped, rad.
pub(super) const HEADING: usize = 7;
/// Steady part of the turn rate, rad/s: constant inside a window.
pub(super) const STEADY: usize = 8;
/// Wander of the turn rate by turbulence, rad/s.
pub(super) const WANDER: usize = 9;
/// Change of the wind with height, east, 1/s (m/s per m).
pub(super) const SHEAR_E: usize = 10;
/// Change of the wind with height, north, 1/s.
pub(super) const SHEAR_N: usize = 11;

/// A state, or a linear functional of one.
pub(super) type Vector = SVector<f64, DIM>;
/// A covariance, or an information matrix.
pub(super) type Matrix = SMatrix<f64, DIM, DIM>;

/// The functional that picks one part of the state.
pub(super) fn pick(part: usize) -> Vector {
    Vector::ith(part, 1.0)
}

/// The functional "turn rate at this moment": steady part plus wander.
pub(super) fn turn_rate() -> Vector {
    pick(STEADY) + pick(WANDER)
}

/// The functionals "mean wind, east and north" at a height above the reference altitude.
pub(super) fn wind_at(height_m: f64) -> [Vector; 2] {
    [pick(WIND_E) + height_m * pick(SHEAR_E), pick(WIND_N) + height_m * pick(SHEAR_N)]
}
