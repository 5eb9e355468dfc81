//! The twist of whoever carries a gyro or a compass about the aircraft.
//!
//! A pilot twists under his wing at a pace of his own, and the strength comes and goes within some swings: a stochastic
//! cycle (A. C. Harvey, *Forecasting, Structural Time Series Models and the Kalman Filter* (1989), section 2.3; from
//! memory). Its strength is a noise level like the others, its period the likeliest of a scan.

use super::{Block, Prior, StepAt, TWIST_LEVELS};
use crate::flight::constants::{
    self, Constant, FASTEST_TWIST_RAD_S, FINE_TWIST_STEP_RAD_S, FIRST_TWIST_PERIOD_S, Part, SLOWEST_TWIST_RAD_S,
    TWIST_STEP_RAD_S, TWIST_TAU_S,
};
use crate::flight::noise::{Level, Levels};
use crate::flight::step::{Interval, Step, Taught};
use std::f64::consts::TAU;

/// States of this block: the twist, rad, and the same a quarter of a period later, which does not show.
pub(in crate::flight) const STATES: usize = 2;

/// Those states, for the method page.
pub(in crate::flight) const PARTS: [Part; 1] = [Part {
    symbol: "t (2)",
    name: "",
    what: "twist of whoever carries the sensor, and the same a quarter of a period later",
    moves: "stochastic cycle; its period is the likeliest of a scan",
    first: "0, its own level",
}];

impl Level {
    /// Twist, rad².
    pub(in crate::flight) const TWIST: Self = Self::new(TWIST_LEVELS);
}

/// Typical values of those levels as standard deviations, in their order: where the search begins, and the middle of its prior.
pub(in crate::flight) const LEVELS: [&Constant; 1] = [&constants::TYPICAL_TWIST_RAD];

/// The periods of a first scan, s.
pub(in crate::flight) fn periods_s() -> Vec<f64> {
    let [slowest, fastest, step] = [SLOWEST_TWIST_RAD_S, FASTEST_TWIST_RAD_S, TWIST_STEP_RAD_S].map(|c| c.value);
    let count = ((fastest - slowest) / step).round() as u32;
    (0..=count).map(|k| TAU / (slowest + step * f64::from(k))).collect()
}

/// Those of a second scan about one, s.
pub(in crate::flight) fn periods_about_s(period_s: f64) -> Vec<f64> {
    let pace = TAU / period_s;
    (-2..=2).map(|k| TAU / (pace + FINE_TWIST_STEP_RAD_S.value * f64::from(k))).collect()
}

/// The twist over the intervals of a flight.
pub(in crate::flight) struct Twist {
    first: usize,
    lengths_s: Vec<f64>,
    steps: Vec<TwistStep>,
    /// Whether the step is seen by a sensor, so that it speaks for the twist's level.
    seen: Vec<bool>,
}

struct TwistStep {
    cos: f64,
    sin: f64,
    /// Variance gained per unit of the stationary one.
    gained: f64,
}

impl Twist {
    /// `first` is its first state.
    pub(in crate::flight) fn new(first: usize, intervals: &[Interval], seen: Vec<bool>) -> Self {
        let lengths_s = intervals.iter().map(|interval| interval.dt_s).collect();
        let mut twist = Self { first, lengths_s, steps: vec![], seen };
        twist.set_period_s(FIRST_TWIST_PERIOD_S.value);
        twist
    }

    /// Sets its period.
    pub(in crate::flight) fn set_period_s(&mut self, period_s: f64) {
        let step = |dt_s: &f64| {
            let decay = (-dt_s / TWIST_TAU_S.value).exp();
            let (sin, cos) = (TAU * dt_s / period_s).sin_cos();
            TwistStep { cos: decay * cos, sin: decay * sin, gained: -(-2.0 * dt_s / TWIST_TAU_S.value).exp_m1() }
        };
        self.steps = self.lengths_s.iter().map(step).collect();
    }
}

impl Block for Twist {
    fn prior(&self, levels: &Levels, prior: &mut Prior) {
        for part in [self.first, self.first + 1] {
            prior.set(part, 0.0, levels[Level::TWIST].sqrt());
        }
    }

    fn step(&self, at: &StepAt<'_>, step: &mut Step) {
        let TwistStep { cos, sin, gained } = self.steps[at.k];
        let parts = [self.first, self.first + 1];
        step.rotate(parts, cos, sin);
        let variance = at.levels[Level::TWIST] * gained;
        for part in parts {
            step.disturb(part, part, variance);
        }
        if self.seen[at.k] {
            step.teach(Taught { level: Level::TWIST, part: self.first, variance, scaled: false, held: false });
        }
    }
}
