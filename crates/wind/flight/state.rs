//! The state of the flight at one node, and the names of its parts.
//!
//! The turn is carried as an acceleration across the path, not as a turn rate: the most probable path would otherwise
//! make its turns cheaper by flying faster. (A product of an unknown speed with many unknown small turns is most
//! probable when the speed is large and the turns are small; with the product itself as the unknown that is gone.)

use nalgebra::{SMatrix, SVector};

/// Number of state variables.
pub(super) const DIM: usize = 13;

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
/// Steady part of the acceleration across the path, m/s²: turn rate times airspeed, constant inside a window.
pub(super) const STEADY: usize = 8;
/// Wander of that acceleration by turbulence, m/s².
pub(super) const WANDER: usize = 9;
/// Change of the wind with height, east, 1/s (m/s per m).
pub(super) const SHEAR_E: usize = 10;
/// Change of the wind with height, north, 1/s.
pub(super) const SHEAR_N: usize = 11;

/// Airspeed that this flight returns to when nothing is asked of it, m/s.
pub(super) const LEVEL: usize = 12;

/// A state, or a linear functional of one.
pub(super) type Vector = SVector<f64, DIM>;
/// A covariance, or an information matrix.
pub(super) type Matrix = SMatrix<f64, DIM, DIM>;

/// The functional that picks one part of the state.
pub(super) fn pick(part: usize) -> Vector {
    Vector::ith(part, 1.0)
}

/// Slower than this nothing flies; it keeps a wild iteration from dividing by nothing, m/s.
const SLOWEST_MPS: f64 = 2.0;

/// The airspeed of a state, fit to divide by.
pub(super) fn airspeed_mps(x: &Vector) -> f64 {
    x[AIRSPEED].max(SLOWEST_MPS)
}

/// Turn rate by some parts of the acceleration across the path, and its derivative, at a state.
fn rate_by(parts: &[usize], x: &Vector) -> (f64, Vector) {
    let v = airspeed_mps(x);
    let rate = parts.iter().map(|part| x[*part]).sum::<f64>() / v;
    let mut slope = -rate / v * pick(AIRSPEED);
    for part in parts {
        slope[*part] = 1.0 / v;
    }
    (rate, slope)
}

/// Turn rate at this moment, rad/s, and its derivative.
pub(super) fn turn_rate(x: &Vector) -> (f64, Vector) {
    rate_by(&[STEADY, WANDER], x)
}

/// Steady part of the turn rate, rad/s, and its derivative.
pub(super) fn steady_rate(x: &Vector) -> (f64, Vector) {
    rate_by(&[STEADY], x)
}

/// The functionals "mean wind, east and north" at a height above the reference altitude.
pub(super) fn wind_at(height_m: f64) -> [Vector; 2] {
    [pick(WIND_E) + height_m * pick(SHEAR_E), pick(WIND_N) + height_m * pick(SHEAR_N)]
}
