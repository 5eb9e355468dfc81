//! Every solution of a flight that does not tell its wind.
//!
//! Straight into the wind the log shows the difference of airspeed and wind, and the acceleration across the path, which is the
//! airspeed times the turn rate. Neither airspeed nor wind can then be stated, but the turn rate can, as closely as the airspeed
//! is believed. The flight is estimated again with its airspeed held near each of a row of values, from starts that head all around
//! the compass, at noise levels found once. Each solution weighs what was believed of its airspeed beforehand, times a power of the
//! likelihood of the log below one: the model is surer than it is right (Grünwald & van Ommen, *Bayesian Analysis* 12 (2017)
//! 1069-1103, from memory: posteriors of a model that is wrong in places, with a tempered likelihood). A turn rate is the mean of
//! all solutions; its variance is what each leaves open, and how far they lie apart.

mod mixture;

use super::blocks::air::wind_at;
use super::blocks::aircraft::AIRSPEED;
use super::blocks::{DIM, Layout};
use super::constants::{
    BELIEVED_AIRSPEED_MPS, BELIEVED_AIRSPEED_STD_U_MPS, BELIEVED_LIKELIHOOD_SHARE, BELIEVED_WIND_MPS,
    FASTEST_TRIED_MPS, HELD_NODE_MPS, PASSES_PER_START, RULED_OUT_LN, SLOWEST_TRIED_MPS, TRIED_HEADINGS,
    TRIED_STEP_MPS,
};
use super::iteration::Iteration;
use super::result::{self, FlightEstimate};
use super::setting::Setting;
use super::smoother::Depth;
use super::start::{self, StartAir};
use super::{EstimateError, StartGuess, SteadySpan, WindowTurn, assemble, resumable};
use driftless_units::{Ground, GroundPath, Velocity, Wind};
use std::f64::consts::TAU;

/// A solution of a flight that others fit nearly as well.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rival {
    /// Its airspeed, mean of the flight, m/s.
    pub airspeed_mps: f64,
    /// Its wind, mean of the flight.
    pub wind: Wind,
    /// How likely it is among all of them: they add up to one.
    pub weight: f64,
}

/// A solution with its airspeed held near one value.
type Solution = Iteration<DIM>;

/// Estimates a flight whose wind is not observable again, by every solution that its log does not rule out. `unclear` is its
/// estimate with windows, `spans` are the same. Nodes, levels and the rest are those of the heaviest solution, the turns of all
/// of them together, [`FlightEstimate::rivals`] their list; the wind stays as unobservable as it was.
///
/// # Errors
/// [`EstimateError`] when no solution flies.
pub fn estimate_rivals(
    path: &GroundPath,
    unclear: &FlightEstimate,
    spans: &[SteadySpan],
) -> Result<FlightEstimate, EstimateError> {
    resumable(path, unclear, spans)?;
    let mut setting = Setting::after(path, unclear, spans, Layout::new(false, false));
    setting.blocks.air.believe_wind_mps(BELIEVED_WIND_MPS.value);
    let mut solutions = solutions(&mut setting).ok_or(EstimateError::Diverged)?;
    let weights = mixture::weights(&solutions.iter().map(|s| s.ln_weight).collect::<Vec<f64>>());
    let edges = setting.edges(spans);
    let dof = |span: SteadySpan| {
        unclear.window_turn(span).map_or([f64::INFINITY; 2], |t| [t.turn_rate.dof, t.steady_rate.dof])
    };
    let mut heaviest: Option<(f64, FlightEstimate)> = None;
    let mut rivals = Vec::new();
    let mut turns: Vec<Vec<WindowTurn>> = vec![Vec::new(); edges.len()];
    for (Weighed { airspeed_mps, solution, .. }, &weight) in solutions.iter_mut().zip(&weights) {
        hold(&mut setting, *airspeed_mps);
        let airspeed_mps = mean_over(solution, |_, state| state[AIRSPEED]);
        rivals.push(Rival { airspeed_mps, wind: mean_wind(&setting, solution), weight });
        let values = solution.smoothed(&setting);
        solution.inflate_airspeed_noise(&setting);
        let pass = solution.pass(&setting, Depth::Covariances).with_means(&values);
        for (turns, edge) in turns.iter_mut().zip(&edges) {
            turns.push(result::window_turn(&pass, edge.first, edge.last, edge.span, dof(edge.span), &setting.doubt));
        }
        if heaviest.as_ref().is_none_or(|(most, _)| weight > *most) {
            heaviest = Some((weight, assemble(&setting, solution, &pass, Vec::new())));
        }
    }
    let (_, heaviest) = heaviest.ok_or(EstimateError::Diverged)?;
    let turns = edges.iter().zip(&turns).map(|(edge, turns)| (edge.span, mixture::turn(turns, &weights, edge.span)));
    Ok(FlightEstimate { turns: turns.collect(), rivals, observability: unclear.observability, ..heaviest })
}

/// A solution and how likely it is.
struct Weighed {
    airspeed_mps: f64,
    ln_weight: f64,
    solution: Solution,
}

impl Weighed {
    /// A solution with its airspeed held near a value.
    fn new(airspeed_mps: f64, solution: Solution) -> Self {
        let off = (airspeed_mps - BELIEVED_AIRSPEED_MPS.value) / BELIEVED_AIRSPEED_STD_U_MPS.value;
        let ln_weight = BELIEVED_LIKELIHOOD_SHARE.value * solution.log_likelihood - 0.5 * off * off;
        Self { airspeed_mps, ln_weight, solution }
    }
}

/// All that are not ruled out, slowest first; `None` where none flies.
fn solutions(setting: &mut Setting) -> Option<Vec<Weighed>> {
    let middle_mps = BELIEVED_AIRSPEED_MPS.value;
    hold(setting, middle_mps);
    let starts = starts(setting, middle_mps);
    let levels = with_levels(setting, &starts)?;
    let mut middle: Vec<Solution> = Vec::new();
    for start in &starts {
        let trajectory = start::trajectory(&setting.nodes, &setting.heights_m, start);
        add(setting, &mut middle, levels.at_these_levels(setting, trajectory, Vec::new()));
    }
    // One that is hopeless here is not followed to other airspeeds.
    let likeliest = middle.iter().map(|s| s.log_likelihood).fold(f64::NEG_INFINITY, f64::max);
    let lost = 2.0 * RULED_OUT_LN.value / BELIEVED_LIKELIHOOD_SHARE.value;
    middle.retain(|solution| solution.log_likelihood > likeliest - lost);
    let mut found: Vec<Weighed> = Vec::new();
    for step_mps in [-TRIED_STEP_MPS.value, TRIED_STEP_MPS.value] {
        // Each solution follows from the one beside it.
        let mut begun: Vec<Solution> = middle.iter().map(|solution| again(setting, solution)).collect();
        let mut airspeed_mps = middle_mps + step_mps;
        while (SLOWEST_TRIED_MPS.value..=FASTEST_TRIED_MPS.value).contains(&airspeed_mps) {
            hold(setting, airspeed_mps);
            let mut here = Vec::new();
            begun.into_iter().for_each(|solution| add(setting, &mut here, solution));
            begun = here.iter().map(|solution| again(setting, solution)).collect();
            found.extend(here.into_iter().map(|solution| Weighed::new(airspeed_mps, solution)));
            airspeed_mps += step_mps;
        }
    }
    found.extend(middle.into_iter().map(|solution| Weighed::new(middle_mps, solution)));
    let heaviest = found.iter().map(|s| s.ln_weight).fold(f64::NEG_INFINITY, f64::max);
    found.retain(|solution| solution.ln_weight > heaviest - RULED_OUT_LN.value);
    found.sort_by(|a, b| a.airspeed_mps.total_cmp(&b.airspeed_mps));
    (!found.is_empty()).then_some(found)
}

/// Holds the airspeed of the flight near a value.
fn hold(setting: &mut Setting, airspeed_mps: f64) {
    setting.blocks.aircraft.hold_mps(airspeed_mps, TRIED_STEP_MPS.value, HELD_NODE_MPS.value);
}

/// A solution to go on from, its passes still to be made.
fn again(setting: &Setting, solution: &Solution) -> Solution {
    solution.at_these_levels(setting, solution.trajectory().to_vec(), Vec::new())
}

/// Winds with which the flight heads one way or another on the whole.
fn starts(setting: &Setting, airspeed_mps: f64) -> Vec<StartAir> {
    let positions = start::positions(&setting.nodes);
    let velocity = |k: usize| start::velocity(&setting.nodes, &positions, k);
    let mean = |axis: fn(Velocity<Ground>) -> f64| {
        (0..setting.nodes.len()).map(|k| axis(velocity(k))).sum::<f64>() / setting.nodes.len() as f64
    };
    let (east_mps, north_mps) = (mean(|v| v.east_mps), mean(|v| v.north_mps));
    let headings = TRIED_HEADINGS.value as usize;
    let start = |i: usize| {
        let (sin, cos) = (TAU * i as f64 / headings as f64).sin_cos();
        let wind = Wind::new(east_mps - airspeed_mps * sin, north_mps - airspeed_mps * cos);
        StartAir::from(&StartGuess { wind, airspeed_mps })
    };
    (0..headings).map(start).collect()
}

/// The likeliest from some starts, with noise levels of its own: all solutions are weighed at these.
fn with_levels(setting: &Setting, starts: &[StartAir]) -> Option<Solution> {
    let mut best: Option<Solution> = None;
    for start in starts {
        let trajectory = start::trajectory(&setting.nodes, &setting.heights_m, start);
        let mut solution = Iteration::new(setting, trajectory, Vec::new());
        (0..PASSES_PER_START.value as usize).for_each(|_| solution.advance(setting));
        let better = best.as_ref().is_none_or(|b| solution.log_likelihood > b.log_likelihood);
        if solution.log_likelihood.is_finite() && solution.flies() && better {
            solution.forget_last_pass();
            best = Some(solution);
        }
    }
    let mut best = best?;
    best.settle(setting);
    best.forget_last_pass();
    best.flies().then_some(best)
}

/// Adds a solution where it comes to rest, if it flies. Of two with the same wind the likelier is kept.
fn add(setting: &Setting, solutions: &mut Vec<Solution>, mut solution: Solution) {
    solution.settle(setting);
    solution.forget_last_pass();
    if !solution.log_likelihood.is_finite() || !solution.flies() {
        return;
    }
    let wind = mean_wind(setting, &solution);
    let apart_mps = |other: &Solution| {
        let other = mean_wind(setting, other);
        (wind.east_mps - other.east_mps).hypot(wind.north_mps - other.north_mps)
    };
    match solutions.iter_mut().find(|other| apart_mps(other) < TRIED_STEP_MPS.value) {
        Some(same) if same.log_likelihood >= solution.log_likelihood => {}
        Some(same) => *same = solution,
        None => solutions.push(solution),
    }
}

/// The wind of a solution, mean of the flight.
fn mean_wind(setting: &Setting, solution: &Solution) -> Wind {
    let [east, north] =
        [0, 1].map(|axis| mean_over(solution, |k, state| wind_at(setting.heights_m[k])[axis].of(state)));
    Wind::new(east, north)
}

/// The mean of a figure over the nodes of a solution.
fn mean_over(solution: &Solution, figure: impl Fn(usize, &[f64]) -> f64) -> f64 {
    let states = solution.trajectory();
    states.iter().enumerate().map(|(k, state)| figure(k, state.as_slice())).sum::<f64>() / states.len() as f64
}
