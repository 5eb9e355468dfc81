//! What does not change during the iteration: nodes, steps, sensors, where levels start.

use super::SteadySpan;
use super::compass::{self, CompassHeadings, CompassPrior};
use super::dynamics::{Step, Stretch};
use super::gyro::{self, GyroDoubt, GyroPrior, GyroRates, GyroReading, GyroStep};
use super::nodes::{self, NodeInput};
use super::noise::{Level, LevelSearch, Levels};
use super::result::FlightEstimate;
use super::state::{HEADING, Vector};
use driftless_track::Track;

/// What does not change during the iteration.
pub(super) struct Setting {
    pub(super) nodes: Vec<NodeInput>,
    pub(super) steps: Vec<Step>,
    pub(super) heights_m: Vec<f64>,
    pub(super) typical_fixes: f64,
    pub(super) typical: Levels,
    /// Gyro headings, one per node; empty without a gyro.
    pub(super) gyro: Vec<Option<GyroReading>>,
    pub(super) gyro_prior: Option<GyroPrior>,
    /// What the estimate cannot know about the gyro; nothing without one.
    pub(super) doubt: GyroDoubt,
    /// Compass headings, one per node, rad; empty without a compass.
    pub(super) compass: Vec<Option<f64>>,
    pub(super) compass_prior: Option<CompassPrior>,
    /// Least variances of the compass' slow and white error, rad².
    least_compass_rad2: [f64; 2],
}

impl Setting {
    pub(super) fn new(nodes: Vec<NodeInput>, spans: &[SteadySpan], typical: Levels) -> Self {
        let reference_m = nodes.iter().map(|n| n.altitude_m).sum::<f64>() / nodes.len() as f64;
        let heights_m: Vec<f64> = nodes.iter().map(|n| n.altitude_m - reference_m).collect();
        let steps = nodes
            .windows(2)
            .zip(heights_m.windows(2))
            .map(|(n, h)| Step::new(n[1].t_s - n[0].t_s, 0.5 * (h[0] + h[1]), stretch(n[0].t_s, n[1].t_s, spans)))
            .collect();
        let mut fixes: Vec<f64> = nodes.iter().filter_map(|n| n.measured.map(|m| m.fixes)).collect();
        fixes.sort_by(f64::total_cmp);
        let typical_fixes = fixes[fixes.len() / 2];
        Self {
            nodes,
            steps,
            heights_m,
            typical_fixes,
            typical,
            gyro: vec![],
            gyro_prior: None,
            doubt: GyroDoubt::default(),
            compass: vec![],
            compass_prior: None,
            least_compass_rad2: [0.0; 2],
        }
    }

    /// With what an earlier estimate tells of the flight.
    pub(super) fn after(track: &Track, earlier: &FlightEstimate, spans: &[SteadySpan]) -> Self {
        let mut levels = Levels::typical(track.rounding_m);
        if !spans.is_empty() {
            levels = levels.between_windows(&earlier.noise);
        }
        Self::new(nodes::build(track, spans), spans, levels)
    }

    /// Adds a gyro to the measurements; its headings begin where those of the trajectory are.
    pub(super) fn listen_to<const N: usize>(&mut self, rates: &GyroRates, trajectory: &[Vector<N>]) {
        let headings_rad: Vec<f64> = trajectory.iter().map(|x| x[HEADING]).collect();
        self.gyro = gyro::readings(rates, &self.nodes, &headings_rad);
        let steps: Vec<GyroStep> =
            self.gyro.windows(2).map(|pair| gyro::step(pair[0], pair[1], rates.bias_walk)).collect();
        for (step, gyro) in self.steps.iter_mut().zip(gyro::without_twist(steps)) {
            step.gyro = gyro;
        }
        self.gyro_prior = Some(GyroPrior::new(rates));
        self.doubt = rates.doubt;
        self.twist_at(gyro::FIRST_TWIST_PERIOD_S);
    }

    /// Adds a compass to the measurements.
    pub(super) fn look_at(&mut self, compass: &CompassHeadings) {
        self.compass = compass::readings(compass, &self.nodes);
        self.compass_prior = Some(CompassPrior::new(compass));
        self.least_compass_rad2 = compass.least_errors_rad.map(|rad| rad * rad);
        for step in &mut self.steps {
            if self.gyro.is_empty() {
                step.gyro = gyro::twist_only();
            }
        }
        if self.gyro.is_empty() {
            self.twist_at(gyro::FIRST_TWIST_PERIOD_S);
        }
    }

    /// Sets the period at which whoever carries the gyro twists.
    pub(super) fn twist_at(&mut self, period_s: f64) {
        for step in &mut self.steps {
            step.gyro = step.gyro.twisting(step.dt_s, period_s);
        }
    }

    /// A search for the levels that starts at some.
    pub(super) fn search(&self, levels: Levels) -> LevelSearch {
        let search = LevelSearch::new(levels, self.typical);
        if self.compass.is_empty() {
            return search;
        }
        let [slow, white] = self.least_compass_rad2;
        let search = search.with_least(Level::CompassSlow, slow).with_least(Level::CompassWhite, white);
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

fn stretch(from_s: f64, to_s: f64, spans: &[SteadySpan]) -> Stretch {
    let middle_s = 0.5 * (from_s + to_s);
    if to_s - from_s > nodes::BREAK_S {
        Stretch::Break
    } else if spans.is_empty() {
        Stretch::Unmarked
    } else if spans.iter().any(|s| s.start_s < middle_s && middle_s < s.end_s) {
        Stretch::Window
    } else {
        Stretch::Free
    }
}
