//! One pass over the flight: a Kalman filter forward, a disturbance smoother back.
//!
//! Durbin & Koopman, *Time Series Analysis by State Space Methods* (2nd ed. 2012), sections 4.3 to 4.7, measurements taken
//! one at a time as in section 6.4 (from memory; checked in the tests against a dense least-squares solution). Nothing of
//! the size of the state is ever inverted, so parts without noise (the steady rate inside a window, the shear) need no
//! special care, and one pass costs a fixed number of operations per node.

use super::blocks::air::{WIND_E, WIND_N};
use super::blocks::{NodeAt, SOURCES, StepAt};
use super::clock::Motion;
use super::compass::Jump;
use super::measurement::take_in;
use super::noise::{Levels, Moments};
use super::pass::{Pass, Smoothed};
use super::setting::Setting;
use super::state::{Matrix, Vector, add_scaled, product};
use super::step::Step;

/// The problem a pass works on: everything but the trajectory it is linearised about.
pub(super) struct Problem<'a> {
    /// Nodes, intervals, blocks.
    pub(super) setting: &'a Setting,
    /// Noise levels.
    pub(super) levels: &'a Levels,
    /// Robust weights in (0, 1] of each source, one per node.
    pub(super) weights: &'a [Vec<f64>; SOURCES],
    /// What multiplies the variance of each step's airspeed disturbance, one per step.
    pub(super) airspeed_scales: &'a [f64],
    /// What multiplies the variance of each step's disturbance of the wind, one per step.
    pub(super) wind_scales: &'a [f64],
    /// Motion of the flight, one per node where a sensor's clock may be off; empty where there is none.
    pub(super) motion: &'a [Motion],
}

/// What a pass is made for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Depth {
    /// Where the flight goes: smoothed means and residuals.
    Means,
    /// What the flight says about the noise levels as well. Half of the work.
    Levels,
    /// How well all of that is known as well: covariances of the state.
    Covariances,
}

/// Runs one pass, linearised about `trajectory` (one state per node). `scratch` is an earlier pass's node list to write
/// over: a long flight takes tens of megabytes, and fetching them anew for every pass would cost more than the sums.
pub(super) fn pass<const N: usize>(
    problem: &Problem<'_>,
    trajectory: &[Vector<N>],
    depth: Depth,
    scratch: Vec<Smoothed<N>>,
) -> Pass<N> {
    let mut nodes = scratch;
    nodes.resize_with(trajectory.len(), Smoothed::default);
    let mut filter = Filter::new(problem, trajectory);
    if let Some(first) = nodes.first_mut() {
        filter.begin(first);
    }
    for k in 0..nodes.len() {
        let (before, after) = nodes.split_at_mut(k + 1);
        if let Some(node) = before.last_mut() {
            filter.advance(k, node, after.first_mut());
        }
    }
    let log_likelihood = filter.log_likelihood;
    let (by_products, information) = smooth(problem, depth, &mut nodes);
    Pass { nodes, information, log_likelihood, by_products }
}

/// Log-likelihood of the measurements, up to a constant, without smoothing.
pub(super) fn log_likelihood<const N: usize>(problem: &Problem<'_>, trajectory: &[Vector<N>]) -> f64 {
    let mut filter = Filter::new(problem, trajectory);
    let [mut node, mut next] = [Smoothed::default(), Smoothed::default()];
    filter.begin(&mut node);
    for k in 0..trajectory.len() {
        filter.advance(k, &mut node, Some(&mut next));
        std::mem::swap(&mut node, &mut next);
    }
    filter.log_likelihood
}

/// The filter on its way forward.
struct Filter<'a, const N: usize> {
    problem: &'a Problem<'a>,
    trajectory: &'a [Vector<N>],
    log_likelihood: f64,
}

impl<'a, const N: usize> Filter<'a, N> {
    const fn new(problem: &'a Problem<'a>, trajectory: &'a [Vector<N>]) -> Self {
        Self { problem, trajectory, log_likelihood: 0.0 }
    }

    /// Sets what is believed of the first node.
    fn begin(&self, first: &mut Smoothed<N>) {
        let prior = self.problem.setting.blocks.prior(self.trajectory[0].as_slice(), self.problem.levels);
        first.mean = Vector::from_fn(|part, _| prior.mean[part]);
        first.predicted_cov = Matrix::from_diagonal(&Vector::from_fn(|part, _| prior.std_u[part] * prior.std_u[part]));
    }

    /// Takes in what is measured at node `k`, and predicts the next; keeps in `node` what the backward pass needs.
    fn advance(&mut self, k: usize, node: &mut Smoothed<N>, next: Option<&mut Smoothed<N>>) {
        let Problem { setting, levels, weights, airspeed_scales, wind_scales, motion } = self.problem;
        let (blocks, x) = (&setting.blocks, self.trajectory[k].as_slice());
        let weights = weights.each_ref().map(|of_source| of_source[k]);
        let clock = blocks.gyro.as_ref().map(|gyro| gyro.states.clock).zip(motion.get(k).copied());
        let Smoothed { predicted_cov, mean, step, measurements, updates, .. } = node;
        blocks.measure(&NodeAt { k, x, levels, weights, clock }, measurements);
        let mut taken_in = *mean;
        let (interval, to) = (setting.intervals.get(k), self.trajectory.get(k + 1));
        let Some(((next, interval), to)) = next.zip(interval).zip(to) else {
            let mut last = Matrix::zeros();
            self.log_likelihood += take_in(measurements, &mut taken_in, predicted_cov, &mut last, updates);
            return;
        };
        self.log_likelihood += take_in(measurements, &mut taken_in, predicted_cov, &mut next.predicted_cov, updates);
        let (airspeed_scale, wind_scale) = (airspeed_scales[k], wind_scales[k]);
        blocks.step(&StepAt { k, interval, x, next: to.as_slice(), levels, airspeed_scale, wind_scale }, step);
        next.mean = taken_in;
        step.carry(&mut next.mean, &mut next.predicted_cov);
    }
}

/// By-products of the backward pass.
pub(super) struct ByProducts {
    /// What the pass says about the noise levels.
    pub(super) moments: Moments,
    /// Smoothed residual of each source at each node, in its own unit; 0 where nothing was measured.
    pub(super) residuals: [Vec<f64>; SOURCES],
    /// Posterior mean square of each step's airspeed disturbance over its unscaled variance.
    pub(super) airspeed_squares: Vec<f64>,
    /// The strangest step of the part that is watched.
    pub(super) jump: Jump,
    /// How strange each step of the wind is.
    pub(super) wind_squares: Vec<f64>,
}

/// How badly the wind fits its own model at a step: the disturbance of both axes over the covariance it would have if the
/// model held (auxiliary residual, as for [`Jump`]); chi-squared with two degrees of freedom.
fn wind_square<const N: usize>(score: &Vector<N>, information: &Matrix<N>) -> f64 {
    let (east, north) = (score[WIND_E], score[WIND_N]);
    let (ee, en, nn) = (information[(WIND_E, WIND_E)], information[(WIND_E, WIND_N)], information[(WIND_N, WIND_N)]);
    let determinant = ee * nn - en * en;
    let square = (nn * east * east - 2.0 * en * east * north + ee * north * north) / determinant;
    if determinant > 0.0 { square } else { 0.0 }
}

/// Backward: r and N of the disturbance smoother; what smoothed errors and disturbances say is gathered on the way. Returns that,
/// and N of each node where covariances are asked for.
fn smooth<const N: usize>(
    problem: &Problem<'_>,
    depth: Depth,
    nodes: &mut [Smoothed<N>],
) -> (ByProducts, Vec<Matrix<N>>) {
    let intervals = &problem.setting.intervals;
    let mut score = Vector::<N>::zeros();
    let mut information = Matrix::<N>::zeros();
    let mut informations = Vec::with_capacity(if depth == Depth::Covariances { nodes.len() } else { 0 });
    let mut out = ByProducts {
        moments: Moments::default(),
        residuals: std::array::from_fn(|_| vec![0.0; nodes.len()]),
        airspeed_squares: vec![1.0; intervals.len()],
        jump: Jump::default(),
        wind_squares: vec![0.0; intervals.len()],
    };
    for (k, node) in nodes.iter_mut().enumerate().rev() {
        if let Some(interval) = intervals.get(k) {
            if depth == Depth::Means {
                node.step.apply_transposed(&mut score);
            } else {
                let middle_s = problem.setting.nodes[k].t_s + 0.5 * interval.dt_s;
                out.gather(k, middle_s, problem.airspeed_scales[k], &node.step, &score, &information);
                node.step.carry_back(&mut score, &mut information);
            }
        }
        for (measurement, update) in node.measurements.iter().zip(&node.updates).rev() {
            let error = match depth {
                Depth::Means => measurement.variance * update.carry_score_back(measurement, &mut score),
                Depth::Levels | Depth::Covariances => {
                    let smoothed = update.carry_back(measurement, &mut score, &mut information);
                    if let Some(level) = measurement.level {
                        out.moments.add(level, smoothed.mean_square * measurement.lasts, smoothed.told);
                    }
                    smoothed.error
                }
            };
            if let Some((source, unit)) = measurement.weighted_by {
                let (residual, part) = (&mut out.residuals[source as usize][k], error / unit);
                *residual = (*residual * *residual + part * part).sqrt();
            }
        }
        add_scaled(&mut node.mean.data.0[0], 1.0, &product(&node.predicted_cov, &score.data.0[0]));
        if depth == Depth::Covariances {
            informations.push(information);
        }
    }
    informations.reverse();
    (out, informations)
}

impl ByProducts {
    /// Gathers what the disturbances of a step say, before `score` and `information` are carried back across it.
    fn gather<const N: usize>(
        &mut self,
        k: usize,
        t_s: f64,
        airspeed_scale: f64,
        step: &Step,
        score: &Vector<N>,
        information: &Matrix<N>,
    ) {
        for (taught, noise) in step.taught() {
            let mean = noise.of(score.as_slice());
            let taken = noise.square_through(information);
            let square = (mean * mean + step.variance(taught.part) - taken) / taught.variance;
            if taught.scaled {
                self.airspeed_squares[k] = square;
                if !taught.held {
                    let variance = taught.variance * airspeed_scale;
                    self.moments.add(taught.level, square / airspeed_scale, taken / variance);
                }
            } else {
                self.moments.add(taught.level, square, taken / taught.variance);
            }
        }
        self.wind_squares[k] = wind_square(score, information);
        if let Some(part) = step.watched() {
            let variance = information[(part, part)];
            let sigmas = if variance > 0.0 { score[part] / variance.sqrt() } else { 0.0 };
            if sigmas.abs() > self.jump.sigmas.abs() {
                self.jump = Jump { t_s, sigmas };
            }
        }
    }
}
