//! Passes over the flight until nothing changes: trajectory, weights and levels.

use super::blocks::air::wind_at;
use super::blocks::aircraft::{self, AIRSPEED, HEADING};
use super::blocks::{SOURCES, Source, twist};
use super::clock::{self, Motion};
use super::constants::{
    AIRSPEED_NOISE_INFLATION, AS_STRANGE_WITHIN, FIRST_TWIST_PERIOD_S, HEADING_SETTLED_RAD, HUBER_LIMIT, LEVEL_SETTLED,
    MOST_PASSES, MOST_WIND_CHANGES, PASSES_BEFORE_LEVELS, PASSES_PER_START, ROUGHLY_SETTLED, SCALE_SETTLED_LN,
    SLOWEST_FLIGHT_MPS, STRANGE_WIND_SQUARE, WIND_CHANGE_MPS, WIND_CHANGE_OVER_S, WIND_WALK,
};
use super::damping;
use super::level_search::LevelSearch;
use super::level_trust::{self, AtLevels};
use super::noise::{Level, Levels, ScaleStep};
use super::pass::{Pass, Smoothed};
use super::result::{FlightEstimate, Settling};
use super::setting::{Edge, Setting};
use super::smoother::{self, Depth, Problem};
use super::start;
use super::state::Vector;
use super::step::IntervalKind;
use driftless_units::Wind;

/// The iteration's own state.
pub(super) struct Iteration<const N: usize> {
    trajectory: Vec<Vector<N>>,
    /// Robust weights of each source, one per node.
    weights: [Vec<f64>; SOURCES],
    airspeed_scales: Vec<f64>,
    /// How each of them moved last.
    scale_steps: Vec<ScaleStep>,
    /// What multiplies the variance of each step's disturbance of the wind; 1 but about a lasting change.
    wind_scales: Vec<f64>,
    /// When the wind changed, seconds from the path's epoch.
    pub(super) wind_changes_s: Vec<f64>,
    /// How strange each step of the wind is, by the last pass.
    wind_squares: Vec<f64>,
    pub(super) levels: LevelSearch,
    pub(super) log_likelihood: f64,
    passes: usize,
    /// Passes before levels and weights move.
    held_passes: usize,
    /// Whether levels and weights stay as they are, so that likelihoods compare.
    levels_held: bool,
    /// Passes before the wind was let change.
    earlier_passes: usize,
    settled: bool,
    /// Whether that is enough: a first look was asked for.
    roughly_settled: bool,
    /// What moved most in the last pass, over the limit of what counts as settled.
    unrest: f64,
    /// What each heading wanted to move by in the last pass, rad.
    moves_rad: Vec<f64>,
    /// Share of a move that is made: less than all while headings swing.
    share: f64,
    /// Node list of the last pass, to be written over by the next.
    scratch: Vec<Smoothed<N>>,
}

impl<const N: usize> Iteration<N> {
    /// From a trajectory. `scratch` is what an earlier iteration of the same flight has left to be written over.
    pub(super) fn new(setting: &Setting, trajectory: Vec<Vector<N>>, scratch: Vec<Smoothed<N>>) -> Self {
        Self {
            trajectory,
            weights: std::array::from_fn(|_| vec![1.0; setting.nodes.len()]),
            airspeed_scales: vec![1.0; setting.intervals.len()],
            scale_steps: vec![ScaleStep::default(); setting.intervals.len()],
            wind_scales: vec![1.0; setting.intervals.len()],
            wind_changes_s: Vec::new(),
            wind_squares: Vec::new(),
            levels: setting.search(setting.typical),
            log_likelihood: f64::NEG_INFINITY,
            passes: 0,
            held_passes: PASSES_BEFORE_LEVELS.value as usize,
            levels_held: false,
            earlier_passes: 0,
            settled: false,
            roughly_settled: false,
            unrest: f64::INFINITY,
            moves_rad: Vec::new(),
            share: 1.0,
            scratch,
        }
    }

    /// From what an earlier estimate of the flight found: its trajectory is near enough for levels to move at once, and begin
    /// where it left them.
    pub(super) fn resumed(setting: &Setting, earlier: &FlightEstimate) -> Self {
        let levels = setting.search(setting.typical.as_found(&earlier.noise));
        let trajectory = start::resumed(&setting.nodes, earlier);
        Self { levels, held_passes: 0, ..Self::new(setting, trajectory, Vec::new()) }
    }

    /// From another iteration of the same flight, with what it found.
    pub(super) fn after(setting: &Setting, other: &Self, scratch: Vec<Smoothed<N>>) -> Self {
        let levels = setting.search(other.levels.levels);
        let (weights, airspeed_scales) = (other.weights.clone(), other.airspeed_scales.clone());
        Self { weights, airspeed_scales, levels, ..Self::new(setting, other.trajectory.clone(), scratch) }
    }

    /// From another trajectory of the same flight, with weights and levels held as this iteration found them.
    pub(super) fn at_these_levels(
        &self,
        setting: &Setting,
        trajectory: Vec<Vector<N>>,
        scratch: Vec<Smoothed<N>>,
    ) -> Self {
        Self { trajectory, levels_held: true, ..Self::after(setting, self, scratch) }
    }

    /// Gives up what its next pass would write over: tens of megabytes of a long flight.
    pub(super) fn forget_last_pass(&mut self) {
        self.scratch = Vec::new();
    }

    /// Takes what its next pass would write over away, for another iteration.
    pub(super) fn lend_scratch(&mut self) -> Vec<Smoothed<N>> {
        std::mem::take(&mut self.scratch)
    }

    /// Gives it something to write over.
    pub(super) fn give_scratch(&mut self, scratch: Vec<Smoothed<N>>) {
        self.scratch = scratch;
    }

    /// Whether the path is one of an aircraft that moves forward through the air.
    pub(super) fn flies(&self) -> bool {
        let slow = self.trajectory.iter().filter(|x| x[AIRSPEED] < SLOWEST_FLIGHT_MPS.value).count();
        2 * slow < self.trajectory.len()
    }

    /// The present trajectory, one state per node.
    pub(super) fn trajectory(&self) -> &[Vector<N>] {
        &self.trajectory
    }

    /// Headings of the present trajectory, one per node.
    pub(super) fn headings_rad(&self) -> Vec<f64> {
        self.trajectory.iter().map(|x| x[HEADING]).collect()
    }

    /// A pass about the present trajectory.
    pub(super) fn pass(&mut self, setting: &Setting, depth: Depth) -> Pass<N> {
        self.pass_at(setting, &self.levels.levels.clone(), depth)
    }

    /// A pass about the present trajectory at some levels.
    fn pass_at(&mut self, setting: &Setting, levels: &Levels, depth: Depth) -> Pass<N> {
        let scratch = self.lend_scratch();
        let motion = self.motion(setting);
        smoother::pass(&self.problem(setting, levels, &motion), &self.trajectory, depth, scratch)
    }

    /// Motion by which a sensor's clock moves the positions; empty without a sensor.
    fn motion(&self, setting: &Setting) -> Vec<Motion> {
        match setting.blocks.gyro {
            Some(_) => clock::motions(&self.trajectory, &setting.heights_m),
            None => vec![],
        }
    }

    fn problem<'a>(&'a self, setting: &'a Setting, levels: &'a Levels, motion: &'a [Motion]) -> Problem<'a> {
        let (airspeed_scales, wind_scales) = (self.airspeed_scales.as_slice(), self.wind_scales.as_slice());
        Problem { setting, levels, weights: &self.weights, airspeed_scales, wind_scales, motion }
    }

    /// Goes on from where it settled without a compass, now with one. What air, aircraft and receiver do is known by then,
    /// and held: a compass that wanders with the flight would teach otherwise.
    pub(super) fn resume_with_compass(&mut self, setting: &Setting) {
        self.levels = setting.search(self.levels.levels);
        self.weights[Source::Compass as usize].fill(1.0);
        (self.passes, self.settled, self.unrest) = (0, false, f64::INFINITY);
    }

    /// Finds the period of the twist: a scan, some passes, and a second scan about the best. Returns it.
    pub(super) fn find_twist_period_s(&mut self, setting: &mut Setting) -> f64 {
        for _ in 0..PASSES_PER_START.value as usize {
            self.advance(setting);
        }
        let period_s = self.likeliest_twist_s(setting, &twist::periods_s());
        self.settle(setting);
        self.likeliest_twist_s(setting, &twist::periods_about_s(period_s))
    }

    /// Sets the likeliest of some twist periods, at the trajectory and the levels as they are but for a typical twist;
    /// returns it. The iteration goes on from there.
    fn likeliest_twist_s(&mut self, setting: &mut Setting, periods_s: &[f64]) -> f64 {
        let levels = self.levels.levels.with_typical(Level::TWIST, &setting.typical);
        let motion = self.motion(setting);
        let mut best = (f64::NEG_INFINITY, FIRST_TWIST_PERIOD_S.value);
        for &period_s in periods_s {
            setting.set_twist_period_s(period_s);
            let likelihood = smoother::log_likelihood(&self.problem(setting, &levels, &motion), &self.trajectory);
            if likelihood > best.0 {
                best = (likelihood, period_s);
            }
        }
        setting.set_twist_period_s(best.1);
        self.levels = setting.search(levels);
        (self.passes, self.settled, self.unrest) = (0, false, f64::INFINITY);
        best.1
    }

    /// Passes until nothing changes.
    pub(super) fn settle(&mut self, setting: &Setting) {
        self.roughly_settled = false;
        while self.passes < MOST_PASSES.value as usize && !self.settled {
            self.advance(setting);
        }
    }

    /// Passes until little changes: enough for a first look.
    pub(super) fn settle_roughly(&mut self, setting: &Setting) {
        while self.passes < MOST_PASSES.value as usize && self.unrest >= ROUGHLY_SETTLED.value {
            self.advance(setting);
        }
        self.roughly_settled = self.unrest < ROUGHLY_SETTLED.value;
    }

    /// Passes until nothing changes, with the wind let change where it does: where the disturbance of the wind is stranger than
    /// chance allows, its variance is widened for a while, and the passes go on.
    pub(super) fn settle_in_changing_wind(&mut self, setting: &Setting) {
        self.settle(setting);
        while self.settled && self.wind_changes_s.len() < MOST_WIND_CHANGES.value as usize {
            let Some(at_s) = self.let_wind_change(setting) else { return };
            self.wind_changes_s.push(at_s);
            self.earlier_passes += self.passes;
            (self.passes, self.settled, self.unrest) = (0, false, f64::INFINITY);
            self.settle(setting);
        }
    }

    /// Lets the wind change about the step where it is strangest, and for as long as it is about as strange: a change leaves open
    /// when exactly it came, and its variance is spread over all those times. Returns when; `None` where nothing is strange.
    fn let_wind_change(&mut self, setting: &Setting) -> Option<f64> {
        let squares = &self.wind_squares;
        let strangest = (0..squares.len()).max_by(|a, b| squares[*a].total_cmp(&squares[*b]))?;
        if squares[strangest] <= STRANGE_WIND_SQUARE.value {
            return None;
        }
        let middle_s = |k: usize| 0.5 * (setting.nodes[k].t_s + setting.nodes[k + 1].t_s);
        let as_strange = |k: &usize| squares[*k] > squares[strangest] - AS_STRANGE_WITHIN.value;
        let first = (0..=strangest).rev().take_while(as_strange).last()?;
        let last = (strangest..squares.len()).take_while(as_strange).last()?;
        let at_s = middle_s(strangest);
        let half_s = 0.5 * WIND_CHANGE_OVER_S.value;
        let (from_s, to_s) = (middle_s(first).min(at_s - half_s), middle_s(last).max(at_s + half_s));
        let per_s = WIND_CHANGE_MPS.value.powi(2) / (to_s - from_s);
        let widened = per_s / (WIND_WALK.value * WIND_WALK.value);
        for (k, scale) in self.wind_scales.iter_mut().enumerate() {
            if from_s <= middle_s(k) && middle_s(k) <= to_s {
                *scale += widened;
            }
        }
        Some(at_s)
    }

    /// How that went.
    pub(super) fn settling(&self) -> Settling {
        Settling { passes: self.earlier_passes + self.passes, settled: self.settled || self.roughly_settled }
    }

    /// Widens what was fitted to the pilot's quiet, before uncertainties are read off.
    pub(super) fn inflate_airspeed_noise(&mut self, setting: &Setting) {
        for (scale, interval) in self.airspeed_scales.iter_mut().zip(&setting.intervals) {
            if interval.kind != IntervalKind::Window {
                *scale *= AIRSPEED_NOISE_INFLATION.value;
            }
        }
    }

    /// A new iteration from headings read anew with the wind found, if they come to other full turns.
    pub(super) fn reinitialise_headings(&self, setting: &Setting) -> Option<Self> {
        let wind = |k: usize| {
            let [east, north] = wind_at(setting.heights_m[k]).map(|axis| axis.of(self.trajectory[k].as_slice()));
            Wind::new(east, north)
        };
        let trajectory = start::reinitialise_headings(&setting.nodes, &self.trajectory, wind);
        let apart_rad = |k: usize| trajectory[k][HEADING] - self.trajectory[k][HEADING];
        let turns_lost = (1..trajectory.len()).any(|k| (apart_rad(k) - apart_rad(0)).abs() > std::f64::consts::PI);
        turns_lost.then(|| Self::new(setting, trajectory, Vec::new()))
    }

    /// What passes at moved levels of the air say about the spans, for [`level_trust`].
    pub(super) fn at_moved_levels(&mut self, setting: &Setting, edges: &[Edge]) -> [AtLevels; 2] {
        level_trust::moved_levels(&self.levels.levels).map(|levels| {
            let pass = self.pass_at(setting, &levels, Depth::Covariances);
            let at_levels = AtLevels::read(&pass, &levels, &setting.typical, edges);
            self.scratch = pass.nodes;
            at_levels
        })
    }

    /// The smoothed trajectory about the present one.
    pub(super) fn smoothed(&mut self, setting: &Setting) -> Vec<Vector<N>> {
        let pass = self.pass(setting, Depth::Means);
        let means = pass.means();
        self.scratch = pass.nodes;
        means
    }

    /// One pass: a Gauss-Newton step of the trajectory, then of weights and levels.
    pub(super) fn advance(&mut self, setting: &Setting) {
        self.passes += 1;
        let levels_move = self.passes > self.held_passes && !self.levels_held;
        let pass = self.pass(setting, if levels_move { Depth::Levels } else { Depth::Means });
        self.log_likelihood = pass.log_likelihood;
        let moved_rad = pass.heading_change_from(&self.trajectory);
        let moves_rad: Vec<f64> =
            self.trajectory.iter().zip(&pass.nodes).map(|(x, n)| n.mean[HEADING] - x[HEADING]).collect();
        self.share = damping::next_share(self.share, &self.moves_rad, &moves_rad);
        self.moves_rad = moves_rad;
        for (x, node) in self.trajectory.iter_mut().zip(&pass.nodes) {
            let mut next = if self.share < 1.0 { x.lerp(&node.mean, self.share) } else { node.mean };
            aircraft::hold_near(x.as_slice(), next.as_mut_slice());
            *x = next;
        }
        let (mut levels_moved, mut scales_moved_ln) = (if self.levels_held { 0.0 } else { f64::INFINITY }, 0.0_f64);
        if levels_move {
            let by_products = &pass.by_products;
            for (weights, residuals) in self.weights.iter_mut().zip(&by_products.residuals) {
                for (weight, residual) in weights.iter_mut().zip(residuals) {
                    *weight = huber_weight(*residual);
                }
            }
            let scales = self.airspeed_scales.iter_mut().zip(&mut self.scale_steps);
            for (((scale, step), square), interval) in scales.zip(&by_products.airspeed_squares).zip(&setting.intervals)
            {
                if interval.kind != IntervalKind::Window {
                    scales_moved_ln = scales_moved_ln.max(step.advance(scale, *square));
                }
            }
            levels_moved = self.levels.advance(&by_products.moments);
            self.wind_squares = pass.by_products.wind_squares;
        }
        let moved =
            [(moved_rad, HEADING_SETTLED_RAD), (levels_moved, LEVEL_SETTLED), (scales_moved_ln, SCALE_SETTLED_LN)];
        self.unrest = moved.iter().map(|(moved, limit)| moved / limit.value).fold(0.0, f64::max);
        self.settled = self.unrest < 1.0;
        self.scratch = pass.nodes;
    }
}

/// Weight of a measurement by its residual in standard deviations.
fn huber_weight(residual: f64) -> f64 {
    driftless_units::huber_weight(residual, HUBER_LIMIT.value)
}
