//! Flights without marks: which windows were found, how near their edges, and what else was taken for one.

use crate::score::TruthOnTrack;
use driftless_analysis::{FlightAnalysis, Window};
use driftless_sim::{STEP_S, TruthStep, TruthWindow};
use driftless_units::{GRAVITY_MPS2, TurnRate};

/// Hands-off windows shorter than this are not asked for, seconds.
pub(crate) const SHORTEST_ASKED_S: f64 = 40.0;
/// Faster than this the pilot turns, °/s: corrections of a straight leg stay below.
const PILOTED_TURN_DEG_S: f64 = 3.0;
/// An accepted candidate may hold this much of a piloted turn, seconds: rolling into it takes about as long.
const PILOTED_TURN_MOST_S: f64 = 3.0;

/// What became of a flight without marks.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Unmarked {
    /// For each window flown that is long enough, the edges of the accepted candidate that found it.
    pub windows: Vec<Option<Edges>>,
    /// For each accepted candidate, what it is.
    pub accepted: Vec<Candidate>,
}

/// How far the edges of a candidate lie from those of the window, seconds; positive is late.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Edges {
    /// From let-go to the start of the candidate.
    pub let_go_s: f64,
    /// From take-over to its end.
    pub take_over_s: f64,
}

/// What an accepted candidate is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Candidate {
    /// Mostly a hands-off window.
    HandsOff,
    /// Mostly straight flight with the hands on.
    Straight,
    /// It holds a piloted turn.
    PilotedTurn,
}

pub(crate) fn compare(truth: &TruthOnTrack<'_>, analysis: &FlightAnalysis) -> Unmarked {
    let accepted: Vec<&Window> = analysis.accepted().map(|w| &w.window).collect();
    let asked = truth.truth.windows.iter().filter(|w| w.end_s - w.start_s >= SHORTEST_ASKED_S);
    Unmarked {
        windows: asked.map(|w| accepted.iter().find_map(|c| edges(truth, w, c))).collect(),
        accepted: accepted.iter().map(|c| what_it_is(truth, c)).collect(),
    }
}

/// The edges, when more than half of either lies in the other.
fn edges(truth: &TruthOnTrack<'_>, window: &TruthWindow, candidate: &Window) -> Option<Edges> {
    let (start_s, end_s) = (truth.time_s(candidate.let_go_s), truth.time_s(candidate.take_over_s));
    let overlap_s = end_s.min(window.take_over_s) - start_s.max(window.let_go_s);
    let longer_s = (end_s - start_s).max(window.take_over_s - window.let_go_s);
    (overlap_s > 0.5 * longer_s)
        .then_some(Edges { let_go_s: start_s - window.let_go_s, take_over_s: end_s - window.take_over_s })
}

fn what_it_is(truth: &TruthOnTrack<'_>, candidate: &Window) -> Candidate {
    let (start_s, end_s) = (truth.time_s(candidate.start_s), truth.time_s(candidate.end_s));
    let inside = truth.truth.steps.iter().filter(|s| s.t_s >= start_s && s.t_s <= end_s);
    let piloted_s = inside.filter(|s| piloted_turn(s)).count() as f64 * STEP_S;
    if piloted_s > PILOTED_TURN_MOST_S {
        Candidate::PilotedTurn
    } else if truth.under(candidate.start_s, candidate.end_s).is_some() {
        Candidate::HandsOff
    } else {
        Candidate::Straight
    }
}

fn piloted_turn(step: &TruthStep) -> bool {
    let rate = TurnRate::from_rad_s(GRAVITY_MPS2 * step.bank.rad().tan() / step.airspeed_mps);
    !step.hands_off && rate.deg_s().abs() > PILOTED_TURN_DEG_S
}
