//! The receiver: positions, and recorded velocities where the log has them, with their errors.

use super::air::{GUST_E, GUST_N, wind_at};
use super::aircraft::{AIRSPEED, HEADING, POS_E, POS_N};
use super::{Block, NodeAt, Prior, RECEIVER_LEVELS, Source, StepAt};
use crate::flight::constants::{self, Constant, SLOW_POSITION_WALK_M2_S, VELOCITY_ERROR_TAU_S};
use crate::flight::measurement::Measurement;
use crate::flight::nodes::{Measured, NodeInput};
use crate::flight::noise::{Level, Levels};
use crate::flight::state::Functional;
use crate::flight::step::Step;

impl Level {
    /// White position error of a typical node, per axis, m².
    pub(in crate::flight) const POSITION: Self = Self::new(RECEIVER_LEVELS);
    /// White error of a recorded velocity, per axis, m²/s².
    pub(in crate::flight) const DOPPLER: Self = Self::new(RECEIVER_LEVELS + 1);
}

/// Typical values of those levels as standard deviations, in their order: where the search begins, and the middle of its prior.
pub(in crate::flight) const LEVELS: [&Constant; 2] = [&constants::TYPICAL_POSITION_M, &constants::TYPICAL_DOPPLER_MPS];

/// The receiver at the nodes of a flight.
pub(in crate::flight) struct Receiver {
    measured: Vec<Option<Measured>>,
    heights_m: Vec<f64>,
    /// Fixes in a typical node: the position level belongs to such a node.
    typical_fixes: f64,
    /// What the variance of a recorded velocity is multiplied by at each node, because its error lasts.
    velocity_lasts: Vec<f64>,
}

impl Receiver {
    /// `heights_m` above the reference altitude, one per node; the first node is measured.
    /// Fixes in a typical node.
    pub(in crate::flight) fn typical_fixes(&self) -> f64 {
        self.typical_fixes
    }

    pub(in crate::flight) fn new(nodes: &[NodeInput], heights_m: &[f64]) -> Self {
        let mut fixes: Vec<f64> = nodes.iter().filter_map(|n| n.measured.map(|m| m.fixes)).collect();
        fixes.sort_by(f64::total_cmp);
        Self {
            measured: nodes.iter().map(|node| node.measured).collect(),
            heights_m: heights_m.to_vec(),
            velocity_lasts: velocity_lasts(nodes),
            typical_fixes: fixes[fixes.len() / 2],
        }
    }
}

/// For each node, how much more often the error of a velocity would have to be measured to say as much as if it were new each
/// time: (1 + ρ)/(1 - ρ) with the correlation ρ of two errors that follow each other (variance of a mean of a first-order
/// Markov process; Priestley, *Spectral Analysis and Time Series* 1981, section 5.3.2, from memory). Taken for white, errors that
/// last seconds would make a window of a minute look several times as well measured as it is.
fn velocity_lasts(nodes: &[NodeInput]) -> Vec<f64> {
    let mut before_s: Option<f64> = None;
    nodes
        .iter()
        .map(|node| {
            let since_s = before_s.map_or(f64::INFINITY, |t_s| node.t_s - t_s);
            if node.measured.is_some_and(|measured| measured.doppler_mps.is_some()) {
                before_s = Some(node.t_s);
            }
            let correlation = (-since_s / VELOCITY_ERROR_TAU_S.value).exp();
            (1.0 + correlation) / (1.0 - correlation)
        })
        .collect()
}

impl Block for Receiver {
    fn prior(&self, _: &Levels, _: &mut Prior) {}

    fn step(&self, at: &StepAt<'_>, step: &mut Step) {
        for position in [POS_E, POS_N] {
            step.disturb(position, position, SLOW_POSITION_WALK_M2_S.value * at.interval.dt_s);
        }
    }

    fn measure(&self, at: &NodeAt<'_>, measurements: &mut Vec<Measurement>) {
        let Some(measured) = &self.measured[at.k] else { return };
        let weight = at.weights[Source::Receiver as usize];
        let variance = at.levels[Level::POSITION] * self.typical_fixes / measured.fixes / weight;
        for (axis, part) in [POS_E, POS_N].into_iter().enumerate() {
            let mut row = Functional::pick(part);
            if let Some((clock, motion)) = at.clock {
                row.add(clock, -motion.velocity_mps[axis]);
            }
            measurements.push(Measurement {
                row,
                value: measured.position_m[axis],
                variance,
                lasts: 1.0,
                level: Some(Level::POSITION),
                weighted_by: Some((Source::Receiver, variance.sqrt())),
            });
        }
        let Some(velocity_mps) = measured.doppler_mps else { return };
        let (sin, cos) = at.x[HEADING].sin_cos();
        let wind = wind_at(self.heights_m[at.k]);
        for (axis, (gust, along, across)) in [(GUST_E, sin, cos), (GUST_N, cos, -sin)].into_iter().enumerate() {
            let by_heading = at.x[AIRSPEED] * across;
            let mut row = wind[axis].plus(gust, 1.0).plus(AIRSPEED, along).plus(HEADING, by_heading);
            if let Some((clock, motion)) = at.clock {
                row.add(clock, -motion.acceleration_mps2[axis]);
            }
            measurements.push(Measurement {
                row,
                // V·sin ψ about (V₀, ψ₀) is V·sin ψ₀ + V₀ cos ψ₀ (ψ - ψ₀): only the heading leaves a constant.
                value: velocity_mps[axis] + by_heading * at.x[HEADING],
                variance: at.levels[Level::DOPPLER] * self.velocity_lasts[at.k] / weight,
                lasts: self.velocity_lasts[at.k],
                level: Some(Level::DOPPLER),
                weighted_by: None,
            });
        }
    }
}
