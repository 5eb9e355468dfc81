//! Gyro headings as measurements: what they say, with which errors, and how one of them moves the estimate.
//!
//! The gyro's increments are summed to a heading of its own. At every node it is the heading, plus a drift (bias, scale
//! error and white noise, summed from step to step), plus the twist of whoever carries the sensor about the aircraft, plus
//! an error of this node alone. So the errors at the ends of a window enter its turn once each, not once a second, and bias,
//! scale and clock (which moves the positions instead: [`super::clock`]) are found together with the flight.
//!
//! A pilot twists under his wing at a pace of his own, and the strength comes and goes within some swings: a stochastic
//! cycle (A. C. Harvey, *Forecasting, Structural Time Series Models and the Kalman Filter* (1989), section 2.3; from
//! memory). Its strength is a noise level like the others, its period the likeliest of a scan. Rotation about the vertical says nothing
//! about where north is: the drift starts unknown, and again after every gap.

use super::clock::evened_out;
use super::heading_row::HeadingRow;
use super::nodes::NodeInput;
use super::noise::{Level, Levels, TYPICAL_AIRSPEED_MPS};
use super::state::{BIAS, CLOCK, DRIFT, HEADING, Matrix, SCALE, TWIST, TWIST_TURNED, Vector, pick};
use super::{EstimateError, FlightEstimate};
use driftless_units::{Estimate, GRAVITY_MPS2};
use nalgebra::SMatrix;

/// What a gyro says about the turn between two times, seconds from the track's epoch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GyroIncrement {
    /// Start.
    pub start_s: f64,
    /// End.
    pub end_s: f64,
    /// Heading change about the vertical, right positive, rad; bias left in.
    pub turn_rad: f64,
    /// Standard uncertainty of the heading at each end, rad. It belongs to the moment: where one increment ends and the
    /// next begins it is the same error, and it falls out of their sum.
    pub end_std_u_rad: f64,
    /// Standard uncertainty of the change by the gyro's white noise, rad: independent from one increment to the next.
    pub white_std_u_rad: f64,
}

/// The turns a gyro saw over a flight, and how well it was known before the flight was looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct GyroRates {
    /// In time order, not overlapping; what does not abut is a gap. Best laid on [`super::node_times`]; else short, as
    /// they are split in proportion where a node falls inside one. The swing is better not averaged out of them: the
    /// estimate follows it, and an average takes some of the turn's own wander along.
    pub increments: Vec<GyroIncrement>,
    /// Bias left in every rate, rad/s, before the track is looked at.
    pub bias_rad_s: Estimate<f64>,
    /// Random walk of the bias, rad/s per √s.
    pub bias_walk: f64,
    /// Standard uncertainty of the scale before the track is looked at.
    pub scale_std_u: f64,
    /// Standard uncertainty of the times above before the track is looked at, common to all, s.
    pub clock_std_u_s: f64,
    /// What the estimate cannot know about the gyro's headings.
    pub doubt: GyroDoubt,
}

/// Errors of gyro headings beyond what the estimate knows of them, as standard uncertainties; 0 for a perfect model.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct GyroDoubt {
    /// Share of a turn by which the scale found may be off.
    pub scale: f64,
    /// Heading at either end of a window, rad.
    pub end_rad: f64,
}

impl GyroDoubt {
    /// Of the turn of a window.
    pub(super) fn of_turn_rad(&self, turn_rad: f64) -> f64 {
        (self.scale * turn_rad).hypot(std::f64::consts::SQRT_2 * self.end_rad)
    }
}

/// An estimate made with a gyro, and what it found about the gyro.
#[derive(Debug, Clone)]
pub struct GyroEstimate {
    /// The flight.
    pub flight: FlightEstimate,
    /// The gyro.
    pub errors: GyroErrors,
}

/// Errors of a gyro, found together with the flight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GyroErrors {
    /// Bias left in the rates at the middle of the flight, rad/s.
    pub bias_rad_s: Estimate<f64>,
    /// Scale error left in the rates: they are too large by this share.
    pub scale: Estimate<f64>,
    /// What is to be added to the times of the increments, s. An axis that is pitched acts the same, and its part of the
    /// uncertainty is not in this one.
    pub clock_s: Estimate<f64>,
    /// Period of the twist of whoever carries the sensor about the aircraft, s.
    pub twist_period_s: f64,
    /// Its root mean square, rad.
    pub twist_rad: f64,
    /// Nodes of the estimate with a gyro heading.
    pub nodes: usize,
}

/// Why the gyro could not be used.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum GyroEstimateError {
    /// No node of the flight has a gyro heading.
    #[error("the gyro's turns do not lie within this flight")]
    NoOverlap,
    /// As without a gyro.
    #[error(transparent)]
    Estimate(#[from] EstimateError),
}

/// Nodes nearer than this to the end of an increment take its heading, s: 10 °/s turn 0.01° in it.
const SAME_TIME_S: f64 = 1e-3;
/// Longer increments are not split, s: the turn rate changes too much inside.
const LONGEST_SPLIT_S: f64 = 1.5;
/// Unknown drift at the start and after a gap: the gyro's heading is set to that of the trajectory, which may be off by
/// this, rad.
const DRIFT_OPEN_RAD: f64 = 3.0;

/// Correlation time of the twist's strength, s: it comes and goes within some swings (common practice, no source).
const TWIST_TAU_S: f64 = 10.0;
/// Twist periods that are tried, rad/s: 2.1 s, just above twice the time between nodes, to 6.6 s.
const TWIST_PACES: [f64; 2] = [0.95, 3.0];
/// Step between them, rad/s: the width of the resonance is two over its correlation time.
const PACE_STEP: f64 = 0.2;
/// Step of the second look about the best.
const FINE_PACE_STEP: f64 = 0.05;
/// Twist period before the scan, s.
pub(super) const FIRST_TWIST_PERIOD_S: f64 = 3.5;

/// Scale error per bias of the axis across, s: banked by φ, the gyro sees that bias times sin φ in its heading rate, and
/// tan φ = V ω / g makes it V / g per turn rate (coordinated turn), here at a typical airspeed.
const SCALE_PER_BIAS_S: f64 = TYPICAL_AIRSPEED_MPS / GRAVITY_MPS2;

/// The scale belongs to turns evened out over so many steps on either side, longer than a twist: with the twist in them,
/// what the pilot does would speak for a scale that makes it smaller.
const EVENED_STEPS: usize = 4;

/// The periods of a first scan, s.
pub(super) fn twist_periods_s() -> Vec<f64> {
    let count = ((TWIST_PACES[1] - TWIST_PACES[0]) / PACE_STEP).round() as u32;
    (0..=count).map(|k| std::f64::consts::TAU / (TWIST_PACES[0] + PACE_STEP * f64::from(k))).collect()
}

/// Those of a second look about one, s.
pub(super) fn twist_periods_about_s(period_s: f64) -> Vec<f64> {
    let pace = std::f64::consts::TAU / period_s;
    (-2..=2).map(|k| std::f64::consts::TAU / (pace + FINE_PACE_STEP * f64::from(k))).collect()
}

/// The gyro's heading at one node.
#[derive(Debug, Clone, Copy)]
pub(super) struct GyroReading {
    pub(super) heading_rad: f64,
    pub(super) variance_rad2: f64,
    /// Variance of the white noise summed since the stretch began.
    summed_rad2: f64,
    /// Number of the stretch without gaps that it belongs to.
    stretch: usize,
}

/// What the gyro says about one step.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct GyroStep {
    turn_rad: f64,
    /// Variance that the drift gains.
    walk_rad2: f64,
    /// Variance that the bias gains, (rad/s)² per s.
    bias_walk2: f64,
    twist: TwistStep,
    /// Whether there are readings at both ends, so that the step speaks for the twist's level.
    pub(super) seen: bool,
}

/// A step of a flight with a compass and no gyro: twist is all that a gyro would have seen.
pub(super) fn twist_only() -> GyroStep {
    GyroStep { seen: true, ..GyroStep::default() }
}

/// The twist over one step: what is left of it, turned on by its period.
#[derive(Debug, Clone, Copy, Default)]
struct TwistStep {
    cos: f64,
    sin: f64,
    /// Variance gained per unit of the stationary one.
    gained: f64,
}

impl TwistStep {
    fn new(dt_s: f64, period_s: f64) -> Self {
        let decay = (-dt_s / TWIST_TAU_S).exp();
        let (sin, cos) = (std::f64::consts::TAU * dt_s / period_s).sin_cos();
        Self { cos: decay * cos, sin: decay * sin, gained: -(-2.0 * dt_s / TWIST_TAU_S).exp_m1() }
    }
}

impl GyroStep {
    /// Replaces `m` by F·m in the rows of the gyro. The others must still be as before the step, or not matter.
    pub(super) fn apply<const N: usize, const C: usize>(&self, dt_s: f64, m: &mut SMatrix<f64, N, C>) {
        for c in 0..C {
            m[(DRIFT, c)] += dt_s * m[(BIAS, c)] + self.turn_rad * m[(SCALE, c)];
            let (a, b) = (m[(TWIST, c)], m[(TWIST_TURNED, c)]);
            m[(TWIST, c)] = self.twist.cos * a - self.twist.sin * b;
            m[(TWIST_TURNED, c)] = self.twist.sin * a + self.twist.cos * b;
        }
    }

    /// Replaces `m` by Fᵀ·m in the rows of the gyro.
    pub(super) fn apply_transposed<const N: usize, const C: usize>(&self, dt_s: f64, m: &mut SMatrix<f64, N, C>) {
        for c in 0..C {
            let drift = m[(DRIFT, c)];
            m[(BIAS, c)] += dt_s * drift;
            m[(SCALE, c)] += self.turn_rad * drift;
            let (a, b) = (m[(TWIST, c)], m[(TWIST_TURNED, c)]);
            m[(TWIST, c)] = self.twist.cos * a + self.twist.sin * b;
            m[(TWIST_TURNED, c)] = self.twist.cos * b - self.twist.sin * a;
        }
    }

    /// The same step with another period of the twist.
    pub(super) fn twisting(mut self, dt_s: f64, period_s: f64) -> Self {
        self.twist = TwistStep::new(dt_s, period_s);
        self
    }

    /// Variance of a twist disturbance of this step per unit of the twist's variance.
    pub(super) fn twist_gain(&self) -> f64 {
        self.twist.gained
    }

    /// Sets the variances of the step's disturbances: white noise, a bias that walks, and the twist.
    pub(super) fn disturb<const N: usize>(&self, dt_s: f64, levels: &Levels, q: &mut Matrix<N>) {
        for part in [TWIST, TWIST_TURNED] {
            q[(part, part)] = levels[Level::Twist] * self.twist.gained;
        }
        let walk = self.bias_walk2;
        q[(BIAS, BIAS)] = walk * dt_s;
        q[(SCALE, SCALE)] = walk * SCALE_PER_BIAS_S * SCALE_PER_BIAS_S * dt_s;
        q[(DRIFT, BIAS)] = walk * dt_s * dt_s / 2.0;
        q[(BIAS, DRIFT)] = q[(DRIFT, BIAS)];
        q[(DRIFT, DRIFT)] = self.walk_rad2 + walk * dt_s * dt_s * dt_s / 3.0;
    }
}

/// Prior of the gyro's part of the first state.
#[derive(Debug, Clone, Copy)]
pub(super) struct GyroPrior {
    bias_rad_s: Estimate<f64>,
    scale_std_u: f64,
    clock_std_u_s: f64,
}

impl GyroPrior {
    pub(super) fn new(rates: &GyroRates) -> Self {
        let GyroRates { bias_rad_s, scale_std_u, clock_std_u_s, .. } = *rates;
        Self { bias_rad_s, scale_std_u, clock_std_u_s }
    }

    /// Fills the gyro's part of a prior.
    pub(super) fn fill<const N: usize>(&self, levels: &Levels, (mean, cov): &mut (Vector<N>, Matrix<N>)) {
        let twist_rad = levels[Level::Twist].sqrt();
        for (part, value, sd) in [
            (DRIFT, 0.0, DRIFT_OPEN_RAD),
            (BIAS, self.bias_rad_s.value, self.bias_rad_s.std_u),
            (SCALE, 0.0, self.scale_std_u),
            (CLOCK, 0.0, self.clock_std_u_s),
            (TWIST, 0.0, twist_rad),
            (TWIST_TURNED, 0.0, twist_rad),
        ] {
            mean[part] = value;
            cov[(part, part)] = sd * sd;
        }
    }
}

/// The gyro's heading where increments meet.
struct Knot {
    t_s: f64,
    heading_rad: f64,
    end_rad2: f64,
    summed_rad2: f64,
    stretch: usize,
}

fn knots(rates: &GyroRates) -> Vec<Knot> {
    let mut knots: Vec<Knot> = Vec::with_capacity(rates.increments.len() + 1);
    for increment in &rates.increments {
        let end_rad2 = increment.end_std_u_rad.powi(2);
        let before_s = knots.last().map_or(f64::NEG_INFINITY, |k| k.t_s);
        if increment.end_s <= increment.start_s || increment.start_s < before_s - SAME_TIME_S {
            continue;
        }
        if increment.start_s > before_s + SAME_TIME_S {
            let stretch = knots.last().map_or(0, |k| k.stretch + 1);
            knots.push(Knot { t_s: increment.start_s, heading_rad: 0.0, end_rad2, summed_rad2: 0.0, stretch });
        }
        let Some(last) = knots.last() else { continue };
        knots.push(Knot {
            t_s: increment.end_s,
            heading_rad: last.heading_rad + increment.turn_rad,
            end_rad2,
            summed_rad2: last.summed_rad2 + increment.white_std_u_rad.powi(2),
            stretch: last.stretch,
        });
    }
    knots
}

/// The gyro's heading at each node; `headings_rad` are those of a trajectory, near which each stretch begins.
pub(super) fn readings(rates: &GyroRates, nodes: &[NodeInput], headings_rad: &[f64]) -> Vec<Option<GyroReading>> {
    let knots = knots(rates);
    let mut readings: Vec<Option<GyroReading>> = nodes.iter().map(|node| reading_at(&knots, node.t_s)).collect();
    let mut level: Option<(usize, f64)> = None;
    for (reading, heading_rad) in readings.iter_mut().zip(headings_rad) {
        let Some(reading) = reading else { continue };
        let shift_rad = match level {
            Some((stretch, shift_rad)) if stretch == reading.stretch => shift_rad,
            _ => heading_rad - reading.heading_rad,
        };
        level = Some((reading.stretch, shift_rad));
        reading.heading_rad += shift_rad;
    }
    readings
}

fn reading_at(knots: &[Knot], t_s: f64) -> Option<GyroReading> {
    let i = knots.partition_point(|k| k.t_s < t_s - SAME_TIME_S);
    let after = knots.get(i)?;
    let joined = |a: Option<&Knot>| a.is_some_and(|a| a.stretch == after.stretch);
    let before = i.checked_sub(1).and_then(|i| knots.get(i)).filter(|b| joined(Some(b)));
    if after.t_s <= t_s + SAME_TIME_S {
        return Some(GyroReading {
            heading_rad: after.heading_rad,
            variance_rad2: after.end_rad2,
            summed_rad2: after.summed_rad2,
            stretch: after.stretch,
        });
    }
    let before = before.filter(|b| after.t_s - b.t_s <= LONGEST_SPLIT_S)?;
    let share = (t_s - before.t_s) / (after.t_s - before.t_s);
    let mix = |of: fn(&Knot) -> f64| of(before) + share * (of(after) - of(before));
    Some(GyroReading {
        heading_rad: mix(|k| k.heading_rad),
        variance_rad2: mix(|k| k.end_rad2),
        summed_rad2: mix(|k| k.summed_rad2),
        stretch: after.stretch,
    })
}

/// What the readings say about the step between two nodes.
pub(super) fn step(from: Option<GyroReading>, to: Option<GyroReading>, bias_walk: f64) -> GyroStep {
    let bias_walk2 = bias_walk * bias_walk;
    match (from, to) {
        (Some(from), Some(to)) if from.stretch == to.stretch => GyroStep {
            turn_rad: to.heading_rad - from.heading_rad,
            walk_rad2: to.summed_rad2 - from.summed_rad2,
            bias_walk2,
            twist: TwistStep::default(),
            seen: true,
        },
        _ => GyroStep { walk_rad2: DRIFT_OPEN_RAD * DRIFT_OPEN_RAD, bias_walk2, ..GyroStep::default() },
    }
}

/// Steps in which the turns that a scale error belongs to are evened out.
pub(super) fn without_twist(mut steps: Vec<GyroStep>) -> Vec<GyroStep> {
    let turns_rad: Vec<f64> = steps.iter().map(|step| step.turn_rad).collect();
    for (step, turn_rad) in steps.iter_mut().zip(evened_out(&turns_rad, EVENED_STEPS)) {
        if step.seen {
            step.turn_rad = turn_rad;
        }
    }
    steps
}

impl GyroReading {
    /// The reading as the filter takes it: heading, drift and twist.
    pub(super) fn observed<const N: usize>(&self) -> HeadingRow<N> {
        HeadingRow {
            row: pick::<N>(HEADING) + pick::<N>(DRIFT) + pick::<N>(TWIST),
            value_rad: self.heading_rad,
            variance_rad2: self.variance_rad2,
        }
    }
}
