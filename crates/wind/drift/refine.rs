//! Damped Gauss-Newton ([`crate::least_squares`]) on all seven parameters with the analytic Jacobian and Huber's loss.

use super::model::{Compared, LinearSums, OMEGA, PARAMETERS, Params, Pull, Span};
use super::scan::{AIRSPEEDS_MPS, FIRST_SIGMA_M, limit_rad_s};
use super::{DriftFit, WindPrior};
use crate::circle::variance_inflation;
use crate::columns::{Pair, fill, sums};
use crate::least_squares::{self, Stop, Sums};
use driftless_units::{Angle, Estimate, Position, TurnRate, Wind, median, wrap_pi_rad};
use nalgebra::{Matrix2, Vector2};

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
pub(super) fn best(span: &Span, prior: &WindPrior, information: &Matrix2<f64>, starts: &[Params]) -> Option<DriftFit> {
    let mut fit = Refinement {
        compared: Compared::new(span),
        weight: vec![0.0; span.tau.len()],
        prior: *prior,
        information: *information,
    };
    let mut refined: Vec<(Params, Level)> = starts.iter().filter_map(|start| fit.refine(*start)).collect();
    if refined.len() > 1 {
        // Compared at one noise level, the narrowest; each level is its own, and a wide one flatters.
        let level = refined.iter().map(|r| r.1).min_by(|a, b| a.variance_m2.total_cmp(&b.variance_m2))?;
        let costs = refined.iter().map(|(params, _)| fit.linearise(params, level).cost);
        let lowest = costs.enumerate().min_by(|a, b| a.1.total_cmp(&b.1))?.0;
        refined.swap(0, lowest);
    }
    let (params, level) = refined.first()?;
    fit.describe(params, *level)
}

/// The span, what is known beforehand, and scratch.
struct Refinement<'a> {
    compared: Compared<'a>,
    weight: Vec<f64>,
    prior: WindPrior,
    information: Matrix2<f64>,
}

impl Refinement<'_> {
    fn refine(&mut self, start: Params) -> Option<(Params, Level)> {
        let first = Level { knee_m: f64::MAX, variance_m2: FIRST_SIGMA_M * FIRST_SIGMA_M };
        let mut params = self.descend(start, first)?;
        let mut level = first;
        for _ in 0..LEVEL_ROUNDS {
            level = self.noise_level(&params);
            params = self.descend(params, level)?;
        }
        let limit = 1.5 * limit_rad_s(self.compared.span);
        let sound = params[OMEGA].abs() <= limit && AIRSPEEDS_MPS.contains(&params[4].hypot(params[5]));
        sound.then_some((params, level))
    }

    fn descend(&mut self, start: Params, level: Level) -> Option<Params> {
        let stop = Stop { share: 1e-12, floor: 1e-18 * level.variance_m2, most_steps: 40 };
        least_squares::descend(start, |p| self.linearise(p, level), stop)
    }

    /// Distance of each fix from the path, m.
    fn distances(&mut self, params: &Params) -> Vec<f64> {
        self.compared.at(params);
        let [east, north] = &self.compared.off;
        let mut distances = vec![0.0; east.len()];
        fill([&mut distances], [east, north], |[e, n]| [(e * e + n * n).sqrt()]);
        distances
    }

    fn noise_level(&mut self, params: &Params) -> Level {
        let distances = self.distances(params);
        // An exact path has no noise; a tenth of a millimetre keeps the arithmetic going.
        let knee_m = HUBER_K * (median(distances.iter().copied()).unwrap_or(0.0) / MEDIAN_DISTANCE).max(1e-4);
        let knee = Pair::splat(knee_m);
        let clipped = self.compared.off.each_ref().map(|off| {
            let mut clipped = vec![0.0; off.len()];
            fill([&mut clipped], [off, &distances], |[off, distance]| [off * (knee / distance.fast_max(knee))]);
            clipped
        });
        let inflation = clipped.each_ref().map(|axis| variance_inflation(axis));
        let [square] = sums(clipped.each_ref().map(|axis| axis.as_slice()), |[e, n]| [e * e + n * n]);
        let dof = (2 * distances.len() - PARAMETERS) as f64;
        // Floor: the tenth of a millimetre again.
        let variance_m2 = (square / dof * 0.5 * (inflation[0] + inflation[1])).max(1e-8);
        Level { knee_m, variance_m2 }
    }

    /// Sums of one pass, in units of the data variance.
    fn linearise(&mut self, params: &Params, level: Level) -> Sums<PARAMETERS> {
        let Self { compared, weight, prior, information } = self;
        compared.at(params);
        let Compared {
            span: Span { tau, .. }, s1, s2, off: [off_east, off_north], by_omega: [by_east, by_north], ..
        } = compared;
        let knee = Pair::splat(level.knee_m);
        fill([weight], [off_east, off_north], |[e, n]| [knee / (e * e + n * n).sqrt().fast_max(knee)]);
        // In three goes, as there are more sums than registers.
        let [count, t, tt, a, b, at, bt, squares] = sums([weight, tau, s1, s2], |[w, tau, s1, s2]| {
            let (w1, w2) = (w * s1, w * s2);
            [w, w * tau, w * tau * tau, w1, w2, w1 * tau, w2 * tau, w1 * s1 + w2 * s2]
        });
        let by_omega = sums([weight, tau, s1, s2, by_east, by_north], |[w, tau, s1, s2, de, dn]| {
            let (we, wn) = (w * de, w * dn);
            [we, wn, we * tau, wn * tau, we * s1 - wn * s2, we * s2 + wn * s1, we * de + wn * dn]
        });
        let [mut cost, downhill @ ..] =
            sums([weight, tau, s1, s2, off_east, off_north, by_east, by_north], |[w, tau, s1, s2, e, n, de, dn]| {
                let (we, wn) = (w * e, w * n);
                // Half the square up to the knee, linear beyond.
                let size = (e * e + n * n).sqrt();
                let within = size.fast_min(knee);
                [
                    within * (size - 0.5 * within),
                    we,
                    wn,
                    we * tau,
                    wn * tau,
                    we * s1 - wn * s2,
                    we * s2 + wn * s1,
                    we * de + wn * dn,
                ]
            });
        let linear = LinearSums { count, tau: t, tau_tau: tt, s1: a, s2: b, s1_tau: at, s2_tau: bt, squares };
        let mut normal = linear.normal::<PARAMETERS>();
        for (i, value) in by_omega.into_iter().enumerate() {
            normal[(i, OMEGA)] = value;
        }
        let mut gradient = Params::from(downhill);
        let pull = Pull::new(prior, information, level.variance_m2);
        cost += 0.5 * pull.add(Vector2::new(params[2], params[3]), &mut normal, &mut gradient);
        normal.fill_lower_triangle_with_upper_triangle();
        Sums { cost, normal, gradient }
    }

    fn describe(&mut self, params: &Params, level: Level) -> Option<DriftFit> {
        let cov = self.linearise(params, level).inverse()? * level.variance_m2;
        let airspeed = params[4].hypot(params[5]);
        let (sin, cos) = (params[4] / airspeed, params[5] / airspeed);
        let airspeed_var = sin * sin * cov[(4, 4)] + 2.0 * sin * cos * cov[(4, 5)] + cos * cos * cov[(5, 5)];
        let square: f64 = self.distances(params).iter().map(|d| d.min(level.knee_m).powi(2)).sum();
        let span = self.compared.span;
        let count = span.tau.len() as f64;
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
            position: Position::new(params[0] + span.origin[0], params[1] + span.origin[1]),
            middle_s: span.middle_s,
            residual_m: (0.5 * square / count).sqrt(),
        })
    }
}
