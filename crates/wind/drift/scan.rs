//! The scan over ω: one linear fit each (variable projection), and the lowest few minima as starts.

use super::model::{LinearSums, OMEGA, Params, Pull, Span};
use super::{DriftError, WindPrior};
use crate::columns::{fill, sums};
use nalgebra::{Matrix2, SVector, Vector2};
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

/// Fastest turn that this span can show, rad/s: half a turn per fix at most.
pub(super) fn limit_rad_s(span: &Span) -> f64 {
    let interval_s = span.span_s() / (span.tau.len() - 1).max(1) as f64;
    FASTEST_RAD_S.min(PI / interval_s)
}

/// Lowest minima of the scan, best first.
pub(super) fn starts(span: &Span, prior: &WindPrior, information: &Matrix2<f64>) -> Result<Vec<Params>, DriftError> {
    let limit = limit_rad_s(span);
    let thin = span.thinned(SCAN_FIXES);
    let step = PI / span.span_s();
    let half = (limit / step).ceil().min(10_000.0) as usize;
    let pull = Pull::new(prior, information, FIRST_SIGMA_M * FIRST_SIGMA_M);
    // In the order of ω, from the fastest turn to the left to the fastest to the right.
    let mut tried = vec![(f64::INFINITY, Params::zeros()); 2 * half + 1];
    let mut turned = Turned::new(&thin, step);
    for k in 0..=half {
        let sums = turned.sums(k as f64 * step);
        for (place, sign) in [(half - k, -1.0), (half + k, 1.0)] {
            if let Some(found) = sums.solve(sign, &pull) {
                tried[place] = found;
            }
        }
        turned.on();
    }
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

/// The basis functions over a span, at multiples of one turn rate.
struct Turned<'a> {
    span: &'a Span,
    /// Sine and cosine of the angle turned through since the middle, per fix.
    sin: Vec<f64>,
    cos: Vec<f64>,
    /// Those of one step.
    step: [Vec<f64>; 2],
    /// Sums that are the same for every turn rate: τ, τ², east, north, east τ, north τ, east² + north².
    fixed: [f64; 7],
}

impl<'a> Turned<'a> {
    fn new(span: &'a Span, step_rad_s: f64) -> Self {
        let Span { tau, east, north, .. } = span;
        let mut step = [vec![0.0; tau.len()], vec![0.0; tau.len()]];
        let [sin, cos] = &mut step;
        fill([sin, cos], [tau], |[tau]| {
            let (sin, cos) = (step_rad_s * tau).sin_cos();
            [sin, cos]
        });
        let fixed = sums([tau, east, north], |[t, e, n]| [t, t * t, e, n, e * t, n * t, e * e + n * n]);
        Self { span, sin: vec![0.0; tau.len()], cos: vec![1.0; tau.len()], step, fixed }
    }

    /// At the turn rate stepped to so far, `omega`.
    fn sums(&self, omega: f64) -> TurnSums {
        let Span { tau, east, north, .. } = self.span;
        let [t, tt, e, n, et, nt, total] = self.fixed;
        let places = [e, n, et, nt];
        let count = tau.len() as f64;
        if omega == 0.0 {
            // Straight on: s1 is τ, s2 nothing.
            let linear =
                LinearSums { count, tau: t, tau_tau: tt, s1: t, s2: 0.0, s1_tau: tt, s2_tau: 0.0, squares: tt };
            return TurnSums { omega, linear, places, turns: [et, nt, 0.0, 0.0], total };
        }
        let inverse = 1.0 / omega;
        let [s1, s2, s1_tau, s2_tau, squares] = sums([tau, &self.sin, &self.cos], |[tau, sin, cos]| {
            let (s1, s2) = (sin * inverse, (1.0 - cos) * inverse);
            [s1, s2, s1 * tau, s2 * tau, s1 * s1 + s2 * s2]
        });
        let turns = sums([east, north, &self.sin, &self.cos], |[e, n, sin, cos]| {
            let (s1, s2) = (sin * inverse, (1.0 - cos) * inverse);
            [s1 * e, s1 * n, s2 * e, s2 * n]
        });
        let linear = LinearSums { count, tau: t, tau_tau: tt, s1, s2, s1_tau, s2_tau, squares };
        TurnSums { omega, linear, places, turns, total }
    }

    /// One step on, by the sines and cosines of sums of angles. Each step adds a rounding of 1e-16: 1e-12 after the ten
    /// thousand steps that there are at most, in what only starts the refinement.
    fn on(&mut self) {
        let [step_sin, step_cos] = &self.step;
        let columns = self.sin.iter_mut().zip(&mut self.cos).zip(step_sin.iter().zip(step_cos));
        for ((sin, cos), (step_sin, step_cos)) in columns {
            (*sin, *cos) = (*sin * step_cos + *cos * step_sin, *cos * step_cos - *sin * step_sin);
        }
    }
}

/// Sums for one turn rate to the right; to the left s2 changes its sign and nothing else.
struct TurnSums {
    omega: f64,
    linear: LinearSums,
    /// Of east, north, east τ, north τ.
    places: [f64; 4],
    /// Of s1 east, s1 north, s2 east, s2 north.
    turns: [f64; 4],
    /// Of east² + north².
    total: f64,
}

impl TurnSums {
    /// The six other parameters for a turn to the right (`sign` 1) or to the left (-1), and the cost; `None` when they
    /// make no aircraft.
    fn solve(&self, sign: f64, pull: &Pull) -> Option<(f64, Params)> {
        let LinearSums { s2, s2_tau, .. } = self.linear;
        let mut normal = LinearSums { s2: sign * s2, s2_tau: sign * s2_tau, ..self.linear }.normal::<6>();
        let ([e, n, et, nt], [s1_e, s1_n, s2_e, s2_n]) = (self.places, self.turns);
        let mut right = SVector::from([e, n, et, nt, s1_e - sign * s2_n, s1_n + sign * s2_e]);
        let total = self.total + pull.add(Vector2::zeros(), &mut normal, &mut right);
        normal.fill_lower_triangle_with_upper_triangle();
        let solution = normal.cholesky()?.solve(&right);
        let airspeed = solution[4].hypot(solution[5]);
        if !AIRSPEEDS_MPS.contains(&airspeed) {
            return None;
        }
        let mut params = Params::zeros();
        params.fixed_rows_mut::<6>(0).copy_from(&solution);
        params[OMEGA] = sign * self.omega;
        Some((total - solution.dot(&right), params))
    }
}
