//! Starts from a scan: every wind of a grid is tried, and those that make the airspeed most even are kept.
//!
//! A circle fit needs an arc; a scan also finds what several short arcs at different power settings say together, and
//! all of it when they say two things. It gives starts, nothing else: their likelihoods are compared afterwards.

use super::StartGuess;
use super::nodes::NodeInput;
use super::noise::TYPICAL_AIRSPEED_MPS;
use super::start::{positions, velocity};
use driftless_units::{Ground, Velocity, Wind};

/// Winds up to this speed are tried, m/s: more is not flown with a paramotor.
const FASTEST_MPS: f64 = 16.0;
/// Grid step, m/s: the estimate converges from twice as far.
const STEP_MPS: f64 = 1.0;
/// Trim and power are taken as unchanged over this time, s.
const BLOCK_S: f64 = 90.0;
/// One velocity in this time is enough for a scan, s.
const EVERY_S: f64 = 3.0;
/// Scatter of airspeed that gusts and position errors explain, m/s.
const SCATTER_MPS: f64 = 1.0;
/// Velocities this far apart in time count as independent, s (the correlation time of gusts).
const INDEPENDENT_S: f64 = 8.0;
/// Spread of the airspeeds that paramotors fly, m/s (common practice, no source).
const AIRSPEED_SPREAD_MPS: f64 = 3.0;
/// How many starts are given, at least this far apart, m/s.
const STARTS: usize = 3;
const APART_MPS: f64 = 3.0;

/// The winds that make the airspeed most even, best first.
pub(super) fn starts(nodes: &[NodeInput]) -> Vec<StartGuess> {
    let blocks = blocks(nodes);
    let steps = (FASTEST_MPS / STEP_MPS) as i32;
    let mut tried: Vec<(f64, StartGuess)> = (-steps..=steps)
        .flat_map(|e| (-steps..=steps).map(move |n| Wind::new(f64::from(e) * STEP_MPS, f64::from(n) * STEP_MPS)))
        .filter(|wind| wind.speed_mps() <= FASTEST_MPS)
        .map(|wind| unevenness(&blocks, wind))
        .collect();
    tried.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut best: Vec<StartGuess> = Vec::with_capacity(STARTS);
    for (_, start) in tried {
        let apart = |other: &StartGuess| {
            (start.wind.east_mps - other.wind.east_mps).hypot(start.wind.north_mps - other.wind.north_mps) >= APART_MPS
        };
        if best.len() < STARTS && best.iter().all(apart) {
            best.push(start);
        }
    }
    best
}

/// Ground velocities, block by block.
fn blocks(nodes: &[NodeInput]) -> Vec<Vec<Velocity<Ground>>> {
    let positions = positions(nodes);
    let mut blocks: Vec<Vec<Velocity<Ground>>> = Vec::new();
    let (mut block_end_s, mut next_s) = (f64::NEG_INFINITY, f64::NEG_INFINITY);
    for (k, node) in nodes.iter().enumerate() {
        if node.t_s >= block_end_s {
            blocks.push(Vec::new());
            block_end_s = node.t_s + BLOCK_S;
        }
        if node.t_s >= next_s {
            next_s = node.t_s + EVERY_S;
            if let Some(block) = blocks.last_mut() {
                block.push(velocity(nodes, &positions, k));
            }
        }
    }
    blocks
}

/// Minus twice the log-likelihood of a wind, roughly: airspeed scatters about the mean of its block, and the means
/// about a typical airspeed.
fn unevenness(blocks: &[Vec<Velocity<Ground>>], wind: Wind) -> (f64, StartGuess) {
    let (mut cost, mut total, mut count) = (0.0, 0.0, 0.0);
    for block in blocks {
        let speeds: Vec<f64> = block.iter().map(|v| wind.air_velocity(*v).speed_mps()).collect();
        let n = speeds.len() as f64;
        let mean = speeds.iter().sum::<f64>() / n;
        // A bounded loss: a few wild velocities must not choose the wind.
        let scatter: f64 = speeds
            .iter()
            .map(|v| {
                let r2 = ((v - mean) / SCATTER_MPS).powi(2);
                9.0 * r2 / (9.0 + r2)
            })
            .sum();
        cost += scatter * (EVERY_S / INDEPENDENT_S).min(1.0);
        cost += ((mean - TYPICAL_AIRSPEED_MPS) / AIRSPEED_SPREAD_MPS).powi(2);
        total += mean * n;
        count += n;
    }
    (cost, StartGuess { wind, airspeed_mps: total / count.max(1.0) })
}
