//! Where the iteration starts: a trajectory from a wind and an airspeed guessed by circle fits.

use super::nodes::NodeInput;
use super::state::{AIRSPEED, HEADING, LEVEL, POS_E, POS_N, STEADY, Vector, WIND_E, WIND_N};
use driftless_units::{Velocity, Wind, wrap_pi_rad};

/// Velocities for the start are differences over this time either side: long enough to drown position noise.
const HALF_SPAN_S: f64 = 1.5;

/// A state per node: position as measured, heading of the air velocity, one wind and one airspeed for the flight.
pub(super) fn trajectory(nodes: &[NodeInput], wind: Wind, airspeed_mps: f64) -> Vec<Vector> {
    let positions = positions(nodes);
    let mut heading = 0.0;
    let mut states: Vec<Vector> = (0..nodes.len())
        .map(|k| {
            let air = wind.air_velocity(velocity(nodes, &positions, k));
            let turn = wrap_pi_rad(air.direction().rad() - heading);
            heading += turn;
            let mut x = Vector::zeros();
            [x[POS_E], x[POS_N]] = positions[k];
            [x[WIND_E], x[WIND_N]] = [wind.east_mps, wind.north_mps];
            x[AIRSPEED] = airspeed_mps;
            x[LEVEL] = airspeed_mps;
            x[HEADING] = heading;
            x
        })
        .collect();
    for k in 0..states.len() {
        let (low, high) = around(nodes, k);
        let dt_s = nodes[high].t_s - nodes[low].t_s;
        if dt_s > 0.0 {
            states[k][STEADY] = airspeed_mps * (states[high][HEADING] - states[low][HEADING]) / dt_s;
        }
    }
    states
}

/// Measured positions, straight lines in between.
pub(super) fn positions(nodes: &[NodeInput]) -> Vec<[f64; 2]> {
    let measured: Vec<(usize, [f64; 2])> =
        nodes.iter().enumerate().filter_map(|(k, n)| n.measured.map(|m| (k, m.position_m))).collect();
    let mut positions = vec![[0.0; 2]; nodes.len()];
    for pair in measured.windows(2) {
        let [(i, a), (j, b)] = *pair else { continue };
        for k in i..=j {
            let share = (nodes[k].t_s - nodes[i].t_s) / (nodes[j].t_s - nodes[i].t_s);
            positions[k] = [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])];
        }
    }
    positions
}

/// Velocity over the ground at a node, from positions about it.
pub(super) fn velocity(nodes: &[NodeInput], positions: &[[f64; 2]], k: usize) -> Velocity<driftless_units::Ground> {
    let (low, high) = around(nodes, k);
    let dt_s = (nodes[high].t_s - nodes[low].t_s).max(f64::MIN_POSITIVE);
    Velocity::new((positions[high][0] - positions[low][0]) / dt_s, (positions[high][1] - positions[low][1]) / dt_s)
}

/// The nodes about `k` to take a difference over: at least one step either side where there is one.
fn around(nodes: &[NodeInput], k: usize) -> (usize, usize) {
    let t_s = nodes[k].t_s;
    let mut low = k.saturating_sub(1);
    while low > 0 && nodes[low].t_s > t_s - HALF_SPAN_S {
        low -= 1;
    }
    let last = nodes.len() - 1;
    let mut high = (k + 1).min(last);
    while high < last && nodes[high].t_s < t_s + HALF_SPAN_S {
        high += 1;
    }
    (low, high)
}
