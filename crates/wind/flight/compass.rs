//! Compass headings as measurements: what they say, with which errors.
//!
//! A compass heading c (declination applied) plus its deviation is the heading. The deviation is that of the trade,
//! A + B sin c + C cos c + D sin 2c + E cos 2c with c the compass heading and easterly deviation positive (*Handbook of Magnetic
//! Compass Adjustment*, National Geospatial-Intelligence Agency 2004, chapter V): A is the mounting and what the declination
//! is off, B and C are hard iron along and across, D and E are soft iron. A heel brings J φ cos c more: iron below, and
//! the Earth's field along the mast (heeling error, same book, chapter XII; the form from memory). All six are constants of the flight
//! and states of the estimate, so that whoever calibrated the compass, and by whatever, can be no surer of it than the
//! priors say. On top come a slow error (tilt left over, ignition, load), first-order Markov, and a white one, both with levels found from the flight, and the twist of the pilot as of a gyro.

use super::heading_row::HeadingRow;
use super::nodes::NodeInput;
use super::noise::{Level, Levels};
use super::state::{
    DEVIATION, HEADING, HEELING, LAG, Matrix, SLOW, TWIST, TWIST_TURNED, Vector, airspeed_mps, pick, turn_rate,
};
use super::{EstimateError, FlightEstimate, GyroErrors, GyroEstimateError};
use driftless_units::{Estimate, GRAVITY_MPS2, wrap_pi_rad};
use nalgebra::SMatrix;

/// What a compass says at one time, seconds from the track's epoch.
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
    /// When, seconds from the track's epoch.
    pub t_s: f64,
    /// How many standard deviations, signed: easterly error positive.
    pub sigmas: f64,
}

/// Why a compass could not be used.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CompassEstimateError {
    /// No node of the flight has a compass heading.
    #[error("the compass headings do not lie within this flight")]
    NoOverlap,
    /// The gyro beside it cannot be used.
    #[error(transparent)]
    Gyro(#[from] GyroEstimateError),
    /// As without a compass.
    #[error(transparent)]
    Estimate(#[from] EstimateError),
}

/// Correlation time of the slow error, s. On simulated flights what a fixed deviation left of a phone's compass was correlated
/// over 12 to 16 s: level follows the specific force with 10 s, ignition and load come and go with 20 s.
const SLOW_TAU_S: f64 = 20.0;
/// Readings nearer than this to a node are its own, s.
const SAME_TIME_S: f64 = 1e-3;

/// Deviation per unit of each of the coefficients A to E, for a compass heading.
fn by_coefficient(compass_rad: f64) -> [f64; 5] {
    let (sin, cos) = compass_rad.sin_cos();
    let (sin2, cos2) = (2.0 * compass_rad).sin_cos();
    [1.0, sin, cos, sin2, cos2]
}

/// The compass over one step: what is left of the slow error.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct CompassStep {
    decay: f64,
    /// Variance gained per unit of the stationary one.
    gained: f64,
}

impl CompassStep {
    pub(super) fn over(dt_s: f64) -> Self {
        Self { decay: (-dt_s / SLOW_TAU_S).exp(), gained: -(-2.0 * dt_s / SLOW_TAU_S).exp_m1() }
    }

    /// Replaces `m` by F·m, which is Fᵀ·m, in the row of the slow error.
    pub(super) fn apply<const N: usize, const C: usize>(&self, m: &mut SMatrix<f64, N, C>) {
        for c in 0..C {
            m[(SLOW, c)] *= self.decay;
        }
    }

    /// Sets the variance of the step's disturbance.
    pub(super) fn disturb<const N: usize>(&self, levels: &Levels, q: &mut Matrix<N>) {
        q[(SLOW, SLOW)] = self.slow_variance(levels);
    }

    /// Variance that the slow error gains, rad².
    pub(super) fn slow_variance(&self, levels: &Levels) -> f64 {
        levels[Level::CompassSlow] * self.gained
    }
}

/// Prior of the compass' part of the first state.
#[derive(Debug, Clone, Copy)]
pub(super) struct CompassPrior {
    deviation: DeviationStdU,
    lag_std_u_s: f64,
}

impl CompassPrior {
    pub(super) fn new(compass: &CompassHeadings) -> Self {
        Self { deviation: compass.deviation_std_u, lag_std_u_s: compass.lag_std_u_s }
    }

    /// Fills the compass' part of a prior, and the twist.
    pub(super) fn fill<const N: usize>(&self, levels: &Levels, (mean, cov): &mut (Vector<N>, Matrix<N>)) {
        let (slow, twist) = (levels[Level::CompassSlow].sqrt(), levels[Level::Twist].sqrt());
        let rest = [
            (HEELING, self.deviation.heeling),
            (LAG, self.lag_std_u_s),
            (SLOW, slow),
            (TWIST, twist),
            (TWIST_TURNED, twist),
        ];
        for (part, sd) in DEVIATION.into_iter().zip(self.deviation.coefficients_rad).chain(rest) {
            mean[part] = 0.0;
            cov[(part, part)] = sd * sd;
        }
    }
}

/// The reading of each node, rad.
pub(super) fn readings(compass: &CompassHeadings, nodes: &[NodeInput]) -> Vec<Option<f64>> {
    let at = |t_s: f64| {
        let i = compass.readings.partition_point(|r| r.t_s < t_s - SAME_TIME_S);
        compass.readings.get(i).filter(|r| r.t_s <= t_s + SAME_TIME_S && r.heading_rad.is_finite())
    };
    nodes.iter().map(|node| at(node.t_s).map(|r| r.heading_rad)).collect()
}

/// A reading as the filter takes it, near the state `x`.
pub(super) fn observed<const N: usize>(reading_rad: f64, x: &Vector<N>, levels: &Levels) -> HeadingRow<N> {
    let (rate_rad_s, _) = turn_rate(x);
    let bank_rad = (airspeed_mps(x) * rate_rad_s / GRAVITY_MPS2).atan();
    let mut row = pick::<N>(HEADING) + pick::<N>(TWIST) + pick::<N>(LAG) * rate_rad_s + pick::<N>(SLOW);
    for (part, share) in DEVIATION.into_iter().zip(by_coefficient(reading_rad)) {
        row[part] = -share;
    }
    row[HEELING] = -bank_rad * reading_rad.cos();
    HeadingRow {
        row,
        value_rad: x[HEADING] + wrap_pi_rad(reading_rad - x[HEADING]),
        variance_rad2: levels[Level::CompassWhite],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Handbook of Magnetic Compass Adjustment (2004), figure 501: the deviations of a ship on eight compass headings. Its
    /// chapter V reads the coefficients off them: A is the mean of all; B and C half the difference on east and west, north
    /// and south; D and E the mean on the intercardinal and cardinal headings with changing sign. The formula with
    /// those must give the deviations back; the book prints 0.1 to 0.5°, and the figures were made up to that.
    #[test]
    fn published_deviation_of_a_ship() {
        let table = [10.5, 20.0, 11.5, -1.2, -5.5, -8.0, -12.5, -6.8];
        let [n, ne, e, se, s, sw, w, nw] = table;
        let coefficients = [
            table.iter().sum::<f64>() / 8.0,
            (e - w) / 2.0,
            (n - s) / 2.0,
            (ne - se + sw - nw) / 4.0,
            (n - e + s - w) / 4.0,
        ];
        for (k, deviation) in table.into_iter().enumerate() {
            let shares = by_coefficient(45_f64.to_radians() * k as f64);
            let by_formula: f64 = shares.iter().zip(coefficients).map(|(share, value)| share * value).sum();
            assert!((by_formula - deviation).abs() < 0.2, "{k}: {by_formula} against {deviation}");
        }
    }
}
