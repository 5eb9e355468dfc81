//! From a path to the nodes of the estimate, between take-off and landing: at most one measured node a second, extra nodes
//! where a window begins or ends, and stepping stones across long intervals.

use super::SteadySpan;
use super::constants::{
    BIN_S, BREAK_S, CLIMB_HALF_SPAN_S, GROUND_MARGIN_S, MOST_FREE_BINS, SAME_TIME_S, WIDEST_BIN_S, WINDOW_MARGIN_S,
};
use super::smoothing::Smoothing;
use driftless_units::{GroundPath, PathPoint, VelocitySource};

/// Longer intervals are crossed in steps of at most this, so that a step never turns far.
const LONGEST_STEP_S: f64 = WIDEST_BIN_S.value;

/// A node before anything is known about it.
#[derive(Debug, Clone, Copy)]
pub(super) struct NodeInput {
    /// Seconds from the path's epoch.
    pub(super) t_s: f64,
    /// Altitude, m; `None` where the log has none.
    pub(super) altitude_m: Option<f64>,
    /// Climb, m/s; `None` where the log has no altitude.
    pub(super) climb_mps: Option<f64>,
    /// Mean of the fixes of this node; `None` at stepping stones and window edges.
    pub(super) measured: Option<Measured>,
}

/// What the fixes of one node say.
#[derive(Debug, Clone, Copy)]
pub(super) struct Measured {
    /// Mean position, east and north, m.
    pub(super) position_m: [f64; 2],
    /// Mean recorded (Doppler) velocity, m/s, where the log has it.
    pub(super) doppler_mps: Option<[f64; 2]>,
    /// How many fixes were averaged.
    pub(super) fixes: f64,
}

/// Builds the nodes of a receiver that writes what it measures. Times rise strictly; the first node is measured.
pub(super) fn build(path: &GroundPath, spans: &[SteadySpan]) -> Vec<NodeInput> {
    build_without(path, spans, None)
}

/// The same with the receiver's smoothing undone.
pub(super) fn build_without(path: &GroundPath, spans: &[SteadySpan], smoothing: Option<Smoothing>) -> Vec<NodeInput> {
    let points = path.airborne(GROUND_MARGIN_S.value);
    let duration_s = points.first().zip(points.last()).map_or(0.0, |(a, b)| b.t_s - a.t_s);
    let wide_s = (duration_s / MOST_FREE_BINS.value).clamp(BIN_S.value, WIDEST_BIN_S.value);
    let near = |t_s: f64| {
        spans.iter().any(|s| s.start_s - WINDOW_MARGIN_S.value < t_s && t_s < s.end_s + WINDOW_MARGIN_S.value)
    };
    let mut nodes = measured_nodes(points, |t_s| if wide_s <= BIN_S.value || near(t_s) { BIN_S.value } else { wide_s });
    if let Some(smoothing) = smoothing {
        smoothing.undo(&mut nodes);
    }
    insert_edges(&mut nodes, spans);
    insert_stepping_stones(&mut nodes);
    set_climb(&mut nodes);
    nodes
}

fn measured_nodes(points: &[PathPoint], bin_s: impl Fn(f64) -> f64) -> Vec<NodeInput> {
    // Bins are laid on the first fix of each, so that a log of one fix a second keeps every fix on its own.
    points
        .chunk_by({
            let mut end_s = f64::NEG_INFINITY;
            move |a, b| {
                // A hair less than the bin: times such as 0.9999 must not join the next second.
                if end_s == f64::NEG_INFINITY {
                    end_s = a.t_s + bin_s(a.t_s) - SAME_TIME_S.value;
                }
                let same = b.t_s < end_s;
                if !same {
                    end_s = b.t_s + bin_s(b.t_s) - SAME_TIME_S.value;
                }
                same
            }
        })
        .map(average)
        .collect()
}

fn average(points: &[PathPoint]) -> NodeInput {
    let n = points.len() as f64;
    let mean = |f: fn(&PathPoint) -> f64| points.iter().map(f).sum::<f64>() / n;
    let doppler = points.iter().all(|p| p.velocity_source == VelocitySource::Recorded);
    NodeInput {
        t_s: mean(|p| p.t_s),
        altitude_m: points.iter().map(|p| p.altitude_m).sum::<Option<f64>>().map(|sum| sum / n),
        climb_mps: None,
        measured: Some(Measured {
            position_m: [mean(|p| p.position.east_m), mean(|p| p.position.north_m)],
            doppler_mps: doppler.then(|| [mean(|p| p.velocity.east_mps), mean(|p| p.velocity.north_mps)]),
            fixes: n,
        }),
    }
}

fn insert_edges(nodes: &mut Vec<NodeInput>, spans: &[SteadySpan]) {
    for t_s in spans.iter().flat_map(|s| [s.start_s, s.end_s]) {
        let after = nodes.partition_point(|n| n.t_s < t_s);
        let (Some(a), Some(b)) = (after.checked_sub(1).and_then(|i| nodes.get(i)), nodes.get(after)) else { continue };
        if b.t_s > t_s {
            nodes.insert(after, between(a, b, (t_s - a.t_s) / (b.t_s - a.t_s)));
        }
    }
}

fn insert_stepping_stones(nodes: &mut Vec<NodeInput>) {
    let mut with_stones = Vec::with_capacity(nodes.len());
    for pair in nodes.windows(2) {
        let [a, b] = pair else { continue };
        with_stones.push(*a);
        let interval_s = b.t_s - a.t_s;
        if interval_s > LONGEST_STEP_S && interval_s <= BREAK_S.value {
            let steps = (interval_s / LONGEST_STEP_S).ceil();
            with_stones.extend((1..steps as usize).map(|i| between(a, b, i as f64 / steps)));
        }
    }
    with_stones.extend(nodes.last());
    *nodes = with_stones;
}

fn between(a: &NodeInput, b: &NodeInput, share: f64) -> NodeInput {
    let mix = |x: f64, y: f64| x + share * (y - x);
    let altitude_m = a.altitude_m.zip(b.altitude_m).map(|(a, b)| mix(a, b));
    NodeInput { t_s: mix(a.t_s, b.t_s), altitude_m, climb_mps: None, measured: None }
}

fn set_climb(nodes: &mut [NodeInput]) {
    let (mut low, mut high) = (0, 0);
    for i in 0..nodes.len() {
        let t_s = nodes[i].t_s;
        while nodes[low].t_s < t_s - CLIMB_HALF_SPAN_S.value {
            low += 1;
        }
        while high < nodes.len() && nodes[high].t_s <= t_s + CLIMB_HALF_SPAN_S.value {
            high += 1;
        }
        nodes[i].climb_mps = slope(&nodes[low..high]);
    }
}

/// Least-squares slope of altitude against time; 0 for a single node, `None` without altitudes.
fn slope(nodes: &[NodeInput]) -> Option<f64> {
    let n = nodes.len() as f64;
    let mean_t = nodes.iter().map(|p| p.t_s).sum::<f64>() / n;
    let mean_z = nodes.iter().map(|p| p.altitude_m).sum::<Option<f64>>()? / n;
    let (tz, tt) = nodes.iter().filter_map(|p| Some((p.t_s, p.altitude_m?))).fold((0.0, 0.0), |(tz, tt), (t_s, z)| {
        let dt = t_s - mean_t;
        (tz + dt * (z - mean_z), tt + dt * dt)
    });
    Some(if tt > 0.0 { tz / tt } else { 0.0 })
}
