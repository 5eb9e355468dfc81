//! The state of the flight at one node, and the names of its parts.
//!
//! The turn is carried as an acceleration across the path, not as a turn rate: the most probable path would otherwise
//! make its turns cheaper by flying faster. (A product of an unknown speed with many unknown small turns is most
//! probable when the speed is large and the turns are small; with the product itself as the unknown that is gone.)

use nalgebra::{SMatrix, SVector};

/// Number of state variables of a flight without a gyro.
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

/// Number of state variables of a flight with a gyro; the six below come on top.
pub(super) const GYRO_DIM: usize = DIM + 6;

/// Gyro heading less heading, rad: it carries the gyro's white noise, summed.
pub(super) const DRIFT: usize = 13;
/// Bias left in the gyro's rate, rad/s.
pub(super) const BIAS: usize = 14;
/// Scale error left in the gyro's rate.
pub(super) const SCALE: usize = 15;
/// What is to be added to the gyro's times, s: a gyro heading belongs to a moment that much later.
pub(super) const CLOCK: usize = 16;
/// Twist of whoever carries the sensor about the aircraft, rad: an oscillation, and this is what shows.
pub(super) const TWIST: usize = 17;
/// The same a quarter of a period later, which does not show.
pub(super) const TWIST_TURNED: usize = 18;

/// Number of state variables of a flight with a compass, with or without a gyro; the eight below come on top.
pub(super) const COMPASS_DIM: usize = GYRO_DIM + 8;

/// Coefficients A to E of the compass' deviation, rad: constant, semicircular, quadrantal.
pub(super) const DEVIATION: [usize; 5] = [19, 20, 21, 22, 23];
/// Heeling coefficient of the deviation, rad per rad of bank.
pub(super) const HEELING: usize = 24;
/// Slow error of the compass, rad: tilt left over, ignition, load.
pub(super) const SLOW: usize = 25;
/// How late the compass is, s: clock, filter, and level that lags in turns. Not [`CLOCK`], which an axis of the gyro bends.
pub(super) const LAG: usize = 26;

/// A state, or a linear functional of one.
pub(super) type Vector<const N: usize = DIM> = SVector<f64, N>;
/// A covariance, or an information matrix.
pub(super) type Matrix<const N: usize = DIM> = SMatrix<f64, N, N>;

/// The functional that picks one part of the state.
pub(super) fn pick<const N: usize>(part: usize) -> Vector<N> {
    let mut functional = Vector::zeros();
    functional[part] = 1.0;
    functional
}

/// Slower than this nothing flies; it keeps a wild iteration from dividing by nothing, m/s.
const SLOWEST_MPS: f64 = 2.0;

/// Farthest that a heading may move in one pass, rad.
const FARTHEST_TURN_RAD: f64 = 1.0;
/// Largest factor by which an airspeed may change in one pass.
const LARGEST_FACTOR: f64 = 1.4;

/// Where to linearise next: the mean of a pass, held near the state it was linearised about. Far from it the linear
/// model means nothing, and a wild step would never come back; where the iteration settles nothing is held.
pub(super) fn stepped<const N: usize>(from: &Vector<N>, to: &Vector<N>) -> Vector<N> {
    let mut next = *to;
    let turn = to[HEADING] - from[HEADING];
    next[HEADING] = from[HEADING] + turn.clamp(-FARTHEST_TURN_RAD, FARTHEST_TURN_RAD);
    let v = airspeed_mps(from);
    next[AIRSPEED] = to[AIRSPEED].clamp(v / LARGEST_FACTOR, v * LARGEST_FACTOR).max(SLOWEST_MPS);
    next
}

/// The airspeed of a state, fit to divide by.
pub(super) fn airspeed_mps<const N: usize>(x: &Vector<N>) -> f64 {
    x[AIRSPEED].max(SLOWEST_MPS)
}

/// Turn rate by some parts of the acceleration across the path, and its derivative, at a state.
fn rate_by<const N: usize>(parts: &[usize], x: &Vector<N>) -> (f64, Vector<N>) {
    let v = airspeed_mps(x);
    let rate = parts.iter().map(|part| x[*part]).sum::<f64>() / v;
    let mut slope = pick(AIRSPEED) * (-rate / v);
    for part in parts {
        slope[*part] = 1.0 / v;
    }
    (rate, slope)
}

/// Turn rate at this moment, rad/s, and its derivative.
pub(super) fn turn_rate<const N: usize>(x: &Vector<N>) -> (f64, Vector<N>) {
    rate_by(&[STEADY, WANDER], x)
}

/// Steady part of the turn rate, rad/s, and its derivative.
pub(super) fn steady_rate<const N: usize>(x: &Vector<N>) -> (f64, Vector<N>) {
    rate_by(&[STEADY], x)
}

/// The functionals "mean wind, east and north" at a height above the reference altitude.
pub(super) fn wind_at<const N: usize>(height_m: f64) -> [Vector<N>; 2] {
    [pick(WIND_E) + pick(SHEAR_E) * height_m, pick(WIND_N) + pick(SHEAR_N) * height_m]
}
