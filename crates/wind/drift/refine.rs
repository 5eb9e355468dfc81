//! Damped Gauss-Newton ([`crate::least_squares`]) on all seven parameters with the analytic Jacobian and Huber's loss.

use super::model::{Basis, Normal, OMEGA, PARAMETERS, Params, Stretch};
use super::scan::{AIRSPEEDS_MPS, FIRST_SIGMA_M, limit_rad_s};
use super::{DriftFit, WindPrior};
use crate::circle::variance_inflation;
use crate::least_squares::{self, Stop, Sums};
use driftless_units::{Angle, Estimate, Position, TurnRate, Wind, wrap_pi_rad};
use nalgebra::Matrix2;

/// Knee of the loss in standard deviations per axis: a distance in the plane is beyond it in 10 % of Gaussian cases.
const HUBER_K: f64 = 2.15;
/// Median distance in the plane of a Gaussian of unit standard deviation per axis, √(2 ln 2).
const MEDIAN_DISTANCE: f64 = 1.177_410_022_515_474_7;
/// The noise level, and with it the weight of the prior, settles in this many rounds.
const LEVEL_ROUNDS: usize = 4;

/// Noise as the fit sees it.
#[derive(Clone, Copy)]
struct Level {
    /// Distance beyond which the loss is linear, m.
    knee_m: f64,
    /// Variance that weighs a fix against the prior, correlation included, m².
    variance_m2: f64,
}

/// Refines each start and keeps the lowest.
pub(super) fn best(
    stretch: &Stretch,
    prior: &WindPrior,
    information: &Matrix2<f64>,
    starts: &[Params],
) -> Option<DriftFit> {
    let refined: Vec<(Params, Level)> =
        starts.iter().filter_map(|start| refine(stretch, prior, information, *start)).collect();
    // Compared at one noise level, the narrowest; each level is its own, and a wide one flatters.
    let level = refined.iter().map(|r| r.1).min_by(|a, b| a.variance_m2.total_cmp(&b.variance_m2))?;
    let cost = |p: &Params| linearise(stretch, prior, information, p, level).cost;
    let (params, level) = refined.into_iter().min_by(|a, b| cost(&a.0).total_cmp(&cost(&b.0)))?;
    describe(stretch, prior, information, &params, level)
}

fn refine(stretch: &Stretch, prior: &WindPrior, information: &Matrix2<f64>, start: Params) -> Option<(Params, Level)> {
    let first = Level { knee_m: f64::INFINITY, variance_m2: FIRST_SIGMA_M * FIRST_SIGMA_M };
    let mut params = descend(stretch, prior, information, start, first)?;
    let mut level = first;
    for _ in 0..LEVEL_ROUNDS {
        level = noise_level(stretch, &params);
        params = descend(stretch, prior, information, params, level)?;
    }
    let sound =
        params[OMEGA].abs() <= 1.5 * limit_rad_s(stretch) && AIRSPEEDS_MPS.contains(&params[4].hypot(params[5]));
    sound.then_some((params, level))
}

fn residuals<'a>(stretch: &'a Stretch, params: &'a Params) -> impl Iterator<Item = [f64; 2]> + 'a {
    stretch.tau.iter().zip(&stretch.places).map(|(&tau, &[e, n])| {
        let [me, mn] = Basis::new(params[OMEGA], tau).place(params);
        [e - me, n - mn]
    })
}

fn noise_level(stretch: &Stretch, params: &Params) -> Level {
    let off: Vec<[f64; 2]> = residuals(stretch, params).collect();
    let mut distances: Vec<f64> = off.iter().map(|[e, n]| e.hypot(*n)).collect();
    let middle = distances.len() / 2;
    let (_, median, _) = distances.select_nth_unstable_by(middle, f64::total_cmp);
    // An exact path has no noise; a tenth of a millimetre keeps the arithmetic going.
    let knee_m = HUBER_K * (*median / MEDIAN_DISTANCE).max(1e-4);
    let clip = |[e, n]: &[f64; 2]| {
        let scale = (knee_m / e.hypot(*n).max(f64::MIN_POSITIVE)).min(1.0);
        [e * scale, n * scale]
    };
    let clipped: Vec<[f64; 2]> = off.iter().map(clip).collect();
    let inflation = [0, 1].map(|axis| variance_inflation(&clipped.iter().map(|c| c[axis]).collect::<Vec<_>>()));
    let square: f64 = clipped.iter().map(|[e, n]| e * e + n * n).sum();
    let dof = (2 * clipped.len() - PARAMETERS) as f64;
    // Floor: the tenth of a millimetre again.
    let variance_m2 = (square / dof * 0.5 * (inflation[0] + inflation[1])).max(1e-8);
    Level { knee_m, variance_m2 }
}

/// Sums of one pass, in units of the data variance.
fn linearise(
    stretch: &Stretch,
    prior: &WindPrior,
    information: &Matrix2<f64>,
    params: &Params,
    level: Level,
) -> Sums<PARAMETERS> {
    // The position and wind columns are constants and τ, and both axes mirror each other; summing the distinct
    // products takes a third of the time of seven-vectors.
    let [mut w0, mut w1, mut w2, mut a, mut b, mut at, mut bt, mut ab] = [0.0; 8];
    let mut by_omega = [0.0; 7];
    let mut gradient = Params::zeros();
    let mut cost = 0.0;
    for (&tau, &[e, n]) in stretch.tau.iter().zip(&stretch.places) {
        let basis = Basis::new(params[OMEGA], tau);
        let [me, mn] = basis.place(params);
        let [de, dn] = basis.by_omega(params);
        let (s1, s2) = (basis.s1, basis.s2);
        let (re, rn) = (e - me, n - mn);
        let square = re * re + rn * rn;
        let w = if square <= level.knee_m * level.knee_m {
            cost += 0.5 * square;
            1.0
        } else {
            let distance = square.sqrt();
            cost += level.knee_m * (distance - 0.5 * level.knee_m);
            level.knee_m / distance
        };
        w0 += w;
        w1 += w * tau;
        w2 += w * tau * tau;
        a += w * s1;
        b += w * s2;
        at += w * s1 * tau;
        bt += w * s2 * tau;
        ab += w * (s1 * s1 + s2 * s2);
        let (we, wn) = (w * de, w * dn);
        by_omega[0] += we;
        by_omega[1] += wn;
        by_omega[2] += we * tau;
        by_omega[3] += wn * tau;
        by_omega[4] += we * s1 - wn * s2;
        by_omega[5] += we * s2 + wn * s1;
        by_omega[6] += we * de + wn * dn;
        let (ge, gn) = (w * re, w * rn);
        gradient += Params::from([ge, gn, ge * tau, gn * tau, ge * s1 - gn * s2, ge * s2 + gn * s1, ge * de + gn * dn]);
    }
    let mut normal = Normal::zeros();
    for (i, j, value) in [
        (0, 0, w0),
        (0, 2, w1),
        (0, 4, a),
        (0, 5, b),
        (2, 2, w2),
        (2, 4, at),
        (2, 5, bt),
        (4, 4, ab),
        (1, 1, w0),
        (1, 3, w1),
        (1, 4, -b),
        (1, 5, a),
        (3, 3, w2),
        (3, 4, -bt),
        (3, 5, at),
        (5, 5, ab),
    ] {
        normal[(i, j)] = value;
    }
    for (i, value) in by_omega.into_iter().enumerate() {
        normal[(i, OMEGA)] = value;
    }
    let weight = information * level.variance_m2;
    let off = nalgebra::Vector2::new(prior.wind.east_mps - params[2], prior.wind.north_mps - params[3]);
    let pull = weight * off;
    normal[(2, 2)] += weight.m11;
    normal[(2, 3)] += weight.m12;
    normal[(3, 3)] += weight.m22;
    gradient[2] += pull.x;
    gradient[3] += pull.y;
    cost += 0.5 * off.dot(&pull);
    normal.fill_lower_triangle_with_upper_triangle();
    Sums { cost, normal, gradient }
}

fn descend(
    stretch: &Stretch,
    prior: &WindPrior,
    information: &Matrix2<f64>,
    start: Params,
    level: Level,
) -> Option<Params> {
    let stop = Stop { share: 1e-12, floor: 1e-18 * level.variance_m2, most_steps: 40 };
    least_squares::descend(start, |p| linearise(stretch, prior, information, p, level), stop)
}

fn describe(
    stretch: &Stretch,
    prior: &WindPrior,
    information: &Matrix2<f64>,
    params: &Params,
    level: Level,
) -> Option<DriftFit> {
    let cov = linearise(stretch, prior, information, params, level).inverse()? * level.variance_m2;
    let airspeed = params[4].hypot(params[5]);
    let (sin, cos) = (params[4] / airspeed, params[5] / airspeed);
    let airspeed_var = sin * sin * cov[(4, 4)] + 2.0 * sin * cos * cov[(4, 5)] + cos * cos * cov[(5, 5)];
    let square: f64 = residuals(stretch, params).map(|[e, n]| e.hypot(n).min(level.knee_m).powi(2)).sum();
    let count = stretch.tau.len() as f64;
    // Effective number of fixes: the white variance over the variance with correlation.
    let white = square / (2.0 * count - PARAMETERS as f64);
    let dof = (2.0 * count * (white / level.variance_m2).min(1.0) - PARAMETERS as f64).max(1.0);
    Some(DriftFit {
        turn_rate: Estimate::with_dof(
            TurnRate::from_rad_s(params[OMEGA]),
            TurnRate::from_rad_s(cov[(OMEGA, OMEGA)].sqrt()),
            dof,
        ),
        airspeed_mps: Estimate::with_dof(airspeed, airspeed_var.max(0.0).sqrt(), dof),
        heading: Angle::from_rad(wrap_pi_rad(params[4].atan2(params[5]))),
        wind: Wind::new(params[2], params[3]),
        wind_cov: [cov[(2, 2)], cov[(2, 3)], cov[(3, 3)]],
        position: Position::new(params[0] + stretch.origin[0], params[1] + stretch.origin[1]),
        middle_s: stretch.middle_s,
        residual_m: (0.5 * square / count).sqrt(),
    })
}
