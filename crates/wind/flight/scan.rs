//! Starts from a scan: every wind of a grid is tried, and those that make the airspeed most even are kept.
//!
//! Each is tried as the same wind at every height, and as one that grows with height. A circle fit needs an arc; a scan also finds what several short arcs at different power settings say together, and
//! all of it when they say two things. It gives starts, nothing else: their likelihoods are compared afterwards.

use super::constants::{
    AIRSPEED_SPREAD_MPS, FASTEST_WIND_MPS, GUST_TAU_S, SCANNED_APART_MPS, SCANNED_EVERY_S, SCANNED_SCATTER_MPS,
    SCANNED_STARTS, TRIM_BLOCK_S, TYPICAL_AIRSPEED_MPS, WIND_GRID_MPS, WIND_GROWTH_PER_M,
};
use super::nodes::NodeInput;
use super::start::{StartAir, positions, velocity};
use driftless_units::{Air, Ground, Velocity, Wind};

/// Growths of the wind with height that are tried, per metre.
const GROWTHS_PER_M: [f64; 2] = [0.0, WIND_GROWTH_PER_M.value];

/// The winds that make the airspeed most even, best first. `heights_m` above the reference altitude, one per node.
pub(super) fn starts(nodes: &[NodeInput], heights_m: &[f64]) -> Vec<StartAir> {
    let blocks = blocks(nodes, heights_m);
    let steps = (FASTEST_WIND_MPS.value / WIND_GRID_MPS.value) as i32;
    let mut tried: Vec<(f64, StartAir)> = (-steps..=steps)
        .flat_map(|e| {
            (-steps..=steps)
                .map(move |n| Wind::new(f64::from(e) * WIND_GRID_MPS.value, f64::from(n) * WIND_GRID_MPS.value))
        })
        .filter(|wind| wind.speed_mps() <= FASTEST_WIND_MPS.value)
        .flat_map(|wind| GROWTHS_PER_M.map(|growth_per_m| unevenness(&blocks, wind, growth_per_m)))
        .collect();
    tried.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut best: Vec<StartAir> = Vec::new();
    for (_, start) in tried {
        if best.len() < SCANNED_STARTS.value as usize
            && best.iter().all(|other| start.apart_mps(other) >= SCANNED_APART_MPS.value)
        {
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
            block_end_s = node.t_s + TRIM_BLOCK_S.value;
        }
        if node.t_s >= next_s {
            next_s = node.t_s + SCANNED_EVERY_S.value;
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
            block.iter().map(|s| speed_mps(start.wind_at(s.height_m).air_velocity(s.velocity))).collect();
        let n = speeds.len() as f64;
        let mean = speeds.iter().sum::<f64>() / n;
        // A bounded loss: a few wild velocities must not choose the wind.
        let scatter: f64 = speeds
            .iter()
            .map(|v| {
                let r2 = ((v - mean) / SCANNED_SCATTER_MPS.value).powi(2);
                9.0 * r2 / (9.0 + r2)
            })
            .sum();
        cost += scatter * (SCANNED_EVERY_S.value / GUST_TAU_S.value).min(1.0);
        cost += ((mean - TYPICAL_AIRSPEED_MPS.value) / AIRSPEED_SPREAD_MPS.value).powi(2);
        total += mean * n;
        count += n;
    }
    (cost, start.with_airspeed(total / count.max(1.0)))
}

/// Speed as the plain root: a scan asks for it a million times, and does not need the last digit that `hypot` is careful of.
fn speed_mps(velocity: Velocity<Air>) -> f64 {
    (velocity.east_mps * velocity.east_mps + velocity.north_mps * velocity.north_mps).sqrt()
}
