//! What does not change during the iteration: nodes, steps, sensors, where levels start.

use super::SteadySpan;
use super::blocks::aircraft::HEADING;
use super::blocks::compass::Compass;
use super::blocks::gyro::Gyro;
use super::blocks::twist::Twist;
use super::blocks::{Blocks, Layout};
use super::compass::CompassHeadings;
use super::constants::{BREAK_S, NEAR_WINDOW_S};
use super::gyro::{GyroDoubt, GyroRates};
use super::gyro_headings;
use super::level_search::LevelSearch;
use super::nodes::{self, NodeInput};
use super::noise::{Level, Levels};
use super::result::FlightEstimate;
use super::smoothing::Smoothing;
use super::state::Vector;
use super::step::{Interval, IntervalKind};
use driftless_units::GroundPath;

/// What does not change during the iteration.
pub(super) struct Setting {
    pub(super) nodes: Vec<NodeInput>,
    /// `intervals[k]` leads from node k to k + 1.
    pub(super) intervals: Vec<Interval>,
    pub(super) heights_m: Vec<f64>,
    pub(super) typical: Levels,
    /// What the receiver did to positions, undone in the nodes.
    pub(super) smoothing: Option<Smoothing>,
    pub(super) blocks: Blocks,
    /// What the estimate cannot know about the gyro; nothing without one.
    pub(super) doubt: GyroDoubt,
}

impl Setting {
    /// With a place in the state for the sensors of the layout, but none of them yet.
    pub(super) fn new(nodes: Vec<NodeInput>, spans: &[SteadySpan], typical: Levels, layout: Layout) -> Self {
        // Without altitudes the flight is taken as level: then no shear shows.
        let altitude_m = |n: &NodeInput| n.altitude_m.unwrap_or(0.0);
        let reference_m = nodes.iter().map(altitude_m).sum::<f64>() / nodes.len() as f64;
        let heights_m: Vec<f64> = nodes.iter().map(|n| altitude_m(n) - reference_m).collect();
        let intervals: Vec<Interval> = nodes
            .windows(2)
            .zip(heights_m.windows(2))
            .map(|(n, h)| {
                let kind = kind(n[0].t_s, n[1].t_s, spans);
                Interval {
                    dt_s: n[1].t_s - n[0].t_s,
                    height_m: 0.5 * (h[0] + h[1]),
                    kind,
                    near_window: kind == IntervalKind::Free && near(0.5 * (n[0].t_s + n[1].t_s), spans),
                }
            })
            .collect();
        let blocks = Blocks::new(layout, &nodes, &intervals, &heights_m);
        Self { nodes, intervals, heights_m, typical, smoothing: None, blocks, doubt: GyroDoubt::default() }
    }

    /// With what an earlier estimate tells of the flight.
    pub(super) fn after(path: &GroundPath, earlier: &FlightEstimate, spans: &[SteadySpan], layout: Layout) -> Self {
        let mut levels = Levels::typical(path.rounding_m);
        if !spans.is_empty() {
            levels = levels.between_windows(&earlier.noise);
        }
        let nodes = nodes::build_without(path, spans, earlier.smoothing);
        Self { smoothing: earlier.smoothing, ..Self::new(nodes, spans, levels, layout) }
    }

    /// Adds a gyro; its headings begin where those of the trajectory are.
    pub(super) fn add_gyro<const N: usize>(&mut self, rates: &GyroRates, trajectory: &[Vector<N>]) {
        let headings_rad: Vec<f64> = trajectory.iter().map(|x| x[HEADING]).collect();
        let readings = gyro_headings::readings(rates, &self.nodes, &headings_rad);
        self.blocks.gyro = Gyro::new(&self.blocks.layout, rates, readings);
        self.doubt = rates.doubt;
        self.add_twist(self.blocks.gyro.as_ref().map_or_else(Vec::new, Gyro::seen));
    }

    /// Adds a compass.
    pub(super) fn add_compass(&mut self, headings: &CompassHeadings) {
        self.blocks.compass = Compass::new(&self.blocks.layout, headings, &self.nodes, &self.intervals);
        if self.blocks.twist.is_none() {
            self.add_twist(vec![true; self.intervals.len()]);
        }
    }

    /// Adds the twist of whoever carries a sensor; `seen` says which steps the sensor sees.
    fn add_twist(&mut self, seen: Vec<bool>) {
        self.blocks.twist = self.blocks.layout.twist.map(|first| Twist::new(first, &self.intervals, seen));
    }

    /// Sets the period of the twist.
    pub(super) fn set_twist_period_s(&mut self, period_s: f64) {
        if let Some(twist) = &mut self.blocks.twist {
            twist.set_period_s(period_s);
        }
    }

    /// A search for the levels that starts at some.
    pub(super) fn search(&self, levels: Levels) -> LevelSearch {
        let search = LevelSearch::new(levels, self.typical);
        let Some(compass) = &self.blocks.compass else { return search };
        let [slow, white] = compass.least_rad2;
        let search = search.with_least(Level::COMPASS_SLOW, slow).with_least(Level::COMPASS_WHITE, white);
        search.with_only(&Level::OF_A_COMPASS)
    }

    /// The nodes at the edges of each span that has both.
    pub(super) fn edges(&self, spans: &[SteadySpan]) -> Vec<Edge> {
        let at = |t_s: f64| {
            let k = self.nodes.partition_point(|n| n.t_s < t_s);
            (self.nodes.get(k)?.t_s == t_s).then_some(k)
        };
        spans
            .iter()
            .filter_map(|span| Some(Edge { span: *span, first: at(span.start_s)?, last: at(span.end_s)? }))
            .filter(|edge| edge.last > edge.first)
            .collect()
    }
}

/// A span and the nodes at its edges.
pub(super) struct Edge {
    pub(super) span: SteadySpan,
    pub(super) first: usize,
    pub(super) last: usize,
}

/// Whether a marked window is so near that the pilot may be setting power and trim for it, or back.
fn near(t_s: f64, spans: &[SteadySpan]) -> bool {
    spans
        .iter()
        .filter(|s| s.marked)
        .any(|s| s.start_s - NEAR_WINDOW_S.value < t_s && t_s < s.end_s + NEAR_WINDOW_S.value)
}

fn kind(from_s: f64, to_s: f64, spans: &[SteadySpan]) -> IntervalKind {
    let middle_s = 0.5 * (from_s + to_s);
    if to_s - from_s > BREAK_S.value {
        IntervalKind::Break
    } else if spans.is_empty() {
        IntervalKind::Unmarked
    } else if spans.iter().any(|s| s.start_s < middle_s && middle_s < s.end_s) {
        IntervalKind::Window
    } else {
        IntervalKind::Free
    }
}
