//! The scan over ω: one linear fit each (variable projection), and the lowest few minima as starts.

use super::model::{Basis, OMEGA, Params, Stretch};
use super::{DriftError, WindPrior};
use nalgebra::{Matrix2, SMatrix, SVector};
use std::f64::consts::PI;

/// Fastest turn looked for, rad/s (34 °/s: a paramotor at full power in a spiral stays below it).
const FASTEST_RAD_S: f64 = 0.6;
/// Fixes used in the scan; the refinement uses all.
const SCAN_FIXES: usize = 240;
/// Minima handed on.
const MOST: usize = 3;
/// A minimum that costs this many times the lowest is not worth refining: between the steps of the scan the cost
/// falls by less.
const HOPELESS: f64 = 30.0;
/// Position error assumed in the scan against the prior, m: receiver and gusts. The refinement estimates it.
pub(super) const FIRST_SIGMA_M: f64 = 2.0;
/// Airspeeds of an aircraft, m/s. Without the limits, no airspeed at all and any ω explains every straight drift.
pub(super) const AIRSPEEDS_MPS: std::ops::RangeInclusive<f64> = 3.0..=150.0;

/// Fastest turn that this stretch can show, rad/s: half a turn per fix at most.
pub(super) fn limit_rad_s(stretch: &Stretch) -> f64 {
    let interval_s = stretch.span_s() / (stretch.tau.len() - 1).max(1) as f64;
    FASTEST_RAD_S.min(PI / interval_s)
}

/// Lowest minima of the scan, best first.
pub(super) fn starts(
    stretch: &Stretch,
    prior: &WindPrior,
    information: &Matrix2<f64>,
) -> Result<Vec<Params>, DriftError> {
    let limit = limit_rad_s(stretch);
    let thin = stretch.thinned(SCAN_FIXES);
    let step = PI / stretch.span_s();
    let half = (limit / step).ceil().min(10_000.0) as i32;
    let tried: Vec<(f64, Params)> = (-half..=half)
        .map(|k| linear_fit(&thin, f64::from(k) * step, prior, information).unwrap_or((f64::INFINITY, Params::zeros())))
        .collect();
    let cost = |k: usize| tried.get(k).map_or(f64::INFINITY, |t| t.0);
    let mut minima: Vec<(f64, Params)> = (0..tried.len())
        .filter(|&k| cost(k).is_finite() && cost(k) <= cost(k.wrapping_sub(1)) && cost(k) <= cost(k + 1))
        .map(|k| tried[k])
        .collect();
    minima.sort_by(|a, b| a.0.total_cmp(&b.0));
    let lowest = minima.first().map_or(0.0, |m| m.0);
    minima.retain(|m| m.0 <= HOPELESS * lowest.max(f64::MIN_POSITIVE));
    minima.truncate(MOST);
    if minima.is_empty() {
        return Err(DriftError::NoFit { limit_deg_s: limit.to_degrees() });
    }
    Ok(minima.into_iter().map(|m| m.1).collect())
}

/// The six other parameters for one ω, and the cost; `None` when they make no aircraft.
fn linear_fit(stretch: &Stretch, omega: f64, prior: &WindPrior, information: &Matrix2<f64>) -> Option<(f64, Params)> {
    let mut normal = SMatrix::<f64, 6, 6>::zeros();
    let mut right = SVector::<f64, 6>::zeros();
    let mut total = 0.0;
    let [mut t1, mut t2, mut a, mut b, mut at, mut bt, mut ab] = [0.0; 7];
    for (&tau, &[e, n]) in stretch.tau.iter().zip(&stretch.places) {
        let Basis { s1, s2, .. } = Basis::new(omega, tau);
        t1 += tau;
        t2 += tau * tau;
        a += s1;
        b += s2;
        at += s1 * tau;
        bt += s2 * tau;
        ab += s1 * s1 + s2 * s2;
        right += SVector::from([e, n, e * tau, n * tau, e * s1 - n * s2, e * s2 + n * s1]);
        total += e * e + n * n;
    }
    let count = stretch.tau.len() as f64;
    // The two axes share every sum: rows (1, 0, τ, 0, s1, s2) and (0, 1, 0, τ, -s2, s1).
    for (i, j, value) in
        [(0, 0, count), (0, 2, t1), (0, 4, a), (0, 5, b), (2, 2, t2), (2, 4, at), (2, 5, bt), (4, 4, ab)]
    {
        normal[(i, j)] = value;
    }
    for (i, j, value) in
        [(1, 1, count), (1, 3, t1), (1, 4, -b), (1, 5, a), (3, 3, t2), (3, 4, -bt), (3, 5, at), (5, 5, ab)]
    {
        normal[(i, j)] = value;
    }
    let weight = FIRST_SIGMA_M * FIRST_SIGMA_M * information;
    let expected = SVector::from([prior.wind.east_mps, prior.wind.north_mps]);
    let pull = weight * expected;
    normal[(2, 2)] += weight.m11;
    normal[(2, 3)] += weight.m12;
    normal[(3, 3)] += weight.m22;
    right[2] += pull[0];
    right[3] += pull[1];
    total += expected.dot(&pull);
    normal.fill_lower_triangle_with_upper_triangle();
    let solution = normal.cholesky()?.solve(&right);
    let airspeed = solution[4].hypot(solution[5]);
    if !AIRSPEEDS_MPS.contains(&airspeed) {
        return None;
    }
    let mut params = Params::zeros();
    params.fixed_rows_mut::<6>(0).copy_from(&solution);
    params[OMEGA] = omega;
    Some((total - solution.dot(&right), params))
}
