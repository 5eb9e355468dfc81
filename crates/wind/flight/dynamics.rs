//! From one node to the next: the step of the state, its derivative, and the disturbances of the step.
//!
//! The heading turns by the acceleration across the path, steady part plus wander, over the airspeed; the position moves with mean wind, gust and airspeed along
//! the arc. The derivative is the identity but for three rows, so products with it are written out by rows.

use super::compass::CompassStep;
use super::gyro::GyroStep;
use super::noise::{
    AIRSPEED_TAU_S, GUST_TAU_S, LEVEL_WALK, Level, Levels, SLOW_POSITION_WALK_M2_S, WANDER_TAU_S, WIND_WALK,
};
use super::state::{
    AIRSPEED, DIM, GUST_E, GUST_N, GYRO_DIM, HEADING, LEVEL, Matrix, POS_E, POS_N, SHEAR_E, SHEAR_N, STEADY, Vector,
    WANDER, WIND_E, WIND_N, airspeed_mps,
};
use nalgebra::SMatrix;

/// The kind of stretch a step crosses.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stretch {
    /// Inside a hands-off window: the steady rate stays, the airspeed hardly changes.
    Window,
    /// Outside the windows: anything the pilot likes.
    Free,
    /// In a flight whose windows are not known: hands off or anything the pilot likes.
    Unmarked,
    /// A gap too long to follow.
    Break,
}

/// One step between nodes, before it is linearised.
#[derive(Debug, Clone, Copy)]
pub(super) struct Step {
    /// Length, s.
    pub(super) dt_s: f64,
    /// Mean height above the reference altitude, m.
    pub(super) height_m: f64,
    /// What it crosses.
    pub(super) stretch: Stretch,
    /// What the gyro says about it; of no meaning in a flight without.
    pub(super) gyro: GyroStep,
    /// What becomes of a compass' slow error.
    pub(super) compass: CompassStep,
    gust: Markov,
    wander: Markov,
    /// Share of the airspeed's distance from its level that is left after the step; 1 inside a window.
    airspeed_decay: f64,
}

impl Step {
    /// A step of `dt_s` seconds at a mean height above the reference altitude.
    pub(super) fn new(dt_s: f64, height_m: f64, stretch: Stretch) -> Self {
        Self {
            dt_s,
            height_m,
            stretch,
            gyro: GyroStep::default(),
            compass: CompassStep::over(dt_s),
            gust: Markov::over(dt_s, GUST_TAU_S),
            wander: Markov::over(dt_s, WANDER_TAU_S),
            airspeed_decay: if stretch == Stretch::Window { 1.0 } else { (-dt_s / AIRSPEED_TAU_S).exp() },
        }
    }

    /// The level that governs the airspeed disturbance of this step.
    pub(super) fn airspeed_level(&self) -> Level {
        if self.stretch == Stretch::Window { Level::AirspeedInWindows } else { Level::AirspeedFree }
    }

    /// Variance of a gust disturbance of this step per unit of the gust's variance.
    pub(super) fn gust_gain(&self) -> f64 {
        self.gust.gained[0]
    }

    /// Variance of a wander disturbance of this step per unit of the wander's variance.
    pub(super) fn wander_gain(&self) -> f64 {
        self.wander.gained[0]
    }
}

/// Steps shorter than this times τ take the first term of the series: the closed form would lose its digits.
const SHORT: f64 = 0.02;

/// A first-order Markov process over one step: what is left of it, and its integral.
#[derive(Debug, Clone, Copy)]
struct Markov {
    /// Share of the value left after the step.
    decay: f64,
    /// Integral over the step per unit of the value, s.
    reach_s: f64,
    /// Per unit of its stationary variance: variance gained, covariance with the integral, variance of the integral.
    gained: [f64; 3],
    /// The same for the integral of the integral: covariance with the value, with the integral, variance.
    gained_twice: [f64; 3],
}

impl Markov {
    /// Exact discretisation of dx = -x/τ dt + noise, y' = x (for instance Bar-Shalom, Li, Kirubarajan,
    /// *Estimation with Applications to Tracking and Navigation* (2001), section 8.2; from memory, and checked
    /// in the tests against many small steps).
    fn over(dt_s: f64, tau_s: f64) -> Self {
        let decay = (-dt_s / tau_s).exp();
        let lost = -(-dt_s / tau_s).exp_m1();
        let reach_s = tau_s * lost;
        let lost_twice = -(-2.0 * dt_s / tau_s).exp_m1();
        let integral = 2.0 * tau_s * dt_s - 4.0 * tau_s * reach_s + tau_s * tau_s * lost_twice;
        Self {
            decay,
            reach_s,
            gained: [lost_twice, tau_s * lost * lost, integral.max(0.0)],
            gained_twice: Self::gained_twice(dt_s / tau_s, tau_s),
        }
    }

    /// Of the integral of the integral over a step of `a` times τ: sums of products of the answers to a kick. With v the
    /// time since the kick over τ they are exp(-v), τ (1 - exp(-v)) and τ² (v - 1 + exp(-v)).
    fn gained_twice(a: f64, tau_s: f64) -> [f64; 3] {
        let (tau2, a3) = (tau_s * tau_s, a * a * a);
        let units = [tau2, tau2 * tau_s, tau2 * tau2];
        let late = a * (-a).exp();
        let (lost, half_lost_twice) = (-(-a).exp_m1(), -0.5 * (-2.0 * a).exp_m1());
        let sums = if a < SHORT {
            [a3 / 3.0, a3 * a / 4.0, a3 * a * a / 10.0]
        } else {
            [
                2.0 * (half_lost_twice - late),
                2.0 * (0.5 * a * a - a + lost + late - half_lost_twice),
                2.0 * (a3 / 3.0 - a * a + a - 2.0 * late + half_lost_twice),
            ]
        };
        std::array::from_fn(|i| units[i] * sums[i])
    }
}

/// A step linearised about a state.
#[derive(Debug, Clone)]
pub(super) struct Linear<const N: usize = DIM> {
    /// Where the state it is linearised about goes.
    target: Vector<N>,
    /// That state.
    about: Vector<N>,
    /// Derivative of the position rows: (wind, gust, airspeed, heading, steady, wander, shear) east then north.
    position: [PositionRow; 2],
    dt_s: f64,
    gyro: GyroStep,
    compass: CompassStep,
    gust: Markov,
    wander: Markov,
    airspeed_decay: f64,
    airspeed_mps: f64,
    /// Turn of the step lost per m/s of airspeed gained, rad/(m/s).
    turn_per_mps: f64,
    broken: bool,
}

#[derive(Debug, Clone, Copy)]
struct PositionRow {
    wind: f64,
    gust: f64,
    airspeed: f64,
    heading: f64,
    steady: f64,
    wander: f64,
    shear: f64,
}

impl<const N: usize> Linear<N> {
    /// Linearises `step` about the state `x` that the trajectory leads to `next`.
    ///
    /// The turn that disturbances put into the step scales with one over the airspeed as much as the rest of it, so
    /// the derivative by the airspeed takes the turn of the trajectory, not the expected one. Without this the most
    /// probable path would again make its turns cheaper by flying faster.
    pub(super) fn new(step: &Step, x: &Vector<N>, next: &Vector<N>) -> Self {
        let dt = step.dt_s;
        let (gust, wander) = (step.gust, step.wander);
        let (v, psi) = (airspeed_mps(x), x[HEADING]);
        // Turn over the step, from the steady part and the expected wander.
        let turn = (x[STEADY] * dt + x[WANDER] * wander.reach_s) / v;
        let turned_in_all = if step.stretch == Stretch::Break { 0.0 } else { next[HEADING] - psi };
        let half = 0.5 * turn;
        // The chord of the arc: length shrinks by sin(h)/h, direction is that of the middle. Series, no branch that jumps.
        let (shrink, shrink_slope) = sinc_and_slope(half);
        let (sin, cos) = (psi + half).sin_cos();
        let direction = [sin, cos];
        let turned = [cos, -sin];
        let row = |i: usize| {
            let by_turn = v * dt * 0.5 * (shrink_slope * direction[i] + shrink * turned[i]);
            PositionRow {
                wind: dt,
                gust: gust.reach_s,
                airspeed: dt * shrink * direction[i] - by_turn * turned_in_all / v,
                heading: v * dt * shrink * turned[i],
                steady: by_turn * dt / v,
                wander: by_turn * wander.reach_s / v,
                shear: dt * step.height_m,
            }
        };
        let mut target = *x;
        for (i, (pos, wind, gst, shear)) in
            [(POS_E, WIND_E, GUST_E, SHEAR_E), (POS_N, WIND_N, GUST_N, SHEAR_N)].into_iter().enumerate()
        {
            target[pos] +=
                dt * (x[wind] + step.height_m * x[shear]) + gust.reach_s * x[gst] + v * dt * shrink * direction[i];
            target[gst] *= gust.decay;
        }
        target[AIRSPEED] = x[LEVEL] + step.airspeed_decay * (v - x[LEVEL]);
        target[HEADING] += turn;
        target[WANDER] *= wander.decay;
        if N > DIM {
            step.gyro.apply(dt, &mut target);
        }
        if N > GYRO_DIM {
            step.compass.apply(&mut target);
        }
        Self {
            target,
            about: *x,
            position: [row(0), row(1)],
            dt_s: dt,
            gyro: step.gyro,
            compass: step.compass,
            gust,
            wander,
            airspeed_decay: step.airspeed_decay,
            airspeed_mps: v,
            turn_per_mps: turned_in_all / v,
            broken: step.stretch == Stretch::Break,
        }
    }

    /// The mean after the step, for a mean before it.
    pub(super) fn mean(&self, x: &Vector<N>) -> Vector<N> {
        let mut deviation = x - self.about;
        self.apply(&mut deviation);
        self.target + deviation
    }

    /// Replaces `m` by F·m.
    pub(super) fn apply<const C: usize>(&self, m: &mut SMatrix<f64, N, C>) {
        if N > DIM {
            self.gyro.apply(self.dt_s, m);
        }
        if N > GYRO_DIM {
            self.compass.apply(m);
        }
        let keep = self.airspeed_decay;
        if self.broken {
            for part in BROKEN {
                m.row_mut(part).fill(0.0);
            }
            for c in 0..C {
                m[(AIRSPEED, c)] = keep * m[(AIRSPEED, c)] + (1.0 - keep) * m[(LEVEL, c)];
            }
            return;
        }
        for c in 0..C {
            let col = |part: usize| m[(part, c)];
            let rows = [(WIND_E, GUST_E, SHEAR_E), (WIND_N, GUST_N, SHEAR_N)];
            let moved: [f64; 2] = std::array::from_fn(|i| {
                let (p, (wind, gust, shear)) = (&self.position[i], rows[i]);
                p.wind * col(wind)
                    + p.gust * col(gust)
                    + p.airspeed * col(AIRSPEED)
                    + p.heading * col(HEADING)
                    + p.steady * col(STEADY)
                    + p.wander * col(WANDER)
                    + p.shear * col(shear)
            });
            let turned = (self.dt_s * col(STEADY) + self.wander.reach_s * col(WANDER)) / self.airspeed_mps
                - self.turn_per_mps * col(AIRSPEED);
            m[(POS_E, c)] += moved[0];
            m[(POS_N, c)] += moved[1];
            m[(HEADING, c)] += turned;
            m[(GUST_E, c)] *= self.gust.decay;
            m[(GUST_N, c)] *= self.gust.decay;
            m[(WANDER, c)] *= self.wander.decay;
            m[(AIRSPEED, c)] = keep * m[(AIRSPEED, c)] + (1.0 - keep) * m[(LEVEL, c)];
        }
    }

    /// Replaces `m` by Fᵀ·m.
    pub(super) fn apply_transposed<const C: usize>(&self, m: &mut SMatrix<f64, N, C>) {
        if N > DIM {
            self.gyro.apply_transposed(self.dt_s, m);
        }
        if N > GYRO_DIM {
            self.compass.apply(m);
        }
        let keep = self.airspeed_decay;
        if self.broken {
            for part in BROKEN {
                m.row_mut(part).fill(0.0);
            }
            for c in 0..C {
                m[(LEVEL, c)] += (1.0 - keep) * m[(AIRSPEED, c)];
                m[(AIRSPEED, c)] *= keep;
            }
            return;
        }
        for c in 0..C {
            let from = [m[(POS_E, c)], m[(POS_N, c)]];
            let heading = m[(HEADING, c)];
            let [e, n] = &self.position;
            m[(GUST_E, c)] = self.gust.decay * m[(GUST_E, c)] + e.gust * from[0];
            m[(GUST_N, c)] = self.gust.decay * m[(GUST_N, c)] + n.gust * from[1];
            m[(WIND_E, c)] += e.wind * from[0];
            m[(WIND_N, c)] += n.wind * from[1];
            m[(SHEAR_E, c)] += e.shear * from[0];
            m[(SHEAR_N, c)] += n.shear * from[1];
            m[(LEVEL, c)] += (1.0 - keep) * m[(AIRSPEED, c)];
            m[(AIRSPEED, c)] =
                keep * m[(AIRSPEED, c)] + e.airspeed * from[0] + n.airspeed * from[1] - self.turn_per_mps * heading;
            m[(HEADING, c)] += e.heading * from[0] + n.heading * from[1];
            m[(STEADY, c)] += e.steady * from[0] + n.steady * from[1] + self.dt_s / self.airspeed_mps * heading;
            m[(WANDER, c)] = self.wander.decay * m[(WANDER, c)]
                + e.wander * from[0]
                + n.wander * from[1]
                + self.wander.reach_s / self.airspeed_mps * heading;
        }
    }
}

/// What a gap too long to follow leaves unknown.
const BROKEN: [usize; 7] = [POS_E, POS_N, GUST_E, GUST_N, HEADING, STEADY, WANDER];

/// sin(h)/h and its derivative, smooth through zero.
fn sinc_and_slope(h: f64) -> (f64, f64) {
    if h.abs() < 1e-2 {
        let h2 = h * h;
        (1.0 - h2 / 6.0 + h2 * h2 / 120.0, -h / 3.0 + h * h2 / 30.0)
    } else {
        (h.sin() / h, (h.cos() - h.sin() / h) / h)
    }
}

/// Covariance of the disturbances of a step; `airspeed_scale` multiplies the variance of its airspeed disturbance.
pub(super) fn disturbance<const N: usize>(
    step: &Step,
    linear: &Linear<N>,
    levels: &Levels,
    airspeed_scale: f64,
) -> Matrix<N> {
    let v = linear.airspeed_mps;
    let dt = step.dt_s;
    let mut q = Matrix::zeros();
    if N > DIM {
        step.gyro.disturb(dt, levels, &mut q);
    }
    if N > GYRO_DIM {
        step.compass.disturb(levels, &mut q);
    }
    for part in [WIND_E, WIND_N] {
        q[(part, part)] = WIND_WALK * WIND_WALK * dt;
    }
    q[(LEVEL, LEVEL)] = LEVEL_WALK * LEVEL_WALK * dt;
    if step.stretch == Stretch::Break {
        for (part, sd) in BROKEN.into_iter().zip(broken_sd(levels)) {
            q[(part, part)] = sd * sd;
        }
        q[(AIRSPEED, AIRSPEED)] = levels[step.airspeed_level()] * airspeed_scale * dt;
        return q;
    }
    let inside = step.stretch == Stretch::Window;
    let (gust, wander) = (&step.gust, &step.wander);
    for (pos, gst) in [(POS_E, GUST_E), (POS_N, GUST_N)] {
        q[(gst, gst)] = levels[Level::Gust] * gust.gained[0];
        q[(pos, gst)] = levels[Level::Gust] * gust.gained[1];
        q[(gst, pos)] = q[(pos, gst)];
        q[(pos, pos)] = levels[Level::Gust] * gust.gained[2] + SLOW_POSITION_WALK_M2_S * dt;
    }
    q[(AIRSPEED, AIRSPEED)] = levels[step.airspeed_level()] * airspeed_scale * dt;
    q[(WANDER, WANDER)] = levels[Level::Wander] * wander.gained[0];
    q[(HEADING, WANDER)] = levels[Level::Wander] * wander.gained[1] / v;
    q[(WANDER, HEADING)] = q[(HEADING, WANDER)];
    q[(HEADING, HEADING)] = levels[Level::Wander] * wander.gained[2] / (v * v);
    if N > DIM {
        move_across(linear, WANDER, wander.gained_twice.map(|g| levels[Level::Wander] * g), &mut q);
    }
    if !inside {
        let walk = levels[Level::TurnFree];
        if N > DIM {
            let twice = [dt.powi(3) / 6.0, dt.powi(4) / 8.0, dt.powi(5) / 20.0];
            move_across(linear, STEADY, twice.map(|g| walk * g), &mut q);
        }
        q[(STEADY, STEADY)] = walk * dt;
        q[(HEADING, STEADY)] = walk * dt * dt / 2.0 / v;
        q[(STEADY, HEADING)] = q[(HEADING, STEADY)];
        q[(HEADING, HEADING)] += walk * dt * dt * dt / 3.0 / (v * v);
    }
    q
}

/// Adds what a disturbance of the acceleration across the path does to the position within the step: without it a turn
/// that begins or ends moves the path a part of a step late, and a sensor's clock would follow. `twice` is of the integral
/// of its integral: covariance with the `part` itself, with the integral, variance.
///
/// Only for flights with a gyro. By GPS alone turns are not known to a part of a second, and on the tuning flights of the
/// simulator the turn rates of windows came out no better for it.
fn move_across<const N: usize>(linear: &Linear<N>, part: usize, twice: [f64; 3], q: &mut Matrix<N>) {
    let reach_m = linear.airspeed_mps * linear.dt_s;
    let across = [0, 1].map(|i: usize| linear.position[i].heading / reach_m);
    for (i, pos) in [POS_E, POS_N].into_iter().enumerate() {
        for (j, other) in [POS_E, POS_N].into_iter().enumerate() {
            q[(pos, other)] += across[i] * across[j] * twice[2];
        }
        for (with, value) in [(part, twice[0]), (HEADING, twice[1] / linear.airspeed_mps)] {
            q[(pos, with)] += across[i] * value;
            q[(with, pos)] += across[i] * value;
        }
    }
}

/// Standard deviations of the parts a break leaves unknown, in the order of [`BROKEN`].
fn broken_sd(levels: &Levels) -> [f64; 7] {
    let gust = levels[Level::Gust].sqrt();
    [1e4, 1e4, gust, gust, 30.0, 3.0, levels[Level::Wander].sqrt()]
}
