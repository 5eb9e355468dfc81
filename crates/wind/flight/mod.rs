//! The whole-flight estimate: one least-squares problem over the flight, block-tridiagonal in time.
//!
//! Positions (and recorded velocities where the log has them) are explained by a mean wind that changes slowly and
//! with height, gusts, an airspeed, a heading and a turn rate whose steady part is one number inside each hands-off
//! window. Gauss-Newton on the whole flight is run as an iterated smoother (Bell, *SIAM J. Optim.* 4 (1994)
//! 626-636), linear in the number of nodes; the noise levels are estimated from the log on the way.
//!
//! The road: `nodes` (path to nodes) → `scan`, `start` and `start_search` (first trajectories) → `setting` and
//! `iteration`: `smoother` (one pass, over the `blocks` that the estimate is composed of) and `level_search` (noise levels)
//! until nothing changes → `observability` → `result`.

mod blocks;
mod clock;
mod compass;
pub mod constants;
mod damping;
mod gyro;
mod gyro_headings;
mod iteration;
mod level_search;
mod level_trust;
mod markov;
mod measurement;
mod nodes;
mod noise;
mod observability;
mod pass;
mod result;
mod rivals;
mod scan;
mod setting;
mod smoother;
mod smoothing;
mod smoothing_search;
mod start;
mod start_search;
mod state;
mod step;
#[cfg(test)]
mod tests;

pub use blocks::{parts, sensor_parts};
pub use compass::{
    CompassErrors, CompassEstimate, CompassEstimateError, CompassHeadings, CompassReading, DeviationStdU, Jump,
};
pub use gyro::{GyroDoubt, GyroErrors, GyroEstimate, GyroEstimateError, GyroIncrement, GyroRates};
pub use observability::{Observability, UnclearWind};
pub use result::{FlightEstimate, Node, NoiseLevels, Settling, WindowTurn};
pub use rivals::{Rival, estimate_rivals};
pub use smoothing::Smoothing;

use blocks::aircraft::{AIRSPEED, HEADING, POS_E, POS_N, turn_rate};
use blocks::compass::CompassStates;
use blocks::gyro::GyroStates;
use blocks::{COMPASS_DIM, DIM, GYRO_COMPASS_DIM, GYRO_DIM, Layout};
use constants::{FEWEST_NODES, FIRST_TWIST_PERIOD_S};
use driftless_units::{Angle, Estimate, GroundPath, Position, TurnRate, Wind};
use iteration::Iteration;
use level_trust::{AtLevels, degrees_of_freedom};
use noise::{Level, Levels};
use pass::Pass;
use setting::Setting;
use smoother::Depth;
use start::StartAir;
use state::Functional;

/// A span of time within which the turn rate is steady but for turbulence, seconds from the path's epoch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteadySpan {
    /// Start, after the let-go transient.
    pub start_s: f64,
    /// End, before take-over.
    pub end_s: f64,
    /// Whether somebody marked it: then power and trim were set for it, and the airspeed may have changed with them nearby. What only looks
    /// like a window may be any straight flight.
    pub marked: bool,
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
    #[error("{nodes} nodes, {needed} needed")]
    TooShort {
        /// Nodes there are.
        nodes: usize,
        /// Nodes needed.
        needed: usize,
    },
    /// The log holds no flight.
    #[error("no flight")]
    OnTheGround,
    /// The iteration ran away.
    #[error("no convergence")]
    Diverged,
}

/// Estimates the flight without any window: the turn rate is free everywhere. The likeliest of the `starts` and of a
/// scan's own wins.
///
/// The wind is not let change here ([`FlightEstimate::wind_changes_s`] stays empty): while no window is known, what the pilot
/// does with brakes and throttle passes for a change of the wind. Nor does it settle but roughly. It is a first look, on which
/// windows are found; [`estimate_with_windows`] goes on from it, with spans or without.
///
/// # Errors
/// [`EstimateError`] when there is too little flight, or no convergence.
pub fn estimate(path: &GroundPath, starts: &[StartGuess]) -> Result<FlightEstimate, EstimateError> {
    let nodes = nodes::build(path, &[]);
    let needed = FEWEST_NODES.value as usize;
    if nodes.len() < needed {
        return Err(EstimateError::TooShort { nodes: nodes.len(), needed });
    }
    let setting = Setting::new(nodes, &[], Levels::typical(path.rounding_m), Layout::new(false, false));
    let starts = starts.iter().map(StartAir::from).chain(scan::starts(&setting.nodes, &setting.heights_m));
    let mut best = start_search::likeliest::<DIM>(&setting, starts).ok_or(EstimateError::Diverged)?;
    best.settle_roughly(&setting);
    match smoothing_search::find(path, &setting, &mut best) {
        Some((setting, iteration)) => Ok(finish(&setting, iteration, &[], Changes::LeftAlone)?.0),
        None => Ok(finish(&setting, best, &[], Changes::LeftAlone)?.0),
    }
}

/// Estimates the flight again, now with the windows known. `spans` are their steady spans, in time order, not
/// overlapping.
///
/// # Errors
/// [`EstimateError`] when there is no convergence.
pub fn estimate_with_windows(
    path: &GroundPath,
    free: &FlightEstimate,
    spans: &[SteadySpan],
) -> Result<FlightEstimate, EstimateError> {
    resumable(path, free, spans)?;
    let setting = Setting::after(path, free, spans, Layout::new(false, false));
    let iteration = Iteration::<DIM>::resumed(&setting, free);
    Ok(finish(&setting, iteration, spans, Changes::Found)?.0)
}

/// [`estimate_with_windows`] after so many passes, whether they settle or not: what a settled estimate is held against.
///
/// # Errors
/// As there.
pub fn estimate_with_windows_after(
    path: &GroundPath,
    free: &FlightEstimate,
    spans: &[SteadySpan],
    passes: usize,
) -> Result<FlightEstimate, EstimateError> {
    resumable(path, free, spans)?;
    let setting = Setting::after(path, free, spans, Layout::new(false, false));
    let mut iteration = Iteration::<DIM>::resumed(&setting, free);
    for _ in 0..passes {
        iteration.advance(&setting);
    }
    Ok(finish(&setting, iteration, spans, Changes::Found)?.0)
}

/// An earlier estimate can be gone on from only where it and the path hold a flight.
fn resumable(path: &GroundPath, earlier: &FlightEstimate, spans: &[SteadySpan]) -> Result<(), EstimateError> {
    let nodes = if earlier.nodes.is_empty() { 0 } else { nodes::build(path, spans).len() };
    let needed = FEWEST_NODES.value as usize;
    if nodes < needed {
        return Err(EstimateError::TooShort { nodes, needed });
    }
    Ok(())
}

/// The times at which an estimate with these spans has its nodes, seconds from the path's epoch.
pub fn node_times(path: &GroundPath, spans: &[SteadySpan]) -> Vec<f64> {
    nodes::build(path, spans).iter().map(|node| node.t_s).collect()
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
    path: &GroundPath,
    earlier: &FlightEstimate,
    spans: &[SteadySpan],
    rates: &GyroRates,
) -> Result<GyroEstimate, GyroEstimateError> {
    let found = estimate_with_sensors::<GYRO_DIM>(path, earlier, spans, Some(rates), None)?;
    found.gyro.map(|errors| GyroEstimate { flight: found.flight, errors }).ok_or(GyroEstimateError::NoOverlap)
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
    path: &GroundPath,
    earlier: &FlightEstimate,
    spans: &[SteadySpan],
    compass: &CompassHeadings,
    gyro: Option<&GyroRates>,
) -> Result<CompassEstimate, CompassEstimateError> {
    let found = match gyro {
        Some(_) => estimate_with_sensors::<GYRO_COMPASS_DIM>(path, earlier, spans, gyro, Some(compass)),
        None => estimate_with_sensors::<COMPASS_DIM>(path, earlier, spans, None, Some(compass)),
    }?;
    let errors = found.compass.ok_or(CompassEstimateError::NoOverlap)?;
    Ok(CompassEstimate { flight: found.flight, errors, gyro: found.gyro })
}

/// A flight estimated with sensors beside the receiver, and what was found about those that had a reading.
struct WithSensors {
    flight: FlightEstimate,
    gyro: Option<GyroErrors>,
    compass: Option<CompassErrors>,
}

fn estimate_with_sensors<const N: usize>(
    path: &GroundPath,
    earlier: &FlightEstimate,
    spans: &[SteadySpan],
    gyro: Option<&GyroRates>,
    compass: Option<&CompassHeadings>,
) -> Result<WithSensors, GyroEstimateError> {
    resumable(path, earlier, spans)?;
    let layout = Layout::new(gyro.is_some(), compass.is_some());
    let mut setting = Setting::after(path, earlier, spans, layout);
    let trajectory = start::resumed::<N>(&setting.nodes, earlier);
    if let Some(rates) = gyro {
        setting.add_gyro(rates, &trajectory);
        if setting.blocks.gyro.as_ref().is_none_or(|gyro| gyro.nodes() == 0) {
            return Err(GyroEstimateError::NoOverlap);
        }
    }
    let mut iteration = Iteration::new(&setting, trajectory, Vec::new());
    let mut twist_period_s = FIRST_TWIST_PERIOD_S.value;
    if gyro.is_some() {
        twist_period_s = iteration.find_twist_period_s(&mut setting);
    }
    if let Some(compass) = compass {
        iteration.settle(&setting);
        setting.add_compass(compass);
        iteration.resume_with_compass(&setting);
        if gyro.is_none() {
            twist_period_s = iteration.find_twist_period_s(&mut setting);
        }
    }
    let (flight, pass, levels) = finish(&setting, iteration, spans, Changes::Found)?;
    let gyro = setting.blocks.gyro.as_ref().map(|gyro| {
        let GyroStates { bias, scale, clock, .. } = gyro.states;
        GyroErrors {
            bias_rad_s: at_the_middle(&pass, bias),
            scale: at_the_middle(&pass, scale),
            clock_s: at_the_middle(&pass, clock),
            twist_period_s,
            twist_rad: levels[Level::TWIST].sqrt(),
            nodes: gyro.nodes(),
        }
    });
    let compass = setting.blocks.compass.as_ref().filter(|compass| compass.nodes() > 0).map(|compass| {
        let CompassStates { deviation, heeling, lag, .. } = compass.states;
        CompassErrors {
            deviation_rad: deviation.map(|part| at_the_middle(&pass, part)),
            heeling: at_the_middle(&pass, heeling),
            lag_s: at_the_middle(&pass, lag),
            slow_rad: levels[Level::COMPASS_SLOW].sqrt(),
            white_rad: levels[Level::COMPASS_WHITE].sqrt(),
            jump: pass.by_products.jump,
            nodes: compass.nodes(),
        }
    });
    Ok(WithSensors { flight, gyro, compass })
}

/// A part of the state at the middle of the flight.
fn at_the_middle<const N: usize>(pass: &Pass<N>, part: usize) -> Estimate<f64> {
    let middle = pass.nodes.len() / 2;
    Estimate::new(pass.nodes[middle].mean[part], pass.std_u(middle, &Functional::pick(part)))
}

/// What becomes of lasting changes of the wind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Changes {
    /// They are looked for, and the wind is let change there.
    Found,
    /// They are not looked for.
    LeftAlone,
}

/// Lets an iteration settle, and reads the flight and the turns of its windows from it.
fn finish<const N: usize>(
    setting: &Setting,
    mut iteration: Iteration<N>,
    spans: &[SteadySpan],
    changes: Changes,
) -> Result<(FlightEstimate, Pass<N>, Levels), EstimateError> {
    let settle = |iteration: &mut Iteration<N>| match changes {
        Changes::Found => iteration.settle_in_changing_wind(setting),
        Changes::LeftAlone => iteration.settle_roughly(setting),
    };
    settle(&mut iteration);
    if let Some(mut other) = iteration.reinitialise_headings(setting) {
        settle(&mut other);
        if other.flies() && other.log_likelihood > iteration.log_likelihood {
            iteration = other;
        }
    }
    let values = iteration.smoothed(setting);
    iteration.inflate_airspeed_noise(setting);
    let edges = setting.edges(spans);
    let at_moved_levels = (!edges.is_empty()).then(|| iteration.at_moved_levels(setting, &edges));
    let pass = iteration.pass(setting, Depth::Covariances);
    let at_found_levels = AtLevels::read(&pass, &iteration.levels.levels, &setting.typical, &edges);
    let dof = at_moved_levels.map_or_else(Vec::new, |moved| degrees_of_freedom(&at_found_levels, &moved));
    let pass = pass.with_means(&values);
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
            let (input, x) = (&setting.nodes[k], pass.nodes[k].mean.as_slice());
            if k > 0 {
                let before = &setting.intervals[k - 1];
                let wind = pass.wind(k, before.height_m);
                drift_m = [drift_m[0] + before.dt_s * wind[0], drift_m[1] + before.dt_s * wind[1]];
            }
            let wind = pass.wind(k, setting.heights_m[k]);
            let (rate, rate_slope) = turn_rate(x);
            let std_u = |part| pass.std_u(k, &Functional::pick(part));
            Node {
                t_s: input.t_s,
                altitude_m: input.altitude_m,
                air_position: Position::new(x[POS_E] - origin_m[0] - drift_m[0], x[POS_N] - origin_m[1] - drift_m[1]),
                wind: Wind::new(wind[0], wind[1]),
                wind_cov: pass.wind_cov(k, setting.heights_m[k]),
                airspeed_mps: Estimate::new(x[AIRSPEED], std_u(AIRSPEED)),
                heading: Estimate::new(Angle::from_rad(x[HEADING]), Angle::from_rad(std_u(HEADING))),
                turn_rate: Estimate::new(TurnRate::from_rad_s(rate), TurnRate::from_rad_s(pass.std_u(k, &rate_slope))),
                climb_mps: input.climb_mps,
            }
        })
        .collect();
    let mean_airspeed_mps = nodes.iter().map(|n| n.airspeed_mps.value).sum::<f64>() / nodes.len() as f64;
    let observability = observability::judge(&nodes);
    let (noise, settling) = (iteration.levels.levels.report(mean_airspeed_mps), iteration.settling());
    FlightEstimate {
        smoothing: setting.smoothing,
        wind_changes_s: in_order(&iteration.wind_changes_s),
        nodes,
        noise,
        observability,
        settling,
        turns,
        rivals: Vec::new(),
    }
}

fn in_order(times_s: &[f64]) -> Vec<f64> {
    let mut times_s = times_s.to_vec();
    times_s.sort_by(f64::total_cmp);
    times_s
}
