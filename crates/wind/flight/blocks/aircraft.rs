//! The aircraft: where it is, how fast it flies, where it heads, how it turns.
//!
//! The turn is carried as an acceleration across the path, not as a turn rate: the most probable path would otherwise
//! make its turns cheaper by flying faster. (A product of an unknown speed with many unknown small turns is most
//! probable when the speed is large and the turns are small; with the product itself as the unknown that is gone.)
//!
//! The heading turns by that acceleration, steady part plus wander, over the airspeed; the position moves along the arc.

use super::{AIRCRAFT, AIRCRAFT_LEVELS, Block, NodeAt, Prior, StepAt};
use crate::flight::constants::{
    self, AIRSPEED_TAU_S, BROKEN_HEADING_RAD, BROKEN_POSITION_M, Constant, FARTHEST_TURN_RAD, LARGEST_FACTOR,
    LEAST_AIRSPEED_WALK_NEAR_WINDOWS, Part, SLOWEST_MPS, TRIM_WALK, TYPICAL_AIRSPEED_MPS, WANDER_TAU_S,
};
use crate::flight::markov::Markov;
use crate::flight::measurement::Measurement;
use crate::flight::noise::{Level, Levels};
use crate::flight::state::Functional;
use crate::flight::step::{Interval, IntervalKind, Step, Taught};

/// States of this block.
pub(in crate::flight) const STATES: usize = 7;

/// Those states, for the method page.
pub(in crate::flight) const PARTS: [Part; 6] = [
    Part {
        symbol: "p (2)",
        name: "POS_E, POS_N",
        what: "position over the ground, with the slow part of the receiver's error",
        moves: "the kinematics, and a random walk",
        first: "where the first fix is",
    },
    Part {
        symbol: "V",
        name: "AIRSPEED",
        what: "true airspeed",
        moves: "in a window a random walk; elsewhere back to L, with jumps",
        first: "the typical airspeed",
    },
    Part {
        symbol: "ψ",
        name: "HEADING",
        what: "heading, unwrapped: full turns are counted",
        moves: "(a + b)/V",
        first: "that of the start, which says nothing",
    },
    Part {
        symbol: "a",
        name: "STEADY",
        what: "steady part of the acceleration across the path",
        moves: "constant in a window, else a random walk",
        first: "0",
    },
    Part {
        symbol: "b",
        name: "WANDER",
        what: "wander of that acceleration by turbulence",
        moves: "first-order Markov",
        first: "0, its own level",
    },
    Part {
        symbol: "L",
        name: "TRIM",
        what: "trim airspeed: what the flight returns to when nothing is asked of it",
        moves: "random walk",
        first: "the typical airspeed",
    },
];

/// Position over the ground, east, m. It carries the slow part of the receiver's error along.
pub(in crate::flight) const POS_E: usize = AIRCRAFT;
/// Position over the ground, north, m.
pub(in crate::flight) const POS_N: usize = AIRCRAFT + 1;
/// True airspeed, m/s.
pub(in crate::flight) const AIRSPEED: usize = AIRCRAFT + 2;
/// Heading, unwrapped, rad.
pub(in crate::flight) const HEADING: usize = AIRCRAFT + 3;
/// Steady part of the acceleration across the path, m/s²: turn rate times airspeed, constant inside a window.
pub(in crate::flight) const STEADY: usize = AIRCRAFT + 4;
/// Wander of that acceleration by turbulence, m/s².
pub(in crate::flight) const WANDER: usize = AIRCRAFT + 5;
/// Trim airspeed: what this flight returns to when nothing is asked of it, m/s.
pub(in crate::flight) const TRIM: usize = AIRCRAFT + 6;

impl Level {
    /// Wander of the acceleration across the path, m²/s⁴.
    pub(in crate::flight) const WANDER: Self = Self::new(AIRCRAFT_LEVELS);
    /// Airspeed random walk inside windows, m²/s² per s.
    pub(in crate::flight) const AIRSPEED_IN_WINDOWS: Self = Self::new(AIRCRAFT_LEVELS + 1);
    /// Scale of the airspeed random walk outside windows, m²/s² per s.
    pub(in crate::flight) const AIRSPEED_FREE: Self = Self::new(AIRCRAFT_LEVELS + 2);
    /// Random walk of the steady acceleration across the path outside windows, m²/s⁴ per s.
    pub(in crate::flight) const TURN_FREE: Self = Self::new(AIRCRAFT_LEVELS + 3);
}

/// Typical values of those levels as standard deviations, in their order: where the search begins, and the middle of its prior.
pub(in crate::flight) const LEVELS: [&Constant; 4] = [
    &constants::TYPICAL_WANDER_MPS2,
    &constants::TYPICAL_AIRSPEED_WALK_IN_WINDOWS,
    &constants::TYPICAL_AIRSPEED_WALK_FREE,
    &constants::TYPICAL_TURN_WALK,
];

/// The aircraft over the intervals of a flight.
pub(in crate::flight) struct Aircraft {
    steps: Vec<AircraftStep>,
    /// Whether a disturbance of the turn moves the path within its step already. Only with a sensor that tells turns: by GPS
    /// alone they are not known to a part of a second, and on the tuning flights of the simulator the turn rates of windows
    /// came out no better for it.
    turns_move_path: bool,
    /// What is believed of the trim airspeed before the log is looked at: mean and standard deviation, m/s.
    trim_mps: (f64, f64),
    /// An airspeed that the flight is held near: mean and standard deviation of one node, m/s.
    held_mps: Option<(f64, f64)>,
}

struct AircraftStep {
    wander: Markov,
    /// Share of the airspeed's distance from trim that is left after the step; 1 inside a window.
    airspeed_decay: f64,
}

impl Aircraft {
    pub(in crate::flight) fn new(intervals: &[Interval], turns_move_path: bool) -> Self {
        let step = |interval: &Interval| AircraftStep {
            wander: Markov::over(interval.dt_s, WANDER_TAU_S.value),
            airspeed_decay: match interval.kind {
                IntervalKind::Window => 1.0,
                _ => (-interval.dt_s / AIRSPEED_TAU_S.value).exp(),
            },
        };
        let trim_mps = (TYPICAL_AIRSPEED_MPS.value, constants::FIRST_TRIM_MPS.value);
        Self { steps: intervals.iter().map(step).collect(), turns_move_path, trim_mps, held_mps: None }
    }

    /// Holds the airspeed of the flight near a value: its trim within a standard deviation, and each node by as much as if it had
    /// been measured there, but so roughly that a power setting still departs from it.
    pub(in crate::flight) const fn hold_mps(&mut self, airspeed: f64, trim_std_u: f64, node_std_u: f64) {
        self.trim_mps = (airspeed, trim_std_u);
        self.held_mps = Some((airspeed, node_std_u));
    }
}

impl Block for Aircraft {
    fn prior(&self, levels: &Levels, prior: &mut Prior) {
        prior.open(POS_E, constants::FIRST_POSITION_M.value);
        prior.open(POS_N, constants::FIRST_POSITION_M.value);
        prior.open(HEADING, constants::FIRST_HEADING_RAD.value);
        prior.set(AIRSPEED, TYPICAL_AIRSPEED_MPS.value, constants::FIRST_AIRSPEED_MPS.value);
        prior.set(TRIM, self.trim_mps.0, self.trim_mps.1);
        prior.set(STEADY, 0.0, constants::FIRST_STEADY_MPS2.value);
        prior.set(WANDER, 0.0, levels[Level::WANDER].sqrt());
    }

    fn forget(&self, levels: &Levels, step: &mut Step) {
        step.forget(POS_E, BROKEN_POSITION_M.value);
        step.forget(POS_N, BROKEN_POSITION_M.value);
        step.forget(HEADING, BROKEN_HEADING_RAD.value);
        step.forget(STEADY, constants::FIRST_STEADY_MPS2.value);
        step.forget(WANDER, levels[Level::WANDER].sqrt());
    }

    fn step(&self, at: &StepAt<'_>, step: &mut Step) {
        let (x, dt, AircraftStep { wander, airspeed_decay }) = (at.x, at.interval.dt_s, &self.steps[at.k]);
        let (v, psi) = (airspeed_mps(x), x[HEADING]);
        // Turn over the step, from the steady part and the expected wander.
        let turn = (x[STEADY] * dt + x[WANDER] * wander.reach_s) / v;
        // The turn that disturbances put into the step scales with one over the airspeed as much as the rest of it, so the
        // derivative by the airspeed takes the turn of the trajectory, not the expected one. Without this the most probable
        // path would again make its turns cheaper by flying faster.
        let turned_in_all = at.next[HEADING] - psi;
        let half = 0.5 * turn;
        // The chord of the arc: length shrinks by sin(h)/h, direction is that of the middle. Series, no branch that jumps.
        let (shrink, shrink_slope) = sinc_and_slope(half);
        let (sin, cos) = (psi + half).sin_cos();
        let [direction, across] = [[sin, cos], [cos, -sin]];
        for (i, pos) in [POS_E, POS_N].into_iter().enumerate() {
            let by_turn = v * dt * 0.5 * (shrink_slope * direction[i] + shrink * across[i]);
            step.add_curved(
                pos,
                v * dt * shrink * direction[i],
                [
                    (AIRSPEED, dt * shrink * direction[i] - by_turn * turned_in_all / v),
                    (HEADING, v * dt * shrink * across[i]),
                    (STEADY, by_turn * dt / v),
                    (WANDER, by_turn * wander.reach_s / v),
                ],
            );
        }
        let slopes = [(STEADY, dt / v), (WANDER, wander.reach_s / v), (AIRSPEED, -turned_in_all / v)];
        step.add_curved(HEADING, turn, slopes);
        step.keep_share(WANDER, wander.decay);
        step.keep_share(AIRSPEED, *airspeed_decay);
        step.add(AIRSPEED, [(TRIM, 1.0 - airspeed_decay)]);
        let path = self.turns_move_path.then(|| across.map(|part| shrink * part));
        self.disturb(at, v, path, step);
    }

    fn measure(&self, _at: &NodeAt<'_>, measurements: &mut Vec<Measurement>) {
        let held = self.held_mps.map(|(value, std_u)| Measurement {
            row: Functional::pick(AIRSPEED),
            value,
            variance: std_u * std_u,
            lasts: 1.0,
            level: None,
            weighted_by: None,
        });
        measurements.extend(held);
    }
}

impl Aircraft {
    fn disturb(&self, at: &StepAt<'_>, v: f64, path: Option<[f64; 2]>, step: &mut Step) {
        let (dt, wander) = (at.interval.dt_s, &self.steps[at.k].wander);
        step.disturb(TRIM, TRIM, TRIM_WALK.value * TRIM_WALK.value * dt);
        let level = match at.interval.kind {
            IntervalKind::Window => Level::AIRSPEED_IN_WINDOWS,
            _ => Level::AIRSPEED_FREE,
        };
        // A power setting is changed near windows, however still the airspeed rests in the rest of a long flight.
        let least = if at.interval.near_window { LEAST_AIRSPEED_WALK_NEAR_WINDOWS.value.powi(2) } else { 0.0 };
        let held = at.levels[level] < least;
        let variance = at.levels[level].max(least) * dt;
        step.disturb(AIRSPEED, AIRSPEED, variance * at.airspeed_scale);
        step.teach(Taught { level, part: AIRSPEED, variance, scaled: true, held });

        let level = at.levels[Level::WANDER];
        disturb_turn(step, WANDER, wander.gained.map(|gain| level * gain), v);
        if let Some(path) = path {
            disturb_path(step, WANDER, wander.gained_twice.map(|gain| level * gain), v, path);
        }
        if at.interval.kind == IntervalKind::Window {
            step.teach(Taught {
                level: Level::WANDER,
                part: WANDER,
                variance: level * wander.gained[0],
                scaled: false,
                held: false,
            });
            return;
        }
        let walk = at.levels[Level::TURN_FREE];
        disturb_turn(step, STEADY, [dt, dt * dt / 2.0, dt * dt * dt / 3.0].map(|gain| walk * gain), v);
        if let Some(path) = path {
            let twice = [dt.powi(3) / 6.0, dt.powi(4) / 8.0, dt.powi(5) / 20.0];
            disturb_path(step, STEADY, twice.map(|gain| walk * gain), v, path);
        }
        if at.interval.kind == IntervalKind::Unmarked {
            step.teach(Taught {
                level: Level::TURN_FREE,
                part: STEADY,
                variance: walk * dt,
                scaled: false,
                held: false,
            });
        }
    }
}

/// What a disturbance of a part of the acceleration across the path does to itself and to the heading. `once` is of the part
/// and its integral: variance, covariance, variance of the integral.
fn disturb_turn(step: &mut Step, part: usize, once: [f64; 3], v: f64) {
    step.disturb(part, part, once[0]);
    step.disturb(HEADING, part, once[1] / v);
    step.disturb(HEADING, HEADING, once[2] / (v * v));
}

/// What it does to the position within the step: without it a turn that begins or ends moves the path a part of a step late,
/// and a sensor's clock would follow. `twice` is of the integral of its integral: covariance with the part itself, with
/// the integral, variance. `across` is the direction across the path, shortened as the chord is.
fn disturb_path(step: &mut Step, part: usize, twice: [f64; 3], v: f64, across: [f64; 2]) {
    let positions = [POS_E, POS_N].into_iter().zip(across);
    for (pos, across) in positions {
        step.disturb(pos, part, across * twice[0]);
        step.disturb(pos, HEADING, across * twice[1] / v);
        step.disturb(pos, pos, across * across * twice[2]);
    }
    step.disturb(POS_E, POS_N, across[0] * across[1] * twice[2]);
}

/// sin(h)/h and its derivative, smooth through zero.
fn sinc_and_slope(h: f64) -> (f64, f64) {
    if h.abs() < 0.25 {
        // Taylor's series; what is left out is below the last digit.
        let h2 = h * h;
        let value = [1.0, -1.0 / 6.0, 1.0 / 120.0, -1.0 / 5040.0, 1.0 / 362_880.0, -1.0 / 39_916_800.0];
        let slope = [-1.0 / 3.0, 1.0 / 30.0, -1.0 / 840.0, 1.0 / 45_360.0, -1.0 / 3_991_680.0];
        let sum = |terms: &[f64]| terms.iter().rfold(0.0, |sum, term| sum * h2 + term);
        (sum(&value), h * sum(&slope))
    } else {
        let (sin, cos) = h.sin_cos();
        (sin / h, (cos - sin / h) / h)
    }
}

/// Holds the state of a pass near the one it was linearised about, to linearise there next. Far from it the linear model means
/// nothing, and a wild step would never come back; where the iteration settles nothing is held.
pub(in crate::flight) fn hold_near(from: &[f64], to: &mut [f64]) {
    let turn = to[HEADING] - from[HEADING];
    to[HEADING] = from[HEADING] + turn.clamp(-FARTHEST_TURN_RAD.value, FARTHEST_TURN_RAD.value);
    let v = airspeed_mps(from);
    to[AIRSPEED] = to[AIRSPEED].clamp(v / LARGEST_FACTOR.value, v * LARGEST_FACTOR.value).max(SLOWEST_MPS.value);
}

/// The airspeed of a state, fit to divide by.
pub(in crate::flight) fn airspeed_mps(x: &[f64]) -> f64 {
    x[AIRSPEED].max(SLOWEST_MPS.value)
}

/// Turn rate by some parts of the acceleration across the path, and its derivative, at a state.
fn rate_by(parts: &[usize], x: &[f64]) -> (f64, Functional) {
    let v = airspeed_mps(x);
    let rate = parts.iter().map(|part| x[*part]).sum::<f64>() / v;
    let slope = parts.iter().fold(Functional::sum(&[(AIRSPEED, -rate / v)]), |slope, part| slope.plus(*part, 1.0 / v));
    (rate, slope)
}

/// Turn rate at this moment, rad/s, and its derivative.
pub(in crate::flight) fn turn_rate(x: &[f64]) -> (f64, Functional) {
    rate_by(&[STEADY, WANDER], x)
}

/// Steady part of the turn rate, rad/s, and its derivative.
pub(in crate::flight) fn steady_rate(x: &[f64]) -> (f64, Functional) {
    rate_by(&[STEADY], x)
}
