//! The whole-flight estimate: one least-squares problem over the flight, block-tridiagonal in time.
//!
//! Positions (and recorded velocities where the log has them) are explained by a mean wind that changes slowly and
//! with height, gusts, an airspeed, a heading and a turn rate whose steady part is one number inside each hands-off
//! window. Gauss-Newton on the whole flight is run as an iterated smoother (Bell, *SIAM J. Optim.* 4 (1994)
//! 626-636), linear in the number of nodes; the noise levels are estimated from the log on the way.
//!
//! The road: `nodes` (track to nodes) → `scan` and `start` (first trajectories) → `setting` and
//! `iteration`: `smoother` with `dynamics`, `gyro` and `compass` where there are such, (one pass) and `noise` (levels)
//! until nothing changes → `observability` → `result`.

mod clock;
mod compass;
mod dynamics;
mod gyro;
mod heading_row;
mod iteration;
mod level_trust;
mod nodes;
mod noise;
mod observability;
mod result;
mod scan;
mod setting;
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

use driftless_track::Track;
use driftless_units::{Angle, Estimate, Position, TurnRate, Wind};
use iteration::{Iteration, PASSES_PER_START};
use noise::{Level, Levels};
use setting::Setting;
use smoother::Pass;
use start::StartAir;
use state::{
    AIRSPEED, BIAS, CLOCK, COMPASS_DIM, DEVIATION, DIM, GYRO_DIM, HEADING, HEELING, LAG, POS_E, POS_N, SCALE, Vector,
    pick, turn_rate,
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
/// Starts closer than this to one already tried are left out, m/s: they end in the same place.
const SAME_START_MPS: f64 = 2.0;

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
