//! Whether a span of flight is steady: the same checks before the whole-flight estimate is told of a window and in its
//! verdict.

use crate::constants::{EXCURSION_S, MAX_GAP_INTERVALS, PIECE_S, SHORTEST_STEADY_S};
use crate::series::{AIRSPEED, CLIMB, TURN};
use crate::trend::Trend;
use crate::{Finding, HandsOff, Limits, Signals, SteadySpeed, Window, WindowSpan};
use driftless_track::Track;

/// The part of a window that is measured.
#[derive(Debug, Clone, Copy)]
pub(crate) struct SteadyPart {
    start_s: f64,
    end_s: f64,
    hands_off: HandsOff,
}

impl From<&Window> for SteadyPart {
    fn from(window: &Window) -> Self {
        Self { start_s: window.start_s, end_s: window.end_s, hands_off: window.hands_off }
    }
}

impl From<&WindowSpan> for SteadyPart {
    fn from(span: &WindowSpan) -> Self {
        Self { start_s: span.start_s, end_s: span.end_s, hands_off: span.hands_off() }
    }
}

impl SteadyPart {
    /// All that keeps it from being steady flight. Turn rates by the free estimate, speeds by the one that knows them best
    /// so far.
    pub(crate) fn speaks_against(
        self,
        track: &Track,
        free: &Signals,
        speeds_by: &Signals,
        limits: &Limits,
    ) -> Vec<Finding> {
        let mut findings = Vec::new();
        findings.extend(on_the_ground(self, track));
        findings.extend(stays_put(self, track, speeds_by, limits));
        findings.extend(gap(self, track, limits));
        findings.extend(unsteady(self, free, speeds_by, limits));
        findings.extend(flown(self, free, limits));
        findings
    }
}

/// Whether a window is steady: only such windows may teach the whole-flight estimate how much turbulence makes the turn
/// rate wander. Turn rates by the free estimate, speeds by the one that knows them best so far.
pub fn looks_steady(span: &WindowSpan, track: &Track, free: &Signals, speeds_by: &Signals, limits: &Limits) -> bool {
    span.end_s - span.start_s >= SHORTEST_STEADY_S.value
        && SteadyPart::from(span).speaks_against(track, free, speeds_by, limits).is_empty()
}

fn on_the_ground(part: SteadyPart, track: &Track) -> Option<Finding> {
    if let Some(takeoff_s) = track.takeoff_s.filter(|t| part.start_s < *t) {
        return Some(Finding::BeforeTakeOff { by_s: takeoff_s - part.start_s });
    }
    track
        .landing_s
        .filter(|landing_s| part.end_s > *landing_s)
        .map(|landing_s| Finding::AfterLanding { by_s: part.end_s - landing_s })
}

/// Standing on the ground where neither take-off nor landing could be told. A wing that hangs still in the wind and does not
/// climb looks the same, and is refused too.
fn stays_put(part: SteadyPart, track: &Track, speeds_by: &Signals, limits: &Limits) -> Option<Finding> {
    let points = track.points_between(part.start_s, part.end_s);
    let (first, last) = points.first().zip(points.last())?;
    let climbs = speeds_by.mean(CLIMB, part.start_s, part.end_s).is_some_and(|c| c.abs() > limits.level_mps);
    let from_first_m = points
        .iter()
        .map(|p| (p.position.east_m - first.position.east_m).hypot(p.position.north_m - first.position.north_m));
    let extent_m = from_first_m.fold(0.0, f64::max);
    let (seconds, least_m) = (last.t_s - first.t_s, limits.min_ground_speed_mps * (last.t_s - first.t_s));
    (extent_m < least_m && !climbs).then_some(Finding::StaysPut { extent_m, seconds, limit_m: least_m })
}

fn gap(part: SteadyPart, track: &Track, limits: &Limits) -> Option<Finding> {
    let limit_s = limits.max_gap_s.max(MAX_GAP_INTERVALS.value * track.median_interval_s);
    let inside = track.points_between(part.start_s, part.end_s).iter().map(|p| p.t_s);
    // Both ends count as fixes: a gap that reaches over an end shows as far as it lies inside.
    let times: Vec<f64> = std::iter::once(part.start_s).chain(inside).chain([part.end_s]).collect();
    let longest_s = times.iter().zip(times.iter().skip(1)).map(|(a, b)| b - a).fold(0.0, f64::max);
    (longest_s > limit_s).then_some(Finding::GapInLog { longest_s, limit_s })
}

/// Turn rate by the free estimate, speeds by the one that knows them best.
fn unsteady(part: SteadyPart, free: &Signals, speeds_by: &Signals, limits: &Limits) -> Vec<Finding> {
    let mut findings = Vec::new();
    if let Some(turn) = free.trend(TURN, part.start_s, part.end_s) {
        let limit_deg_s = limits.max_turn_drift_deg_s;
        findings.extend(drifts(&turn, limit_deg_s, limits).then_some(Finding::TurnRateChanging {
            change_deg_s: turn.change,
            std_u_deg_s: turn.change_std_u,
            limit_deg_s,
        }));
    }
    findings.extend(uneven(part, free, limits));
    let speeds = [
        (SteadySpeed::Airspeed, AIRSPEED, limits.max_airspeed_drift_mps, limits.max_airspeed_scatter_mps),
        (SteadySpeed::Climb, CLIMB, limits.max_climb_drift_mps, limits.max_climb_scatter_mps),
    ];
    for (speed, channel, max_drift_mps, max_scatter_mps) in speeds {
        let Some(trend) = speeds_by.trend(channel, part.start_s, part.end_s) else { continue };
        if drifts(&trend, max_drift_mps, limits) {
            findings.push(Finding::SpeedChanging {
                speed,
                change_mps: trend.change,
                std_u_mps: trend.change_std_u,
                limit_mps: max_drift_mps,
            });
        } else if trend.scatter > max_scatter_mps {
            findings.push(Finding::SpeedScatters { speed, scatter_mps: trend.scatter, limit_mps: max_scatter_mps });
        }
    }
    findings
}

/// A candidate whose turn rate is not the same throughout: a piece must depart by more than the limit, and by more than
/// the wander of this flight explains.
fn uneven(part: SteadyPart, free: &Signals, limits: &Limits) -> Option<Finding> {
    if part.hands_off != HandsOff::Candidate {
        return None;
    }
    let samples = free.between(TURN, part.start_s, part.end_s);
    let mean = free.mean(TURN, part.start_s, part.end_s)?;
    let piece = ((PIECE_S.value / free.runs.first()?.step_s).round() as usize).max(1);
    let chance_deg_s = limits.drift_significance * (free.wander[TURN] / piece as f64).sqrt();
    let departure_deg_s = samples
        .chunks_exact(piece)
        .map(|p| p.iter().sum::<f64>() / piece as f64 - mean)
        .max_by(|a, b| a.abs().total_cmp(&b.abs()))?;
    let limit_deg_s = limits.max_piece_departure_deg_s;
    (departure_deg_s.abs() > limit_deg_s.max(chance_deg_s)).then_some(Finding::TurnRateUneven {
        rate_deg_s: mean + departure_deg_s,
        departure_deg_s,
        piece_s: PIECE_S.value,
        limit_deg_s,
    })
}

/// A drift must be both large and certain.
fn drifts(trend: &Trend, limit: f64, limits: &Limits) -> bool {
    trend.change.abs() > limit && trend.change.abs() > limits.drift_significance * trend.change_std_u
}

fn flown(part: SteadyPart, free: &Signals, limits: &Limits) -> Option<Finding> {
    let samples = free.between(TURN, part.start_s, part.end_s);
    let mean = free.mean(TURN, part.start_s, part.end_s)?;
    if part.hands_off == HandsOff::Candidate && mean.abs() > limits.max_candidate_rate_deg_s {
        return Some(Finding::CandidateTurnsFast { rate_deg_s: mean, limit_deg_s: limits.max_candidate_rate_deg_s });
    }
    let step_s = free.runs.first()?.step_s;
    let held = ((EXCURSION_S.value / step_s).round() as usize).clamp(1, samples.len().max(1));
    let departure_deg_s = samples
        .windows(held)
        .map(|w| w.iter().sum::<f64>() / held as f64 - mean)
        .max_by(|a, b| a.abs().total_cmp(&b.abs()))?;
    let limit_deg_s = limits.max_turn_excursion_deg_s;
    (departure_deg_s.abs() > limit_deg_s).then_some(Finding::PilotInput {
        rate_deg_s: mean + departure_deg_s,
        departure_deg_s,
        held_s: EXCURSION_S.value,
        limit_deg_s,
    })
}
