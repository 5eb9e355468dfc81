//! The verdict on a window: every limit it misses, with the figure and the limit.

use crate::series::{AIRSPEED, CLIMB, TURN};
use crate::trend::Trend;
use crate::{Finding, HandsOff, Limits, Signals, SteadySpeed, WindUnknown, Window};
use driftless_track::Track;
use driftless_units::{Estimate, TurnRate};

/// What a window is judged by.
#[derive(Debug, Clone, Copy)]
pub struct Evidence<'a> {
    /// The cleaned track.
    pub track: &'a Track,
    /// The estimate that knows of no windows: it shows turns that one made with the window would smooth away.
    pub free: &'a Signals,
    /// The estimate made with the windows: it knows the airspeed best.
    pub with_windows: &'a Signals,
    /// Turn rate as measured; `None` when it could not be.
    pub turn_rate: Option<Estimate<TurnRate>>,
    /// Standard uncertainty of the wind per axis in the window, m/s.
    pub wind_std_u_mps: Option<f64>,
    /// Why the wind is not observable, when it is not.
    pub wind_unknown: Option<&'a WindUnknown>,
    /// Lowest height above take-off, metres.
    pub height_above_takeoff_m: Option<f64>,
}

/// Judges a window: sets `accepted` and `findings`.
pub fn judge(window: &mut Window, evidence: &Evidence<'_>, limits: &Limits) {
    let Evidence { track, free, with_windows, .. } = *evidence;
    let mut findings = Vec::new();
    findings.extend(too_short(window, limits));
    findings.extend(on_the_ground(window, track));
    findings.extend(stays_put(window, track, with_windows, limits));
    findings.extend(gap(window, track, limits));
    findings.extend(unsteady(window, free, with_windows, limits));
    findings.extend(flown(window, free, limits));
    findings.extend(wind_unknown(evidence, limits));
    findings.extend(rate_unknown(evidence, limits));
    findings.extend(too_low(evidence, limits));
    window.accepted = !findings.iter().any(Finding::refuses);
    window.findings = findings;
}

/// Shortest span for which a steady turn rate means anything to the whole-flight estimate, seconds.
const SHORTEST_STEADY_S: f64 = 5.0;

/// Whether a window is steady: only such windows may teach the whole-flight estimate how much turbulence makes the turn
/// rate wander. Turn rates by the free estimate, speeds by the one that knows them best so far.
pub fn looks_steady(window: &Window, track: &Track, free: &Signals, speeds_by: &Signals, limits: &Limits) -> bool {
    window.end_s - window.start_s >= SHORTEST_STEADY_S
        && on_the_ground(window, track).is_none()
        && stays_put(window, track, speeds_by, limits).is_none()
        && gap(window, track, limits).is_none()
        && unsteady(window, free, speeds_by, limits).is_empty()
        && flown(window, free, limits).is_none()
}

fn too_short(window: &Window, limits: &Limits) -> Option<Finding> {
    let length_s = window.end_s - window.start_s;
    (length_s < limits.min_length_s).then_some(Finding::TooShort {
        length_s,
        cut_s: window.start_s - window.let_go_s,
        limit_s: limits.min_length_s,
    })
}

fn on_the_ground(window: &Window, track: &Track) -> Option<Finding> {
    if let Some(takeoff_s) = track.takeoff_s.filter(|t| window.start_s < *t) {
        return Some(Finding::BeforeTakeOff { by_s: takeoff_s - window.start_s });
    }
    track
        .landing_s
        .filter(|landing_s| window.end_s > *landing_s)
        .map(|landing_s| Finding::AfterLanding { by_s: window.end_s - landing_s })
}

/// Standing on the ground where neither take-off nor landing could be told. A wing that hangs still in the wind and does not
/// climb looks the same, and is refused too.
fn stays_put(window: &Window, track: &Track, speeds_by: &Signals, limits: &Limits) -> Option<Finding> {
    let points = track.points_between(window.start_s, window.end_s);
    let (first, last) = points.first().zip(points.last())?;
    let climbs = speeds_by.mean(CLIMB, window.start_s, window.end_s).is_some_and(|c| c.abs() > limits.level_mps);
    let from_first_m = points
        .iter()
        .map(|p| (p.position.east_m - first.position.east_m).hypot(p.position.north_m - first.position.north_m));
    let extent_m = from_first_m.fold(0.0, f64::max);
    let (seconds, least_m) = (last.t_s - first.t_s, limits.min_ground_speed_mps * (last.t_s - first.t_s));
    (extent_m < least_m && !climbs).then_some(Finding::StaysPut { extent_m, seconds, limit_m: least_m })
}

fn gap(window: &Window, track: &Track, limits: &Limits) -> Option<Finding> {
    let limit_s = limits.max_gap_s.max(3.0 * track.median_interval_s);
    let inside = track.points_between(window.start_s, window.end_s).iter().map(|p| p.t_s);
    // Both ends count as fixes: a gap that reaches over an end shows as far as it lies inside.
    let times: Vec<f64> = std::iter::once(window.start_s).chain(inside).chain([window.end_s]).collect();
    let longest_s = times.iter().zip(times.iter().skip(1)).map(|(a, b)| b - a).fold(0.0, f64::max);
    (longest_s > limit_s).then_some(Finding::GapInLog { longest_s, limit_s })
}

/// Turn rate by the free estimate, speeds by the one that knows them best.
fn unsteady(window: &Window, free: &Signals, speeds_by: &Signals, limits: &Limits) -> Vec<Finding> {
    let mut findings = Vec::new();
    if let Some(turn) = free.trend(TURN, window.start_s, window.end_s) {
        let limit_deg_s = limits.max_turn_drift_deg_s;
        findings.extend(drifts(&turn, limit_deg_s, limits).then_some(Finding::TurnRateChanging {
            change_deg_s: turn.change,
            std_u_deg_s: turn.change_std_u,
            limit_deg_s,
        }));
    }
    findings.extend(uneven(window, free, limits));
    let speeds = [
        (SteadySpeed::Airspeed, AIRSPEED, limits.max_airspeed_drift_mps, limits.max_airspeed_scatter_mps),
        (SteadySpeed::Climb, CLIMB, limits.max_climb_drift_mps, limits.max_climb_scatter_mps),
    ];
    for (speed, channel, max_drift_mps, max_scatter_mps) in speeds {
        let Some(trend) = speeds_by.trend(channel, window.start_s, window.end_s) else { continue };
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

/// Length of the pieces of a candidate whose turn rates are compared, seconds.
const PIECE_S: f64 = 20.0;

/// A candidate whose turn rate is not the same throughout: a piece must depart by more than the limit, and by more than
/// the wander of this flight explains.
fn uneven(window: &Window, free: &Signals, limits: &Limits) -> Option<Finding> {
    if window.hands_off != HandsOff::Candidate {
        return None;
    }
    let samples = free.between(TURN, window.start_s, window.end_s);
    let mean = free.mean(TURN, window.start_s, window.end_s)?;
    let piece = ((PIECE_S / free.runs.first()?.step_s).round() as usize).max(1);
    let chance_deg_s = limits.drift_significance * (free.wander[TURN] / piece as f64).sqrt();
    let departure_deg_s = samples
        .chunks_exact(piece)
        .map(|p| p.iter().sum::<f64>() / piece as f64 - mean)
        .max_by(|a, b| a.abs().total_cmp(&b.abs()))?;
    let limit_deg_s = limits.max_piece_departure_deg_s;
    (departure_deg_s.abs() > limit_deg_s.max(chance_deg_s)).then_some(Finding::TurnRateUneven {
        rate_deg_s: mean + departure_deg_s,
        departure_deg_s,
        piece_s: PIECE_S,
        limit_deg_s,
    })
}

/// A drift must be both large and certain.
fn drifts(trend: &Trend, limit: f64, limits: &Limits) -> bool {
    trend.change.abs() > limit && trend.change.abs() > limits.drift_significance * trend.change_std_u
}

/// Time over which a turn away from the mean must last to be put down to the pilot, seconds.
const EXCURSION_S: f64 = 3.0;

fn flown(window: &Window, free: &Signals, limits: &Limits) -> Option<Finding> {
    let samples = free.between(TURN, window.start_s, window.end_s);
    let mean = free.mean(TURN, window.start_s, window.end_s)?;
    if window.hands_off == HandsOff::Candidate && mean.abs() > limits.max_candidate_rate_deg_s {
        return Some(Finding::CandidateTurnsFast { rate_deg_s: mean, limit_deg_s: limits.max_candidate_rate_deg_s });
    }
    let step_s = free.runs.first()?.step_s;
    let held = ((EXCURSION_S / step_s).round() as usize).clamp(1, samples.len().max(1));
    let departure_deg_s = samples
        .windows(held)
        .map(|w| w.iter().sum::<f64>() / held as f64 - mean)
        .max_by(|a, b| a.abs().total_cmp(&b.abs()))?;
    let limit_deg_s = limits.max_turn_excursion_deg_s;
    (departure_deg_s.abs() > limit_deg_s).then_some(Finding::PilotInput {
        rate_deg_s: mean + departure_deg_s,
        departure_deg_s,
        held_s: EXCURSION_S,
        limit_deg_s,
    })
}

fn wind_unknown(evidence: &Evidence<'_>, limits: &Limits) -> Option<Finding> {
    if let Some(why) = evidence.wind_unknown {
        return Some(Finding::WindUnknown(why.clone()));
    }
    let Some(std_u_mps) = evidence.wind_std_u_mps else { return Some(Finding::WindNotEstimated) };
    let limit_mps = limits.max_wind_std_u_mps;
    (std_u_mps > limit_mps).then_some(Finding::WindUncertain { std_u_mps, limit_mps })
}

fn rate_unknown(evidence: &Evidence<'_>, limits: &Limits) -> Option<Finding> {
    if evidence.wind_unknown.is_some() {
        return None;
    }
    let Some(rate) = evidence.turn_rate else { return Some(Finding::RateNotMeasured) };
    let (std_u_deg_s, limit_deg_s) = (rate.std_u.deg_s(), limits.max_rate_std_u_deg_s);
    (std_u_deg_s > limit_deg_s).then_some(Finding::RateUncertain { std_u_deg_s, limit_deg_s })
}

fn too_low(evidence: &Evidence<'_>, limits: &Limits) -> Option<Finding> {
    let limit_m = limits.caution_height_m;
    let height_m = evidence.height_above_takeoff_m.filter(|h| *h < limit_m)?;
    Some(if height_m < 0.0 { Finding::BelowTakeOff { height_m } } else { Finding::FlownLow { height_m, limit_m } })
}

#[cfg(test)]
mod tests;
