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
use crate::columns;
use driftless_units::Wind;

/// Growths of the wind with height that are tried, per metre.
const GROWTHS_PER_M: [f64; 2] = [0.0, WIND_GROWTH_PER_M.value];

/// The winds that make the airspeed most even, best first. `heights_m` above the reference altitude, one per node.
pub(super) fn starts(nodes: &[NodeInput], heights_m: &[f64]) -> Vec<StartAir> {
    let blocks = blocks(nodes, heights_m);
    let steps = (FASTEST_WIND_MPS.value / WIND_GRID_MPS.value) as i32;
    let mut speeds = Vec::new();
    let mut tried: Vec<(f64, StartAir)> = (-steps..=steps)
        .flat_map(|e| {
            (-steps..=steps)
                .map(move |n| Wind::new(f64::from(e) * WIND_GRID_MPS.value, f64::from(n) * WIND_GRID_MPS.value))
        })
        .filter(|wind| wind.speed_mps() <= FASTEST_WIND_MPS.value)
        .flat_map(|wind| GROWTHS_PER_M.map(|growth_per_m| unevenness(&blocks, wind, growth_per_m, &mut speeds)))
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

/// Velocities over the ground, and where, a column for each quantity.
#[derive(Default)]
struct Block {
    east_mps: Vec<f64>,
    north_mps: Vec<f64>,
    height_m: Vec<f64>,
}

/// Ground velocities, block by block.
fn blocks(nodes: &[NodeInput], heights_m: &[f64]) -> Vec<Block> {
    let positions = positions(nodes);
    let mut blocks: Vec<Block> = Vec::new();
    let (mut block_end_s, mut next_s) = (f64::NEG_INFINITY, f64::NEG_INFINITY);
    for (k, node) in nodes.iter().enumerate() {
        if node.t_s >= block_end_s {
            blocks.push(Block::default());
            block_end_s = node.t_s + TRIM_BLOCK_S.value;
        }
        if node.t_s >= next_s {
            next_s = node.t_s + SCANNED_EVERY_S.value;
            if let Some(block) = blocks.last_mut() {
                let velocity = velocity(nodes, &positions, k);
                block.east_mps.push(velocity.east_mps);
                block.north_mps.push(velocity.north_mps);
                block.height_m.push(heights_m[k]);
            }
        }
    }
    blocks
}

/// Minus twice the log-likelihood of a wind, roughly: airspeed scatters about the mean of its block, and the means
/// about a typical airspeed.
/// `speeds` is written over.
fn unevenness(blocks: &[Block], wind: Wind, growth_per_m: f64, speeds: &mut Vec<f64>) -> (f64, StartAir) {
    let one_fix = (SCANNED_EVERY_S.value / GUST_TAU_S.value).min(1.0);
    let (mut cost, mut total, mut count) = (0.0, 0.0, 0.0);
    for Block { east_mps, north_mps, height_m } in blocks {
        speeds.resize(height_m.len(), 0.0);
        columns::fill([speeds], [east_mps, north_mps, height_m], |[east, north, height]| {
            let grown = height * growth_per_m + 1.0;
            let (east, north) = (east - grown * wind.east_mps, north - grown * wind.north_mps);
            // The plain root: a scan asks for it a million times, and does not need the last digit that `hypot` is careful of.
            [(east * east + north * north).sqrt()]
        });
        let n = speeds.len() as f64;
        let mean = speeds.iter().sum::<f64>() / n;
        // A bounded loss: a few wild velocities must not choose the wind.
        let [scatter] = columns::sums([speeds], |[speed]| {
            let off = (speed - mean) * (1.0 / SCANNED_SCATTER_MPS.value);
            let square = off * off;
            [square * 9.0 / (square + 9.0)]
        });
        cost += scatter * one_fix;
        cost += ((mean - TYPICAL_AIRSPEED_MPS.value) / AIRSPEED_SPREAD_MPS.value).powi(2);
        total += mean * n;
        count += n;
    }
    (cost, StartAir::growing(wind, growth_per_m).with_airspeed(total / count.max(1.0)))
}
