//! The gyro: a heading of its own, which drifts.
//!
//! Its increments are summed to a heading ([`crate::flight::gyro_headings`]). At every node that is the heading, plus a
//! drift (bias, scale error and white noise, summed from step to step), plus the twist of whoever carries the sensor, plus
//! an error of this node alone. So the errors at the ends of a window enter its turn once each, not once a second, and bias,
//! scale and clock (which moves the positions instead: [`crate::flight::clock`]) are found together with the flight.
//! Rotation about the vertical says nothing about where north is: the drift starts unknown, and again after every gap.

use super::aircraft::HEADING;
use super::{Block, Layout, NodeAt, Prior, Source, StepAt};
use crate::flight::clock::moving_average;
use crate::flight::constants::{DRIFT_OPEN_RAD, Part, SCALE_AVERAGED_STEPS, SCALE_PER_BIAS_S};
use crate::flight::gyro::GyroRates;
use crate::flight::gyro_headings::GyroReading;
use crate::flight::measurement::Measurement;
use crate::flight::noise::Levels;
use crate::flight::state::Functional;
use crate::flight::step::Step;
use driftless_units::Estimate;

/// States of this block, in the order of [`GyroStates`].
pub(in crate::flight) const STATES: usize = 4;

/// Those states, for the method page.
pub(in crate::flight) const PARTS: [Part; 4] = [
    Part {
        symbol: "d",
        name: "drift",
        what: "heading of the gyro less the heading",
        moves: "bias, scale error times turn, and the gyro's white noise, summed",
        first: "unknown, and again behind a gap",
    },
    Part {
        symbol: "β",
        name: "bias",
        what: "bias left in the gyro's rate",
        moves: "random walk, as the sensor says",
        first: "as before the flight",
    },
    Part {
        symbol: "κ",
        name: "scale",
        what: "scale error left in the gyro's rate",
        moves: "walks with the bias of the axis across",
        first: "0",
    },
    Part { symbol: "c", name: "clock", what: "what is to be added to the gyro's times", moves: "constant", first: "0" },
];

/// Where the states of a gyro are.
#[derive(Debug, Clone, Copy)]
pub(in crate::flight) struct GyroStates {
    /// Gyro heading less heading, rad: it carries the gyro's white noise, summed.
    pub(in crate::flight) drift: usize,
    /// Bias left in the gyro's rate, rad/s.
    pub(in crate::flight) bias: usize,
    /// Scale error left in the gyro's rate.
    pub(in crate::flight) scale: usize,
    /// What is to be added to the gyro's times, s: a gyro heading belongs to a moment that much later.
    pub(in crate::flight) clock: usize,
}

impl GyroStates {
    pub(in crate::flight) const fn from(first: usize) -> Self {
        Self { drift: first, bias: first + 1, scale: first + 2, clock: first + 3 }
    }
}

/// A gyro over a flight.
pub(in crate::flight) struct Gyro {
    pub(in crate::flight) states: GyroStates,
    twist: usize,
    readings: Vec<Option<GyroReading>>,
    steps: Vec<GyroStep>,
    /// Variance that the bias gains, (rad/s)² per s.
    bias_walk2: f64,
    bias_rad_s: Estimate<f64>,
    scale_std_u: f64,
    clock_std_u_s: f64,
}

/// What the gyro says about one step.
#[derive(Debug, Clone, Copy)]
struct GyroStep {
    turn_rad: f64,
    /// Variance that the drift gains.
    walk_rad2: f64,
    /// Whether there are readings at both ends.
    seen: bool,
}

impl Gyro {
    /// With its heading at each node; `None` where the layout has no place for it.
    pub(in crate::flight) fn new(
        layout: &Layout,
        rates: &GyroRates,
        readings: Vec<Option<GyroReading>>,
    ) -> Option<Self> {
        let mut steps: Vec<GyroStep> = readings.windows(2).map(|pair| GyroStep::between(pair[0], pair[1])).collect();
        let turns_rad: Vec<f64> = steps.iter().map(|step| step.turn_rad).collect();
        for (step, turn_rad) in steps.iter_mut().zip(moving_average(&turns_rad, SCALE_AVERAGED_STEPS.value as usize)) {
            if step.seen {
                step.turn_rad = turn_rad;
            }
        }
        Some(Self {
            states: GyroStates::from(layout.gyro?),
            twist: layout.twist?,
            readings,
            steps,
            bias_walk2: rates.bias_walk * rates.bias_walk,
            bias_rad_s: rates.bias_rad_s,
            scale_std_u: rates.scale_std_u,
            clock_std_u_s: rates.clock_std_u_s,
        })
    }

    /// For each step whether there are readings at both of its ends, without a gap between.
    pub(in crate::flight) fn seen(&self) -> Vec<bool> {
        self.steps.iter().map(|step| step.seen).collect()
    }

    /// The reading of a node.
    pub(in crate::flight) fn reading(&self, k: usize) -> Option<GyroReading> {
        self.readings.get(k).copied().flatten()
    }

    /// Nodes with a reading.
    pub(in crate::flight) fn nodes(&self) -> usize {
        self.readings.iter().flatten().count()
    }
}

impl GyroStep {
    fn between(from: Option<GyroReading>, to: Option<GyroReading>) -> Self {
        match (from, to) {
            (Some(from), Some(to)) if from.run == to.run => Self {
                turn_rad: to.heading_rad - from.heading_rad,
                walk_rad2: to.summed_rad2 - from.summed_rad2,
                seen: true,
            },
            _ => Self { turn_rad: 0.0, walk_rad2: DRIFT_OPEN_RAD.value * DRIFT_OPEN_RAD.value, seen: false },
        }
    }
}

impl Block for Gyro {
    fn prior(&self, _: &Levels, prior: &mut Prior) {
        let GyroStates { drift, bias, scale, clock } = self.states;
        prior.set(drift, 0.0, DRIFT_OPEN_RAD.value);
        prior.set(bias, self.bias_rad_s.value, self.bias_rad_s.std_u);
        prior.set(scale, 0.0, self.scale_std_u);
        prior.set(clock, 0.0, self.clock_std_u_s);
    }

    fn step(&self, at: &StepAt<'_>, step: &mut Step) {
        let GyroStates { drift, bias, scale, .. } = self.states;
        let (dt, GyroStep { turn_rad, walk_rad2, .. }, walk) = (at.interval.dt_s, self.steps[at.k], self.bias_walk2);
        step.add(drift, [(bias, dt), (scale, turn_rad)]);
        step.disturb(bias, bias, walk * dt);
        step.disturb(scale, scale, walk * SCALE_PER_BIAS_S.value * SCALE_PER_BIAS_S.value * dt);
        step.disturb(drift, bias, walk * dt * dt / 2.0);
        step.disturb(drift, drift, walk_rad2 + walk * dt * dt * dt / 3.0);
    }

    fn measure(&self, at: &NodeAt<'_>, measurements: &mut Vec<Measurement>) {
        let Some(reading) = self.reading(at.k) else { return };
        measurements.push(Measurement {
            lasts: 1.0,
            row: Functional::sum(&[(HEADING, 1.0), (self.states.drift, 1.0), (self.twist, 1.0)]),
            value: reading.heading_rad,
            variance: reading.variance_rad2 / at.weights[Source::Gyro as usize],
            level: None,
            weighted_by: Some((Source::Gyro, reading.variance_rad2.sqrt())),
        });
    }
}
