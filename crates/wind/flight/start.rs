//! Where the iteration starts: a trajectory from a wind and an airspeed guessed by circle fits.

use super::blocks::air::{SHEAR_E, SHEAR_N, WIND_E, WIND_N};
use super::blocks::aircraft::{AIRSPEED, HEADING, POS_E, POS_N, STEADY, TRIM};
use super::constants::START_HALF_SPAN_S;
use super::nodes::NodeInput;
use super::state::Vector;
use super::{FlightEstimate, Node, StartGuess};
use driftless_units::{Neighbours, Velocity, Wind, wrap_pi_rad};

/// A first guess of the air of a flight, and of the airspeed in it.
#[derive(Debug, Clone, Copy)]
pub(super) struct StartAir {
    /// Wind at the reference altitude.
    wind: Wind,
    /// Its change with height, east and north, 1/s.
    shear_per_s: [f64; 2],
    /// True airspeed, m/s.
    airspeed_mps: f64,
}

impl From<&StartGuess> for StartAir {
    fn from(guess: &StartGuess) -> Self {
        Self { wind: guess.wind, shear_per_s: [0.0; 2], airspeed_mps: guess.airspeed_mps }
    }
}

impl StartAir {
    /// A wind that grows by a share of itself per metre of height; no airspeed yet.
    pub(super) fn growing(wind: Wind, growth_per_m: f64) -> Self {
        let shear_per_s = [growth_per_m * wind.east_mps, growth_per_m * wind.north_mps];
        Self { wind, shear_per_s, airspeed_mps: 0.0 }
    }

    /// The same air, flown through at an airspeed.
    pub(super) fn with_airspeed(self, airspeed_mps: f64) -> Self {
        Self { airspeed_mps, ..self }
    }

    /// The wind at a height above the reference altitude.
    pub(super) fn wind_at(&self, height_m: f64) -> Wind {
        let [east, north] = self.shear_per_s;
        Wind::new(self.wind.east_mps + height_m * east, self.wind.north_mps + height_m * north)
    }

    /// How far two starts lie apart, m/s: at the reference altitude, or 100 m above it where they differ more there.
    pub(super) fn apart_mps(&self, other: &Self) -> f64 {
        [0.0, 100.0]
            .map(|height_m| {
                let (a, b) = (self.wind_at(height_m), other.wind_at(height_m));
                (a.east_mps - b.east_mps).hypot(a.north_mps - b.north_mps)
            })
            .into_iter()
            .fold(0.0, f64::max)
    }
}

/// A state per node: position as measured, heading of the air velocity, one airspeed for the flight.
pub(super) fn trajectory<const N: usize>(nodes: &[NodeInput], heights_m: &[f64], start: &StartAir) -> Vec<Vector<N>> {
    let mut states = vec![Vector::zeros(); nodes.len()];
    for (x, position) in states.iter_mut().zip(positions(nodes)) {
        [x[POS_E], x[POS_N]] = position;
        [x[WIND_E], x[WIND_N]] = [start.wind.east_mps, start.wind.north_mps];
        [x[SHEAR_E], x[SHEAR_N]] = start.shear_per_s;
        x[AIRSPEED] = start.airspeed_mps;
        x[TRIM] = start.airspeed_mps;
    }
    head_through(nodes, &mut states, |k| start.wind_at(heights_m[k]));
    states
}

/// The states of an earlier estimate of the same flight, at other nodes.
///
/// Winds are linear in the problem, so the iteration does not care where they start; headings and airspeeds are not.
pub(super) fn resumed<const N: usize>(nodes: &[NodeInput], earlier: &FlightEstimate) -> Vec<Vector<N>> {
    let positions = positions(nodes);
    let mut states = vec![Vector::zeros(); nodes.len()];
    let [first_s, last_s] = [earlier.nodes.first(), earlier.nodes.last()].map(|n| n.map_or(0.0, |n| n.t_s));
    for ((x, node), position) in states.iter_mut().zip(nodes).zip(positions) {
        [x[POS_E], x[POS_N]] = position;
        // Before its first node and after its last it says what it says there.
        let Some(near) = Neighbours::of(&earlier.nodes, |n| n.t_s, node.t_s.clamp(first_s, last_s)) else { continue };
        let between = |value: fn(&Node) -> f64| near.straight(value);
        [x[WIND_E], x[WIND_N]] = [between(|n| n.wind.east_mps), between(|n| n.wind.north_mps)];
        x[AIRSPEED] = between(|n| n.airspeed_mps.value);
        x[TRIM] = x[AIRSPEED];
        x[HEADING] = between(|n| n.heading.value.rad());
        x[STEADY] = x[AIRSPEED] * between(|n| n.turn_rate.value.rad_s());
    }
    states
}

/// States at some nodes, as those at other nodes of the same flight have them between.
pub(super) fn between<const N: usize>(nodes: &[NodeInput], at: &[NodeInput], states: &[Vector<N>]) -> Vec<Vector<N>> {
    let nearest = |node: &NodeInput| match Neighbours::of(at, |n| n.t_s, node.t_s) {
        Some(near) => states[near.at].lerp(&states[(near.at + 1).min(states.len() - 1)], near.share),
        None if at.first().is_some_and(|first| node.t_s < first.t_s) => states[0],
        None => states[states.len() - 1],
    };
    nodes.iter().map(nearest).collect()
}

/// The same states with their headings (and steady turns) read anew from the positions and the wind at each node.
///
/// An iteration that began with a wind far off may have lost a full turn on the way, which no small step brings back.
pub(super) fn reinitialise_headings<const N: usize>(
    nodes: &[NodeInput],
    states: &[Vector<N>],
    wind_at: impl Fn(usize) -> Wind,
) -> Vec<Vector<N>> {
    let mut states = states.to_vec();
    head_through(nodes, &mut states, wind_at);
    states
}

fn head_through<const N: usize>(nodes: &[NodeInput], states: &mut [Vector<N>], wind_at: impl Fn(usize) -> Wind) {
    let positions = positions(nodes);
    let mut heading = 0.0;
    for (k, x) in states.iter_mut().enumerate() {
        let air = wind_at(k).air_velocity(velocity(nodes, &positions, k));
        heading += wrap_pi_rad(air.direction().rad() - heading);
        x[HEADING] = heading;
    }
    for k in 0..states.len() {
        let (low, high) = around(nodes, k);
        let dt_s = nodes[high].t_s - nodes[low].t_s;
        if dt_s > 0.0 {
            states[k][STEADY] = states[k][AIRSPEED] * (states[high][HEADING] - states[low][HEADING]) / dt_s;
        }
    }
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
    while low > 0 && nodes[low].t_s > t_s - START_HALF_SPAN_S.value {
        low -= 1;
    }
    let last = nodes.len() - 1;
    let mut high = (k + 1).min(last);
    while high < last && nodes[high].t_s < t_s + START_HALF_SPAN_S.value {
        high += 1;
    }
    (low, high)
}
