//! One pass over the flight: a Kalman filter forward, a disturbance smoother back.
//!
//! Durbin & Koopman, *Time Series Analysis by State Space Methods* (2nd ed. 2012), sections 4.3 to 4.7 (from
//! memory; checked in the tests against a dense least-squares solution). Nothing of size DIM is ever inverted, so
//! parts without noise (the steady rate inside a window, the shear) need no special care, and one pass costs a fixed
//! number of operations per node.

use super::clock::Motion;
use super::compass::{self, Jump};
use super::dynamics::{Linear, Step, Stretch, disturbance};
use super::gyro::GyroReading;
use super::heading_row::HeadingUpdate;
use super::nodes::{Measured, NodeInput};
use super::noise::{Level, Levels, Moments, TYPICAL_AIRSPEED_MPS};
use super::state::{
    AIRSPEED, CLOCK, DIM, GUST_E, GUST_N, HEADING, LEVEL, Matrix, POS_E, POS_N, SHEAR_E, SHEAR_N, SLOW, STEADY, TWIST,
    Vector, WANDER, WIND_E, WIND_N, pick, wind_at,
};
use nalgebra::{Matrix2, SMatrix, Vector2};

type Gain<const N: usize> = SMatrix<f64, N, 2>;

/// The problem a pass works on: everything but the trajectory it is linearised about.
pub(super) struct Problem<'a, const N: usize = DIM> {
    /// Nodes, first one measured.
    pub(super) nodes: &'a [NodeInput],
    /// `steps[k]` leads from node k to k + 1.
    pub(super) steps: &'a [Step],
    /// Heights above the reference altitude, m, one per node.
    pub(super) heights_m: &'a [f64],
    /// Noise levels.
    pub(super) levels: &'a Levels,
    /// Robust weights in (0, 1], one per node.
    pub(super) weights: &'a [f64],
    /// What multiplies the variance of each step's airspeed disturbance, one per step.
    pub(super) airspeed_scales: &'a [f64],
    /// Fixes in a typical node: the position level belongs to such a node.
    pub(super) typical_fixes: f64,
    /// Gyro headings, one per node where there is a gyro; empty where there is none.
    pub(super) gyro: &'a [Option<GyroReading>],
    /// Robust weights of the gyro headings, one per node.
    pub(super) gyro_weights: &'a [f64],
    /// Motion of the flight, one per node where there is a gyro, whose clock may be off; empty where there is none.
    pub(super) motion: &'a [Motion],
    /// Compass headings, rad, one per node where there is a compass; empty where there is none.
    pub(super) compass: &'a [Option<f64>],
    /// Robust weights of the compass headings, one per node.
    pub(super) compass_weights: &'a [f64],
    /// Prior of the first node.
    pub(super) prior: (Vector<N>, Matrix<N>),
}

/// What is kept of one node.
pub(super) struct Smoothed<const N: usize> {
    /// Predicted covariance.
    predicted_cov: Matrix<N>,
    /// Information from this node on: N of the node before.
    information: Matrix<N>,
    /// Smoothed mean.
    pub(super) mean: Vector<N>,
    /// The linear step that leaves this node; `None` at the last.
    step: Option<Linear<N>>,
    /// Updates made at this node, in order (position, then recorded velocity).
    updates: [Option<Update<N>>; 2],
    /// Update by the gyro heading, made after those; boxed because most flights have none.
    gyro: Option<Box<HeadingUpdate<N>>>,
    /// Update by the compass heading, the last of the node.
    compass: Option<Box<HeadingUpdate<N>>>,
}

#[derive(Clone)]
struct Update<const N: usize> {
    /// Observation rows: what is measured of the state.
    rows: [Vector<N>; 2],
    gain: Gain<N>,
    innovation: Vector2<f64>,
    innovation_inv: Matrix2<f64>,
    variance: f64,
    kind: Kind,
}

#[derive(Clone, Copy, PartialEq)]
enum Kind {
    Position,
    Doppler,
}

/// The result of one pass.
pub(super) struct Pass<const N: usize> {
    pub(super) nodes: Vec<Smoothed<N>>,
    /// Log-likelihood of the measurements, up to a constant.
    pub(super) log_likelihood: f64,
    /// What the pass says about the noise levels.
    pub(super) moments: Moments,
    /// Smoothed position residual of each node in units of its standard deviation.
    pub(super) position_residuals: Vec<f64>,
    /// Posterior mean square of each step's airspeed disturbance over its unscaled variance.
    pub(super) airspeed_squares: Vec<f64>,
    /// Smoothed residual of each gyro heading in units of its unweighted standard deviation; empty without a gyro.
    pub(super) gyro_residuals: Vec<f64>,
    /// The same of each compass heading.
    pub(super) compass_residuals: Vec<f64>,
    /// The strangest step of the compass' slow error.
    pub(super) jump: Jump,
}

/// Runs one pass, linearised about `trajectory` (one state per node). `room` is an earlier pass's node list to write
/// over: a long flight takes tens of megabytes, and fetching them anew for every pass would cost more than the sums.
pub(super) fn pass<const N: usize>(
    problem: &Problem<'_, N>,
    trajectory: &[Vector<N>],
    room: Vec<Smoothed<N>>,
) -> Pass<N> {
    let mut nodes = room;
    nodes.clear();
    nodes.reserve(trajectory.len());
    let log_likelihood = filter(problem, trajectory, |node| nodes.push(node));
    let Gathered { moments, position_residuals, airspeed_squares, gyro_residuals, compass_residuals, jump } =
        smooth(problem, &mut nodes);
    Pass {
        nodes,
        log_likelihood,
        moments,
        position_residuals,
        airspeed_squares,
        gyro_residuals,
        compass_residuals,
        jump,
    }
}

/// Log-likelihood of the measurements, up to a constant, linearised about `trajectory`.
pub(super) fn log_likelihood<const N: usize>(problem: &Problem<'_, N>, trajectory: &[Vector<N>]) -> f64 {
    filter(problem, trajectory, |_| {})
}

/// Forward over all nodes: each goes to `keep`, and the log-likelihood comes back.
fn filter<const N: usize>(
    problem: &Problem<'_, N>,
    trajectory: &[Vector<N>],
    mut keep: impl FnMut(Smoothed<N>),
) -> f64 {
    let (mut mean, mut cov) = problem.prior;
    let mut log_likelihood = 0.0;
    for (k, x) in trajectory.iter().enumerate() {
        let (predicted_mean, predicted_cov) = (mean, cov);
        let mut updates = [None, None];
        if let Some(measured) = &problem.nodes[k].measured {
            for (slot, observation) in updates.iter_mut().zip(observations(problem, k, measured, x)) {
                let Some(observation) = observation else { continue };
                let update = observation.update(&mut mean, &mut cov);
                log_likelihood -= 0.5
                    * (update.innovation.dot(&(update.innovation_inv * update.innovation))
                        - update.innovation_inv.determinant().ln());
                *slot = Some(update);
            }
        }
        let gyro = problem.gyro.get(k).copied().flatten().map(|reading| {
            let update = HeadingUpdate::new(&reading.observed(), problem.gyro_weights[k], &mut mean, &mut cov);
            log_likelihood += update.log_likelihood();
            Box::new(update)
        });
        let compass = problem.compass.get(k).copied().flatten().map(|reading_rad| {
            let seen = compass::observed(reading_rad, x, problem.levels);
            let update = HeadingUpdate::new(&seen, problem.compass_weights[k], &mut mean, &mut cov);
            log_likelihood += update.log_likelihood();
            Box::new(update)
        });
        let step = problem.steps.get(k).zip(trajectory.get(k + 1)).map(|(step, next)| {
            let linear = Linear::new(step, x, next);
            mean = linear.mean(&mean);
            linear.apply(&mut cov);
            cov = cov.transpose();
            linear.apply(&mut cov);
            cov += disturbance(step, &linear, problem.levels, problem.airspeed_scales[k]);
            cov = 0.5 * (cov + cov.transpose());
            linear
        });
        let (information, mean) = (Matrix::zeros(), predicted_mean);
        keep(Smoothed { predicted_cov, information, mean, step, updates, gyro, compass });
    }
    log_likelihood
}

/// An observation of two components: value, expected value at zero deviation, rows, variance per component.
struct Observation<const N: usize> {
    rows: [Vector<N>; 2],
    /// Measured value minus the constant of the linearised prediction.
    value: Vector2<f64>,
    variance: f64,
    kind: Kind,
}

fn observations<const N: usize>(
    problem: &Problem<'_, N>,
    k: usize,
    measured: &Measured,
    x: &Vector<N>,
) -> [Option<Observation<N>>; 2] {
    let weight = problem.weights[k];
    let mut rows = [pick(POS_E), pick(POS_N)];
    let motion = problem.motion.get(k);
    if let Some(motion) = motion {
        for (row, speed_mps) in rows.iter_mut().zip(motion.velocity_mps) {
            row[CLOCK] = -speed_mps;
        }
    }
    let position = Observation {
        rows,
        value: Vector2::from(measured.position_m),
        variance: problem.levels[Level::Position] * problem.typical_fixes / measured.fixes / weight,
        kind: Kind::Position,
    };
    let doppler = measured.doppler_mps.map(|velocity| {
        let (sin, cos) = x[HEADING].sin_cos();
        let mut rows = wind_at(problem.heights_m[k]);
        let mut value = Vector2::from(velocity);
        for (i, (gust, along, across)) in [(GUST_E, sin, cos), (GUST_N, cos, -sin)].into_iter().enumerate() {
            rows[i][gust] += 1.0;
            rows[i][AIRSPEED] += along;
            rows[i][HEADING] += x[AIRSPEED] * across;
            // V·sin ψ about (V₀, ψ₀) is V·sin ψ₀ + V₀ cos ψ₀ (ψ - ψ₀): only the heading leaves a constant.
            value[i] += x[AIRSPEED] * across * x[HEADING];
            if let Some(motion) = motion {
                rows[i][CLOCK] = -motion.acceleration_mps2[i];
            }
        }
        Observation { rows, value, variance: problem.levels[Level::Doppler] / weight, kind: Kind::Doppler }
    });
    [Some(position), doppler]
}

impl<const N: usize> Observation<N> {
    fn update(self, mean: &mut Vector<N>, cov: &mut Matrix<N>) -> Update<N> {
        let [a, b] = self.rows;
        let spread = Gain::from_columns(&[*cov * a, *cov * b]);
        let s = Matrix2::new(
            a.dot(&spread.column(0)) + self.variance,
            a.dot(&spread.column(1)),
            a.dot(&spread.column(1)),
            b.dot(&spread.column(1)) + self.variance,
        );
        // The variance on the diagonal is positive, so an inverse exists; zeros would mean "no information".
        let innovation_inv = s.try_inverse().unwrap_or_else(Matrix2::zeros);
        let gain = spread * innovation_inv;
        let innovation = self.value - Vector2::new(a.dot(mean), b.dot(mean));
        *mean += gain * innovation;
        *cov -= gain * spread.transpose();
        Update { rows: self.rows, gain, innovation, innovation_inv, variance: self.variance, kind: self.kind }
    }
}

/// What falls out of the way back.
struct Gathered {
    moments: Moments,
    position_residuals: Vec<f64>,
    airspeed_squares: Vec<f64>,
    gyro_residuals: Vec<f64>,
    compass_residuals: Vec<f64>,
    jump: Jump,
}

/// Backward: r and N of the disturbance smoother; the moments of the noise fall out on the way.
fn smooth<const N: usize>(problem: &Problem<'_, N>, nodes: &mut [Smoothed<N>]) -> Gathered {
    let mut score = Vector::zeros();
    let mut information = Matrix::zeros();
    let mut moments = Moments::default();
    let mut residuals = vec![0.0; nodes.len()];
    let mut airspeed_squares = vec![1.0; problem.steps.len()];
    let mut gyro_residuals = vec![0.0; problem.gyro.len()];
    let mut compass_residuals = vec![0.0; problem.compass.len()];
    let mut jump = Jump::default();
    for (k, node) in nodes.iter_mut().enumerate().rev() {
        if let (Some(linear), Some(step)) = (&node.step, problem.steps.get(k)) {
            if step.stretch != Stretch::Break {
                let q = disturbance(step, linear, problem.levels, problem.airspeed_scales[k]);
                // Outside windows what the pilot does with brakes and throttle cannot be told from gusts and wander.
                if matches!(step.stretch, Stretch::Window | Stretch::Unmarked) {
                    gather_air(step, &q, problem.levels, &score, &information, &mut moments);
                }
                if step.gyro.seen {
                    let twist_var = problem.levels[Level::Twist] * step.gyro.twist_gain();
                    let twist = mean_square_over(&q, TWIST, twist_var, &score, &information);
                    moments.add(Level::Twist, twist, 1.0);
                }
                if !problem.compass.is_empty() {
                    let var = step.compass.slow_variance(problem.levels);
                    moments.add(Level::CompassSlow, mean_square_over(&q, SLOW, var, &score, &information), 1.0);
                    let sigmas = sigmas_of(SLOW, &score, &information);
                    if sigmas.abs() > jump.sigmas.abs() {
                        jump = Jump { t_s: problem.nodes[k].t_s + 0.5 * step.dt_s, sigmas };
                    }
                }
                let level = step.airspeed_level();
                let var = problem.levels[level] * step.dt_s;
                airspeed_squares[k] = mean_square_over(&q, AIRSPEED, var, &score, &information);
                moments.add(level, airspeed_squares[k] / problem.airspeed_scales[k], 1.0);
            }
            linear.apply_transposed(&mut score);
            linear.apply_transposed(&mut information);
            information = information.transpose();
            linear.apply_transposed(&mut information);
        }
        if let Some(update) = &node.compass {
            moments.add(Level::CompassWhite, update.mean_square(&score, &information), 1.0);
            compass_residuals[k] = update.back(&mut score, &mut information);
        }
        if let Some(update) = &node.gyro {
            gyro_residuals[k] = update.back(&mut score, &mut information);
        }
        for update in node.updates.iter().rev().flatten() {
            let residual = update.gather(&score, &information, &mut moments);
            if update.kind == Kind::Position {
                residuals[k] = residual;
            }
            update.back(&mut score, &mut information);
        }
        information = 0.5 * (information + information.transpose());
        node.mean += node.predicted_cov * score;
        node.information = information;
    }
    Gathered { moments, position_residuals: residuals, airspeed_squares, gyro_residuals, compass_residuals, jump }
}

impl<const N: usize> Update<N> {
    /// Posterior error of this observation: adds its mean square to the moments, returns its size in standard deviations.
    fn gather(&self, score: &Vector<N>, information: &Matrix<N>, moments: &mut Moments) -> f64 {
        let u = self.innovation_inv * self.innovation - self.gain.transpose() * score;
        let d = self.innovation_inv + self.gain.transpose() * information * self.gain;
        let mean_square = (self.variance * u.norm_squared() + 2.0) - self.variance * d.trace();
        let level = match self.kind {
            Kind::Position => Level::Position,
            Kind::Doppler => Level::Doppler,
        };
        moments.add(level, mean_square, 2.0);
        (self.variance * u.norm_squared()).sqrt()
    }

    /// r ← Hᵀ S⁻¹ v + (I - K H)ᵀ r and N ← Hᵀ S⁻¹ H + (I - K H)ᵀ N (I - K H).
    fn back(&self, score: &mut Vector<N>, information: &mut Matrix<N>) {
        let pull = self.innovation_inv * self.innovation - self.gain.transpose() * *score;
        let across = *information * self.gain;
        let middle = self.innovation_inv + self.gain.transpose() * across;
        for (i, row) in self.rows.iter().enumerate() {
            *score += pull[i] * row;
            let column = across.column(i).into_owned();
            *information -= column * row.transpose() + row * column.transpose();
            for (j, other) in self.rows.iter().enumerate() {
                *information += middle[(i, j)] * row * other.transpose();
            }
        }
    }
}

/// Posterior mean squares of what air (and pilot, where no window is known) did in one step, per unit of their variances.
fn gather_air<const N: usize>(
    step: &Step,
    q: &Matrix<N>,
    levels: &Levels,
    score: &Vector<N>,
    information: &Matrix<N>,
    moments: &mut Moments,
) {
    let gust_var = levels[Level::Gust] * step.gust_gain();
    let gust = [GUST_E, GUST_N].map(|part| mean_square_over(q, part, gust_var, score, information));
    moments.add(Level::Gust, gust[0] + gust[1], 2.0);
    if step.stretch == Stretch::Unmarked {
        let turn_var = levels[Level::TurnFree] * step.dt_s;
        moments.add(Level::TurnFree, mean_square_over(q, STEADY, turn_var, score, information), 1.0);
    }
    if step.stretch == Stretch::Window {
        let wander_var = levels[Level::Wander] * step.wander_gain();
        moments.add(Level::Wander, mean_square_over(q, WANDER, wander_var, score, information), 1.0);
    }
}

/// Posterior mean square of one part of a step's disturbance, over `var`.
fn mean_square_over<const N: usize>(
    q: &Matrix<N>,
    part: usize,
    var: f64,
    score: &Vector<N>,
    information: &Matrix<N>,
) -> f64 {
    let row: Vector<N> = q.column(part).into_owned();
    let mean = row.dot(score);
    (mean * mean + q[(part, part)] - row.dot(&(information * row))) / var
}

/// A disturbance of its own part's variance alone, as smoothed, over the standard deviation that it would have if the
/// model held.
fn sigmas_of<const N: usize>(part: usize, score: &Vector<N>, information: &Matrix<N>) -> f64 {
    let variance = information[(part, part)];
    if variance > 0.0 { score[part] / variance.sqrt() } else { 0.0 }
}

impl<const N: usize> Pass<N> {
    /// Posterior covariance of two linear functionals of the state at node `k`.
    pub(super) fn covariance(&self, k: usize, a: &Vector<N>, b: &Vector<N>) -> f64 {
        let node = &self.nodes[k];
        let (pa, pb) = (node.predicted_cov * a, node.predicted_cov * b);
        a.dot(&pb) - pa.dot(&(node.information * pb))
    }

    /// Posterior covariance of a functional at node `i` with one at a later node `j`.
    pub(super) fn cross_covariance(&self, i: usize, a: &Vector<N>, j: usize, b: &Vector<N>) -> f64 {
        // Durbin & Koopman 4.7: P_i L_iᵀ … L_{j-1}ᵀ (I - N_{j-1} P_j), read from the left as a travelling row.
        let mut row = self.nodes[i].predicted_cov * a;
        for node in &self.nodes[i..j] {
            for update in node.updates.iter().flatten() {
                let seen = Vector2::new(update.rows[0].dot(&row), update.rows[1].dot(&row));
                row -= update.gain * seen;
            }
            for update in node.gyro.iter().chain(&node.compass) {
                update.pass_on(&mut row);
            }
            if let Some(linear) = &node.step {
                linear.apply(&mut row);
            }
        }
        let at_j = &self.nodes[j];
        let pb = at_j.predicted_cov * b;
        row.dot(b) - row.dot(&(at_j.information * pb))
    }

    /// Smoothed trajectory.
    pub(super) fn means(&self) -> Vec<Vector<N>> {
        self.nodes.iter().map(|n| n.mean).collect()
    }

    /// The same covariances about other means.
    pub(super) fn with_means(mut self, means: &[Vector<N>]) -> Self {
        for (node, mean) in self.nodes.iter_mut().zip(means) {
            node.mean = *mean;
        }
        self
    }

    /// Posterior covariance of the wind at reference altitude plus shear times `height_m`, m²/s²: ee, en, nn.
    pub(super) fn wind_cov(&self, k: usize, height_m: f64) -> [f64; 3] {
        let [e, n] = wind_at(height_m);
        [self.covariance(k, &e, &e), self.covariance(k, &e, &n), self.covariance(k, &n, &n)]
    }

    /// Smoothed wind at `height_m` above the reference altitude, m/s.
    pub(super) fn wind(&self, k: usize, height_m: f64) -> [f64; 2] {
        let x = &self.nodes[k].mean;
        wind_at(height_m).map(|f: Vector<N>| f.dot(x))
    }

    /// Largest change of heading against another trajectory, rad.
    pub(super) fn heading_change_from(&self, trajectory: &[Vector<N>]) -> f64 {
        self.nodes.iter().zip(trajectory).map(|(n, x)| (n.mean[HEADING] - x[HEADING]).abs()).fold(0.0, f64::max)
    }
}

/// Prior of the first node: broad, centred where the start says; the wind is centred on still air.
pub(super) fn broad_prior<const N: usize>(first: &Vector<N>, levels: &Levels) -> (Vector<N>, Matrix<N>) {
    let mut mean = *first;
    for part in [WIND_E, WIND_N, GUST_E, GUST_N, STEADY, WANDER, SHEAR_E, SHEAR_N] {
        mean[part] = 0.0;
    }
    mean[AIRSPEED] = TYPICAL_AIRSPEED_MPS;
    mean[LEVEL] = TYPICAL_AIRSPEED_MPS;
    let mut cov = Matrix::zeros();
    for (part, sd) in [
        (POS_E, 1e3),
        (POS_N, 1e3),
        (WIND_E, 10.0),
        (WIND_N, 10.0),
        (GUST_E, levels[Level::Gust].sqrt()),
        (GUST_N, levels[Level::Gust].sqrt()),
        (AIRSPEED, 4.0),
        (LEVEL, 2.0),
        (HEADING, 10.0),
        (STEADY, 3.0),
        (WANDER, levels[Level::Wander].sqrt()),
        (SHEAR_E, SHEAR_SD),
        (SHEAR_N, SHEAR_SD),
    ] {
        cov[(part, part)] = sd * sd;
    }
    (mean, cov)
}

/// Prior of the change of wind with height: 2 m/s in 100 m, 1/s.
const SHEAR_SD: f64 = 0.02;
