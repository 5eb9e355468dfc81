//! The whole-flight estimate: one least-squares problem over the flight, block-tridiagonal in time.
//!
//! Positions (and recorded velocities where the log has them) are explained by a mean wind that changes slowly and
//! with height, gusts, an airspeed, a heading and a turn rate whose steady part is one number inside each hands-off
//! window. Gauss-Newton on the whole flight is run as an iterated smoother (Bell, *SIAM J. Optim.* 4 (1994)
//! 626-636), linear in the number of nodes; the noise levels are estimated from the log on the way.
//!
//! The road: `nodes` (track to nodes) → `scan` and `start` (first trajectories) → `smoother` with `dynamics`, `gyro` and
//! `compass` where there are such, (one pass) and `noise` (levels) until nothing changes → `observability` → `result`.

mod clock;
mod compass;
mod dynamics;
mod gyro;
mod heading_row;
mod level_trust;
mod nodes;
mod noise;
mod observability;
mod result;
mod scan;
mod smoother;
mod start;
mod state;
#[cfg(test)]
mod tests;

pub use compass::{
    CompassErrors, CompassEstimate, CompassEstimateError, CompassHeadings, CompassReading, DeviationStdU, Jump,
};
pub use gyro::{GyroDoubt, GyroErrors, GyroEstimate, GyroEstimateError, GyroIncrement, GyroRates};
pub use result::{FlightEstimate, Node, NoiseLevels, Observability, WindowTurn};

use clock::Motion;
use compass::CompassPrior;
use driftless_track::Track;
use driftless_units::{Angle, Estimate, Position, TurnRate, Wind};
use dynamics::{Step, Stretch};
use gyro::{GyroPrior, GyroReading, GyroStep};
use nodes::NodeInput;
use noise::{Level, LevelSearch, Levels};
use smoother::{Pass, Problem, Smoothed};
use start::StartAir;
use state::{
    AIRSPEED, BIAS, CLOCK, COMPASS_DIM, DEVIATION, DIM, GYRO_DIM, HEADING, HEELING, LAG, POS_E, POS_N, SCALE, Vector,
    pick, turn_rate, wind_at,
};

/// A stretch of time within which the turn rate is steady but for turbulence, seconds from the track's epoch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteadySpan {
    /// Start, after the let-go transient.
    pub start_s: f64,
    /// End, before take-over.
    pub end_s: f64,
}

/// Where to start: a wind and an airspeed, typically from circle fits. Only a start: it carries no weight in the result.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StartGuess {
    /// Wind.
    pub wind: Wind,
    /// True airspeed, m/s.
    pub airspeed_mps: f64,
}

/// Why no estimate could be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum EstimateError {
    /// Too few points between take-off and landing.
    #[error("only {nodes} seconds of flight with positions, at least {needed} are needed")]
    TooShort {
        /// Nodes there are.
        nodes: usize,
        /// Nodes needed.
        needed: usize,
    },
    /// The iteration ran away.
    #[error("the estimate did not settle: positions and flight model do not fit together")]
    Diverged,
}

/// Shortest flight that is worth an estimate.
const FEWEST_NODES: usize = 20;
/// A path slower than this through the air over half of its length is no flight (a paraglider stalls at about twice
/// that; common practice, no source), m/s.
const SLOWEST_FLIGHT_MPS: f64 = 3.0;
/// Passes tried from each start before the best start is chosen.
const PASSES_PER_START: usize = 3;
/// Starts closer than this to one already tried are left out, m/s: they end in the same place.
const SAME_START_MPS: f64 = 2.0;
/// Passes at the most.
const MOST_PASSES: usize = 30;
/// Passes before the noise levels move: the trajectory must be about right first.
const PASSES_BEFORE_LEVELS: usize = 2;
/// Settled when no heading moves more than this, rad, and no level more than [`LEVEL_SETTLED`].
const HEADING_SETTLED_RAD: f64 = 2e-4;
/// Relative change of a standard deviation that counts as settled.
const LEVEL_SETTLED: f64 = 1e-2;
/// Beyond this many standard deviations a position counts less (Huber's weight; 2.5 keeps 99 % of the efficiency on
/// Gaussian errors: Huber & Ronchetti, *Robust Statistics*, 2nd ed. 2009, chapter 4, from memory).
const HUBER_LIMIT: f64 = 2.5;

/// Estimates the flight without any window: the turn rate is free everywhere. The likeliest of the `starts` and of a
/// scan's own wins.
///
/// # Errors
/// [`EstimateError`] when there is too little flight, or no convergence.
pub fn estimate(track: &Track, starts: &[StartGuess]) -> Result<FlightEstimate, EstimateError> {
    let nodes = nodes::build(track, &[]);
    if nodes.len() < FEWEST_NODES {
        return Err(EstimateError::TooShort { nodes: nodes.len(), needed: FEWEST_NODES });
    }
    let setting = Setting::new(nodes, &[], Levels::typical(track.rounding_m));
    let mut tried: Vec<StartAir> = Vec::new();
    let mut best: Option<Iteration<DIM>> = None;
    let guessed = starts.iter().map(StartAir::from);
    for start in guessed.chain(scan::starts(&setting.nodes, &setting.heights_m)) {
        if tried.iter().any(|other| start.apart_mps(other) < SAME_START_MPS) {
            continue;
        }
        tried.push(start);
        let trajectory = start::trajectory(&setting.nodes, &setting.heights_m, &start);
        let mut iteration = Iteration::new(&setting, trajectory);
        for _ in 0..PASSES_PER_START {
            iteration.advance(&setting);
        }
        if iteration.log_likelihood.is_finite()
            && iteration.flies()
            && best.as_ref().is_none_or(|b| iteration.log_likelihood > b.log_likelihood)
        {
            best = Some(iteration);
        }
    }
    Ok(settle(&setting, best.ok_or(EstimateError::Diverged)?, &[])?.0)
}

/// Estimates the flight again, now with the windows known. `spans` are their steady spans, in time order, not
/// overlapping.
///
/// # Errors
/// [`EstimateError`] when there is no convergence.
pub fn estimate_with_windows(
    track: &Track,
    free: &FlightEstimate,
    spans: &[SteadySpan],
) -> Result<FlightEstimate, EstimateError> {
    let setting = Setting::after(track, free, spans);
    let iteration = Iteration::<DIM>::new(&setting, start::resumed(&setting.nodes, free));
    Ok(settle(&setting, iteration, spans)?.0)
}

/// The times at which an estimate with these spans has its nodes, seconds from the track's epoch.
pub fn node_times(track: &Track, spans: &[SteadySpan]) -> Vec<f64> {
    nodes::build(track, spans).iter().map(|node| node.t_s).collect()
}

/// Estimates the flight again, now with a gyro. `earlier` is an estimate without it, with or without windows; `spans` are
/// as for [`estimate_with_windows`], and may be empty.
///
/// Bias, scale and clock of the gyro are found on the way; the flight comes out on the gyro's clock, as it is given. A gyro
/// says nothing about north, but all the more about how the heading changes, and thereby about wind and airspeed.
///
/// # Errors
/// [`GyroEstimateError`] when the gyro's turns lie outside the flight, or there is no convergence.
pub fn estimate_with_gyro(
    track: &Track,
    earlier: &FlightEstimate,
    spans: &[SteadySpan],
    rates: &GyroRates,
) -> Result<GyroEstimate, GyroEstimateError> {
    let heard = heard::<GYRO_DIM>(track, earlier, spans, Some(rates), None)?;
    let errors = heard.gyro_errors();
    Ok(GyroEstimate { flight: heard.flight, errors })
}

/// Estimates the flight again, now with a compass, and with a gyro where there is one that can be used. `earlier` and
/// `spans` are as for [`estimate_with_gyro`].
///
/// What is left of the compass' deviation is found on the way, and how far it can be believed.
///
/// # Errors
/// [`CompassEstimateError`] when the compass' headings lie outside the flight, the gyro cannot be used, or there is no
/// convergence.
pub fn estimate_with_compass(
    track: &Track,
    earlier: &FlightEstimate,
    spans: &[SteadySpan],
    compass: &CompassHeadings,
    gyro: Option<&GyroRates>,
) -> Result<CompassEstimate, CompassEstimateError> {
    let heard = heard::<COMPASS_DIM>(track, earlier, spans, gyro, Some(compass))?;
    if heard.compass_nodes == 0 {
        return Err(CompassEstimateError::NoOverlap);
    }
    let errors = CompassErrors {
        deviation_rad: DEVIATION.map(|part| heard.found(part)),
        heeling: heard.found(HEELING),
        lag_s: heard.found(LAG),
        slow_rad: heard.levels[Level::CompassSlow].sqrt(),
        white_rad: heard.levels[Level::CompassWhite].sqrt(),
        jump: heard.pass.jump,
        nodes: heard.compass_nodes,
    };
    let gyro = gyro.map(|_| heard.gyro_errors());
    Ok(CompassEstimate { flight: heard.flight, errors, gyro })
}

/// A flight estimated with sensors beside the track.
struct Heard<const N: usize> {
    flight: FlightEstimate,
    pass: Pass<N>,
    levels: Levels,
    twist_period_s: f64,
    gyro_nodes: usize,
    compass_nodes: usize,
}

impl<const N: usize> Heard<N> {
    /// A part of the state at the middle of the flight.
    fn found(&self, part: usize) -> Estimate<f64> {
        let middle = self.pass.nodes.len() / 2;
        let functional = pick(part);
        let variance = self.pass.covariance(middle, &functional, &functional);
        Estimate::new(self.pass.nodes[middle].mean[part], variance.max(0.0).sqrt())
    }

    fn gyro_errors(&self) -> GyroErrors {
        GyroErrors {
            bias_rad_s: self.found(BIAS),
            scale: self.found(SCALE),
            clock_s: self.found(CLOCK),
            twist_period_s: self.twist_period_s,
            twist_rad: self.levels[Level::Twist].sqrt(),
            nodes: self.gyro_nodes,
        }
    }
}

fn heard<const N: usize>(
    track: &Track,
    earlier: &FlightEstimate,
    spans: &[SteadySpan],
    gyro: Option<&GyroRates>,
    compass: Option<&CompassHeadings>,
) -> Result<Heard<N>, GyroEstimateError> {
    let mut setting = Setting::after(track, earlier, spans);
    let trajectory = start::resumed::<N>(&setting.nodes, earlier);
    if let Some(rates) = gyro {
        setting.listen_to(rates, &trajectory);
        if setting.gyro.iter().all(Option::is_none) {
            return Err(GyroEstimateError::NoOverlap);
        }
    }
    let mut iteration = Iteration::new(&setting, trajectory);
    let mut twist_period_s = gyro::FIRST_TWIST_PERIOD_S;
    if gyro.is_some() {
        twist_period_s = iteration.twist_found_s(&mut setting);
    }
    if let Some(compass) = compass {
        iteration.settle(&setting);
        setting.look_at(compass);
        iteration.look_on(&setting);
        if gyro.is_none() {
            twist_period_s = iteration.twist_found_s(&mut setting);
        }
    }
    let (flight, pass, levels) = settle(&setting, iteration, spans)?;
    let [gyro_nodes, compass_nodes] = [setting.gyro.iter().flatten().count(), setting.compass.iter().flatten().count()];
    Ok(Heard { flight, pass, levels, twist_period_s, gyro_nodes, compass_nodes })
}

fn settle<const N: usize>(
    setting: &Setting,
    mut iteration: Iteration<N>,
    spans: &[SteadySpan],
) -> Result<(FlightEstimate, Pass<N>, Levels), EstimateError> {
    iteration.settle(setting);
    if let Some(mut other) = iteration.headed_anew(setting) {
        other.settle(setting);
        if other.flies() && other.log_likelihood > iteration.log_likelihood {
            iteration = other;
        }
    }
    let values = iteration.last_pass(setting).means();
    iteration.doubt_scales(setting);
    let edges = setting.edges(spans);
    let dof = if edges.is_empty() { vec![] } else { iteration.degrees_of_freedom(setting, &edges) };
    let pass = iteration.last_pass(setting).with_means(&values);
    if !pass.log_likelihood.is_finite() || !iteration.flies() {
        return Err(EstimateError::Diverged);
    }
    let turns = edges
        .iter()
        .zip(&dof)
        .map(|(edge, dof)| {
            (edge.span, result::window_turn(&pass, edge.first, edge.last, edge.span, *dof, &setting.doubt))
        })
        .collect();
    Ok((assemble(setting, &iteration, &pass, turns), pass, iteration.levels.levels))
}

/// What does not change during the iteration.
struct Setting {
    nodes: Vec<NodeInput>,
    steps: Vec<Step>,
    heights_m: Vec<f64>,
    typical_fixes: f64,
    typical: Levels,
    /// Gyro headings, one per node; empty without a gyro.
    gyro: Vec<Option<GyroReading>>,
    gyro_prior: Option<GyroPrior>,
    /// What the estimate cannot know about the gyro; nothing without one.
    doubt: GyroDoubt,
    /// Compass headings, one per node, rad; empty without a compass.
    compass: Vec<Option<f64>>,
    compass_prior: Option<CompassPrior>,
    /// Least variances of the compass' slow and white error, rad².
    least_compass_rad2: [f64; 2],
}

impl Setting {
    fn new(nodes: Vec<NodeInput>, spans: &[SteadySpan], typical: Levels) -> Self {
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
    fn after(track: &Track, earlier: &FlightEstimate, spans: &[SteadySpan]) -> Self {
        let mut levels = Levels::typical(track.rounding_m);
        if !spans.is_empty() {
            levels = levels.between_windows(&earlier.noise);
        }
        Self::new(nodes::build(track, spans), spans, levels)
    }

    /// Adds a gyro to the measurements; its headings begin where those of the trajectory are.
    fn listen_to<const N: usize>(&mut self, rates: &GyroRates, trajectory: &[Vector<N>]) {
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
    fn look_at(&mut self, compass: &CompassHeadings) {
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
    fn twist_at(&mut self, period_s: f64) {
        for step in &mut self.steps {
            step.gyro = step.gyro.twisting(step.dt_s, period_s);
        }
    }

    /// A search for the levels that starts at some.
    fn search(&self, levels: Levels) -> LevelSearch {
        let search = LevelSearch::new(levels, self.typical);
        if self.compass.is_empty() {
            return search;
        }
        let [slow, white] = self.least_compass_rad2;
        let search = search.with_least(Level::CompassSlow, slow).with_least(Level::CompassWhite, white);
        search.with_only(&Level::OF_A_COMPASS)
    }

    /// The nodes at the edges of each span that has both.
    fn edges(&self, spans: &[SteadySpan]) -> Vec<Edge> {
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
struct Edge {
    span: SteadySpan,
    first: usize,
    last: usize,
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

/// The iteration's own state.
struct Iteration<const N: usize> {
    trajectory: Vec<Vector<N>>,
    weights: Vec<f64>,
    airspeed_scales: Vec<f64>,
    gyro_weights: Vec<f64>,
    compass_weights: Vec<f64>,
    levels: LevelSearch,
    log_likelihood: f64,
    passes: usize,
    settled: bool,
    /// Node list of the last pass, to be written over by the next.
    room: Vec<Smoothed<N>>,
}

impl<const N: usize> Iteration<N> {
    fn new(setting: &Setting, trajectory: Vec<Vector<N>>) -> Self {
        Self {
            trajectory,
            weights: vec![1.0; setting.nodes.len()],
            airspeed_scales: vec![1.0; setting.steps.len()],
            gyro_weights: vec![1.0; setting.gyro.len()],
            compass_weights: vec![1.0; setting.compass.len()],
            levels: setting.search(setting.typical),
            log_likelihood: f64::NEG_INFINITY,
            passes: 0,
            settled: false,
            room: Vec::new(),
        }
    }

    /// Whether the path is one of an aircraft that moves forward through the air.
    fn flies(&self) -> bool {
        let slow = self.trajectory.iter().filter(|x| x[AIRSPEED] < SLOWEST_FLIGHT_MPS).count();
        2 * slow < self.trajectory.len()
    }

    fn last_pass(&mut self, setting: &Setting) -> Pass<N> {
        self.pass_at(setting, &self.levels.levels.clone())
    }

    /// A pass about the present trajectory at some levels.
    fn pass_at(&mut self, setting: &Setting, levels: &Levels) -> Pass<N> {
        let room = std::mem::take(&mut self.room);
        let motion = self.motion(setting);
        smoother::pass(&self.problem(setting, levels, &motion), &self.trajectory, room)
    }

    /// Motion by which a sensor's clock moves the positions; empty without a sensor.
    fn motion(&self, setting: &Setting) -> Vec<Motion> {
        if setting.gyro.is_empty() { vec![] } else { clock::motions(&self.trajectory, &setting.heights_m) }
    }

    fn problem<'a>(&'a self, setting: &'a Setting, levels: &'a Levels, motion: &'a [Motion]) -> Problem<'a, N> {
        let mut prior = smoother::broad_prior(&self.trajectory[0], levels);
        if let Some(compass) = &setting.compass_prior {
            compass.fill(levels, &mut prior);
        }
        if let Some(gyro) = &setting.gyro_prior {
            gyro.fill(levels, &mut prior);
        }
        Problem {
            nodes: &setting.nodes,
            steps: &setting.steps,
            heights_m: &setting.heights_m,
            levels,
            weights: &self.weights,
            airspeed_scales: &self.airspeed_scales,
            typical_fixes: setting.typical_fixes,
            gyro: &setting.gyro,
            gyro_weights: &self.gyro_weights,
            motion,
            compass: &setting.compass,
            compass_weights: &self.compass_weights,
            prior,
        }
    }

    /// Goes on from where it settled without a compass, now with one. What air, aircraft and receiver do is known by then,
    /// and held: a compass that wanders with the flight would teach otherwise.
    fn look_on(&mut self, setting: &Setting) {
        self.levels = setting.search(self.levels.levels);
        self.compass_weights = vec![1.0; setting.compass.len()];
        (self.passes, self.settled) = (0, false);
    }

    /// Finds the period of the twist: a scan, some passes, and a second scan about the best. Returns it.
    fn twist_found_s(&mut self, setting: &mut Setting) -> f64 {
        for _ in 0..PASSES_PER_START {
            self.advance(setting);
        }
        let period_s = self.likeliest_twist_s(setting, &gyro::twist_periods_s());
        self.settle(setting);
        self.likeliest_twist_s(setting, &gyro::twist_periods_about_s(period_s))
    }

    /// Sets the likeliest of some twist periods, at the trajectory and the levels as they are but for a typical twist;
    /// returns it. The iteration goes on from there.
    fn likeliest_twist_s(&mut self, setting: &mut Setting, periods_s: &[f64]) -> f64 {
        let levels = self.levels.levels.with_typical(Level::Twist, &setting.typical);
        let motion = self.motion(setting);
        let mut best = (f64::NEG_INFINITY, gyro::FIRST_TWIST_PERIOD_S);
        for &period_s in periods_s {
            setting.twist_at(period_s);
            let likelihood = smoother::log_likelihood(&self.problem(setting, &levels, &motion), &self.trajectory);
            if likelihood > best.0 {
                best = (likelihood, period_s);
            }
        }
        setting.twist_at(best.1);
        self.levels = setting.search(levels);
        (self.passes, self.settled) = (0, false);
        best.1
    }

    /// Passes until nothing changes.
    fn settle(&mut self, setting: &Setting) {
        while self.passes < MOST_PASSES && !self.settled {
            self.advance(setting);
        }
    }

    /// Widens what was fitted to the pilot's quiet, before uncertainties are read off.
    fn doubt_scales(&mut self, setting: &Setting) {
        for (scale, step) in self.airspeed_scales.iter_mut().zip(&setting.steps) {
            if step.stretch != Stretch::Window {
                *scale *= noise::SCALE_DOUBT;
            }
        }
    }

    /// A new iteration from headings read anew with the wind found, if they come to other full turns.
    fn headed_anew(&self, setting: &Setting) -> Option<Self> {
        let wind = |k: usize| {
            let [east, north] = wind_at(setting.heights_m[k]).map(|f: Vector<N>| f.dot(&self.trajectory[k]));
            Wind::new(east, north)
        };
        let trajectory = start::headed_anew(&setting.nodes, &self.trajectory, wind);
        let apart_rad = |k: usize| trajectory[k][HEADING] - self.trajectory[k][HEADING];
        let turns_lost = (1..trajectory.len()).any(|k| (apart_rad(k) - apart_rad(0)).abs() > std::f64::consts::PI);
        turns_lost.then(|| Self::new(setting, trajectory))
    }

    /// Degrees of freedom behind the uncertainties of each span.
    fn degrees_of_freedom(&mut self, setting: &Setting, edges: &[Edge]) -> Vec<[f64; 2]> {
        let (levels, typical) = (self.levels.levels, setting.typical);
        let edges: Vec<(usize, usize)> = edges.iter().map(|edge| (edge.first, edge.last)).collect();
        level_trust::degrees_of_freedom(&levels, &typical, &edges, |levels| self.pass_at(setting, levels))
    }

    /// One pass: a Gauss-Newton step of the trajectory, then of weights and levels.
    fn advance(&mut self, setting: &Setting) {
        let pass = self.last_pass(setting);
        self.passes += 1;
        self.log_likelihood = pass.log_likelihood;
        let moved_rad = pass.heading_change_from(&self.trajectory);
        for (x, mean) in self.trajectory.iter_mut().zip(pass.means()) {
            *x = state::stepped(x, &mean);
        }
        let mut levels_moved = f64::INFINITY;
        if self.passes > PASSES_BEFORE_LEVELS {
            for (weight, residual) in self.weights.iter_mut().zip(&pass.position_residuals) {
                *weight = huber_weight(*residual);
            }
            for (weight, residual) in self.gyro_weights.iter_mut().zip(&pass.gyro_residuals) {
                *weight = huber_weight(*residual);
            }
            for (weight, residual) in self.compass_weights.iter_mut().zip(&pass.compass_residuals) {
                *weight = huber_weight(*residual);
            }
            for ((scale, square), step) in
                self.airspeed_scales.iter_mut().zip(&pass.airspeed_squares).zip(&setting.steps)
            {
                if step.stretch != Stretch::Window {
                    *scale = noise::student_scale(*square);
                }
            }
            levels_moved = self.levels.advance(&pass.moments);
        }
        self.settled =
            self.passes > PASSES_BEFORE_LEVELS && moved_rad < HEADING_SETTLED_RAD && levels_moved < LEVEL_SETTLED;
        self.room = pass.nodes;
    }
}

/// Weight of a measurement by its residual in standard deviations.
fn huber_weight(residual: f64) -> f64 {
    if residual > HUBER_LIMIT { HUBER_LIMIT / residual } else { 1.0 }
}

fn assemble<const N: usize>(
    setting: &Setting,
    iteration: &Iteration<N>,
    pass: &Pass<N>,
    turns: Vec<(SteadySpan, WindowTurn)>,
) -> FlightEstimate {
    let mut drift_m = [0.0; 2];
    let first = &pass.nodes[0].mean;
    let origin_m = [first[POS_E], first[POS_N]];
    let nodes: Vec<Node> = (0..setting.nodes.len())
        .map(|k| {
            let (input, x) = (&setting.nodes[k], &pass.nodes[k].mean);
            if k > 0 {
                let step = &setting.steps[k - 1];
                let wind = pass.wind(k, step.height_m);
                drift_m = [drift_m[0] + step.dt_s * wind[0], drift_m[1] + step.dt_s * wind[1]];
            }
            let wind = pass.wind(k, setting.heights_m[k]);
            let (rate, rate_slope) = turn_rate(x);
            let std_u = |f: &Vector<N>| pass.covariance(k, f, f).max(0.0).sqrt();
            Node {
                t_s: input.t_s,
                altitude_m: input.altitude_m,
                air_position: Position::new(x[POS_E] - origin_m[0] - drift_m[0], x[POS_N] - origin_m[1] - drift_m[1]),
                wind: Wind::new(wind[0], wind[1]),
                wind_cov: pass.wind_cov(k, setting.heights_m[k]),
                airspeed_mps: Estimate::new(x[AIRSPEED], std_u(&pick(AIRSPEED))),
                heading: Estimate::new(Angle::from_rad(x[HEADING]), Angle::from_rad(std_u(&pick(HEADING)))),
                turn_rate: Estimate::new(TurnRate::from_rad_s(rate), TurnRate::from_rad_s(std_u(&rate_slope))),
                climb_mps: input.climb_mps,
            }
        })
        .collect();
    let mean_airspeed_mps = nodes.iter().map(|n| n.airspeed_mps.value).sum::<f64>() / nodes.len() as f64;
    let observability = observability::judge(&nodes);
    FlightEstimate { nodes, noise: iteration.levels.levels.report(mean_airspeed_mps), observability, turns }
}
