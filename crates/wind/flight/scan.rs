//! Starts from a scan: every wind of a grid is tried, and those that make the airspeed most even are kept.
//!
//! Each is tried as the same wind at every height, and as one that grows with height. A circle fit needs an arc; a scan also finds what several short arcs at different power settings say together, and
//! all of it when they say two things. It gives starts, nothing else: their likelihoods are compared afterwards.

use super::constants::TYPICAL_AIRSPEED_MPS;
use super::nodes::NodeInput;
use super::start::{StartAir, positions, velocity};
use driftless_units::{Ground, Velocity, Wind};

/// Winds up to this speed are tried, m/s: more is not flown with a paramotor.
const FASTEST_MPS: f64 = 16.0;
/// Growth of the wind with height that is tried, per metre: none, and 4 % in 10 m (common practice, no source).
const GROWTHS_PER_M: [f64; 2] = [0.0, 0.004];
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

/// The winds that make the airspeed most even, best first. `heights_m` above the reference altitude, one per node.
pub(super) fn starts(nodes: &[NodeInput], heights_m: &[f64]) -> Vec<StartAir> {
    let blocks = blocks(nodes, heights_m);
    let steps = (FASTEST_MPS / STEP_MPS) as i32;
    let mut tried: Vec<(f64, StartAir)> = (-steps..=steps)
        .flat_map(|e| (-steps..=steps).map(move |n| Wind::new(f64::from(e) * STEP_MPS, f64::from(n) * STEP_MPS)))
        .filter(|wind| wind.speed_mps() <= FASTEST_MPS)
        .flat_map(|wind| GROWTHS_PER_M.map(|growth_per_m| unevenness(&blocks, wind, growth_per_m)))
        .collect();
    tried.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut best: Vec<StartAir> = Vec::with_capacity(STARTS);
    for (_, start) in tried {
        if best.len() < STARTS && best.iter().all(|other| start.apart_mps(other) >= APART_MPS) {
            best.push(start);
        }
    }
    best
}

/// A velocity over the ground, and where.
struct Sample {
    velocity: Velocity<Ground>,
    height_m: f64,
}

/// Ground velocities, block by block.
fn blocks(nodes: &[NodeInput], heights_m: &[f64]) -> Vec<Vec<Sample>> {
    let positions = positions(nodes);
    let mut blocks: Vec<Vec<Sample>> = Vec::new();
    let (mut block_end_s, mut next_s) = (f64::NEG_INFINITY, f64::NEG_INFINITY);
    for (k, node) in nodes.iter().enumerate() {
        if node.t_s >= block_end_s {
            blocks.push(Vec::new());
            block_end_s = node.t_s + BLOCK_S;
        }
        if node.t_s >= next_s {
            next_s = node.t_s + EVERY_S;
            if let Some(block) = blocks.last_mut() {
                block.push(Sample { velocity: velocity(nodes, &positions, k), height_m: heights_m[k] });
            }
        }
    }
    blocks
}

/// Minus twice the log-likelihood of a wind, roughly: airspeed scatters about the mean of its block, and the means
/// about a typical airspeed.
fn unevenness(blocks: &[Vec<Sample>], wind: Wind, growth_per_m: f64) -> (f64, StartAir) {
    let start = StartAir::growing(wind, growth_per_m);
    let (mut cost, mut total, mut count) = (0.0, 0.0, 0.0);
    for block in blocks {
        let speeds: Vec<f64> =
            block.iter().map(|s| start.wind_at(s.height_m).air_velocity(s.velocity).speed_mps()).collect();
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
        cost += ((mean - TYPICAL_AIRSPEED_MPS.value) / AIRSPEED_SPREAD_MPS).powi(2);
        total += mean * n;
        count += n;
    }
    (cost, start.with_airspeed(total / count.max(1.0)))
}
