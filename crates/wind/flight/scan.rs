//! Starts from a scan: every wind of a grid is tried, and those that make the airspeed most even are kept.
//!
//! Each is tried as the same wind at every height, and as one that grows with height. A circle fit needs an arc; a scan also finds what several short arcs at different power settings say together, and
//! all of it when they say two things. It gives starts, nothing else: their likelihoods are compared afterwards.

use super::constants::{
    AIRSPEED_SPREAD_MPS, FASTEST_WIND_MPS, GUST_TAU_S, HOPELESS_UNEVENNESS, SCANNED_APART_MPS, SCANNED_EVERY_S,
    SCANNED_SCATTER_MPS, SCANNED_STARTS, TRIM_BLOCK_S, TYPICAL_AIRSPEED_MPS, WIND_GRID_MPS, WIND_GROWTH_PER_M,
};
use super::nodes::NodeInput;
use super::start::{StartAir, positions, velocity};
use crate::columns;
use driftless_units::Wind;

/// Growths of the wind with height that are tried, per metre.
const GROWTHS_PER_M: [f64; 2] = [0.0, WIND_GROWTH_PER_M.value];

/// The winds that make the airspeed most even, best first. `heights_m` above the reference altitude, one per node.
pub(super) fn starts(nodes: &[NodeInput], heights_m: &[f64]) -> Vec<StartAir> {
    let mut scan = Scan { blocks: blocks(nodes, heights_m), speeds: Vec::new(), least: f64::INFINITY };
    let mut tried: Vec<(f64, StartAir)> = Vec::new();
    for wind in grid() {
        for growth_per_m in GROWTHS_PER_M {
            tried.extend(scan.unevenness(wind, growth_per_m));
        }
    }
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

/// Winds to try, light ones first.
fn grid() -> Vec<Wind> {
    let steps = (FASTEST_WIND_MPS.value / WIND_GRID_MPS.value) as i32;
    let along = || (-steps..=steps).map(|step| f64::from(step) * WIND_GRID_MPS.value);
    let mut winds: Vec<Wind> = along().flat_map(|east| along().map(move |north| Wind::new(east, north))).collect();
    winds.retain(|wind| wind.speed_mps() <= FASTEST_WIND_MPS.value);
    winds.sort_by(|a, b| a.speed_mps().total_cmp(&b.speed_mps()));
    winds
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

/// The scan on its way.
struct Scan {
    blocks: Vec<Block>,
    speeds: Vec<f64>,
    /// The least unevenness so far.
    least: f64,
}

impl Scan {
    /// Minus twice the log-likelihood of a wind, roughly, and the start with it: airspeed scatters about the mean of its block,
    /// and the means about a typical airspeed. `None` as soon as that is hopeless.
    fn unevenness(&mut self, wind: Wind, growth_per_m: f64) -> Option<(f64, StartAir)> {
        let one_fix = (SCANNED_EVERY_S.value / GUST_TAU_S.value).min(1.0);
        let (mut cost, mut total, mut count) = (0.0, 0.0, 0.0);
        let speeds = &mut self.speeds;
        for Block { east_mps, north_mps, height_m } in &self.blocks {
            speeds.resize(height_m.len(), 0.0);
            columns::fill([speeds], [east_mps, north_mps, height_m], |[east, north, height]| {
                let grown = height * growth_per_m + 1.0;
                let (east, north) = (east - grown * wind.east_mps, north - grown * wind.north_mps);
                // The plain root: a scan takes a million, and does not need the last digit that `hypot` is careful of.
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
            if cost > self.least + HOPELESS_UNEVENNESS.value {
                return None;
            }
        }
        self.least = self.least.min(cost);
        Some((cost, StartAir::growing(wind, growth_per_m).with_airspeed(total / count.max(1.0))))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::flight::blocks::DIM;
    use crate::flight::blocks::aircraft::AIRSPEED;
    use crate::flight::nodes::Measured;
    use crate::flight::start;

    /// Nodes a second apart of one leg after the other: heading, °, at an airspeed, m/s, for 40 s.
    fn flown(legs: &[(f64, f64)], wind: Wind) -> Vec<NodeInput> {
        let mut position_m = [0.0; 2];
        let seconds = legs.iter().flat_map(|leg| std::iter::repeat_n(*leg, 40));
        let node = |(k, (heading_deg, airspeed_mps)): (usize, (f64, f64))| {
            let measured = Some(Measured { position_m, doppler_mps: None, fixes: 1.0 });
            let (sin, cos) = heading_deg.to_radians().sin_cos();
            position_m[0] += wind.east_mps + airspeed_mps * sin;
            position_m[1] += wind.north_mps + airspeed_mps * cos;
            NodeInput { t_s: k as f64, altitude_m: Some(500.0), climb_mps: None, measured }
        };
        seconds.enumerate().map(node).collect()
    }

    #[test]
    fn legs_at_two_airspeeds_give_the_wind_that_makes_them_even() {
        let wind = Wind::new(4.0, -3.0);
        let legs = [(0.0, 10.0), (90.0, 10.0), (200.0, 10.0), (300.0, 13.0), (60.0, 13.0), (180.0, 13.0)];
        let nodes = flown(&legs, wind);
        let starts = starts(&nodes, &vec![0.0; nodes.len()]);
        assert!(starts.len() > 1 && starts.len() <= SCANNED_STARTS.value as usize);
        let expected = StartAir::growing(wind, 0.0);
        let off_mps = starts[0].apart_mps(&expected);
        assert!(off_mps <= WIND_GRID_MPS.value, "{off_mps}: {:?}", starts[0]);
        // The mean of both, a leg as long as the other.
        let begins = start::trajectory::<DIM>(&nodes, &vec![0.0; nodes.len()], &starts[0]);
        assert!((begins[0][AIRSPEED] - 11.5).abs() < 0.5, "{:?}", starts[0]);
    }

    /// The sum written out for one block: bounded scatter, thinned to what gusts tell, and the distance from a typical airspeed.
    #[test]
    fn derived_unevenness_of_one_block() {
        let speeds = [9.0, 10.0, 12.5];
        let block =
            Block { east_mps: speeds.to_vec(), north_mps: vec![0.0; speeds.len()], height_m: vec![0.0; speeds.len()] };
        let mut scan = Scan { blocks: vec![block], speeds: Vec::new(), least: f64::INFINITY };
        let (cost, _) = scan.unevenness(Wind::default(), 0.0).expect("the first is not hopeless");
        let mean = speeds.iter().sum::<f64>() / 3.0;
        let bounded = |speed: &f64| {
            let square = ((speed - mean) / SCANNED_SCATTER_MPS.value).powi(2);
            9.0 * square / (9.0 + square)
        };
        let thinned = (SCANNED_EVERY_S.value / GUST_TAU_S.value).min(1.0);
        let strange = (mean - TYPICAL_AIRSPEED_MPS.value) / AIRSPEED_SPREAD_MPS.value;
        let expected = thinned * speeds.iter().map(bounded).sum::<f64>() + strange * strange;
        assert!((cost - expected).abs() < 1e-9, "{cost} {expected}");
    }
}
