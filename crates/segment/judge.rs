//! The verdict on a window: every limit it misses, with the figure and the limit.

use crate::robust::Trend;
use crate::series::{AIRSPEED, CLIMB, TURN, points_between};
use crate::{HandsOff, Limits, Signals, Window};
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
    pub wind_unknown: Option<&'a str>,
    /// Lowest height above take-off, metres.
    pub height_above_takeoff_m: Option<f64>,
}

/// Judges a window: sets `accepted` and `reasons`. A caution is a reason that does not refuse.
pub fn judge(window: &mut Window, evidence: &Evidence<'_>, limits: &Limits) {
    let Evidence { track, free, with_windows, .. } = *evidence;
    let mut refusals = Vec::new();
    refusals.extend(too_short(window, limits));
    refusals.extend(on_the_ground(window, track));
    refusals.extend(stays_put(window, track, with_windows, limits));
    refusals.extend(gap(window, track, limits));
    refusals.extend(unsteady(window, free, with_windows, limits));
    refusals.extend(flown(window, free, limits));
    refusals.extend(wind_unknown(evidence, limits));
    refusals.extend(rate_unknown(evidence, limits));
    window.accepted = refusals.is_empty();
    window.reasons = refusals;
    window.reasons.extend(too_low(evidence, limits));
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

fn too_short(window: &Window, limits: &Limits) -> Option<String> {
    let length_s = window.end_s - window.start_s;
    (length_s < limits.min_length_s).then(|| {
        let cut_s = window.start_s - window.let_go_s;
        format!(
            "too short: {length_s:.1} s are left after {cut_s:.1} s for the transient, needs {:.0} s",
            limits.min_length_s
        )
    })
}

fn on_the_ground(window: &Window, track: &Track) -> Option<String> {
    if let Some(takeoff_s) = track.takeoff_s.filter(|t| window.start_s < *t) {
        return Some(format!("begins {:.0} s before take-off", takeoff_s - window.start_s));
    }
    track
        .landing_s
        .filter(|landing_s| window.end_s > *landing_s)
        .map(|landing_s| format!("ends {:.0} s after landing", window.end_s - landing_s))
}

/// Standing on the ground where neither take-off nor landing could be told. A wing that hangs still in the wind and does not
/// climb looks the same, and is refused too.
fn stays_put(window: &Window, track: &Track, speeds_by: &Signals, limits: &Limits) -> Option<String> {
    let points = points_between(track, window.start_s, window.end_s);
    let (first, last) = points.first().zip(points.last())?;
    let climbs = speeds_by.mean(CLIMB, window.start_s, window.end_s).is_some_and(|c| c.abs() > limits.level_mps);
    let from_first_m = points
        .iter()
        .map(|p| (p.position.east_m - first.position.east_m).hypot(p.position.north_m - first.position.north_m));
    let extent_m = from_first_m.fold(0.0, f64::max);
    let (seconds, least_m) = (last.t_s - first.t_s, limits.min_ground_speed_mps * (last.t_s - first.t_s));
    (extent_m < least_m && !climbs).then(|| {
        format!(
            "does not move: stays within {extent_m:.1} m for {seconds:.0} s, as on the ground; flight goes at least \
             {least_m:.0} m"
        )
    })
}

fn gap(window: &Window, track: &Track, limits: &Limits) -> Option<String> {
    let limit_s = limits.max_gap_s.max(3.0 * track.median_interval_s);
    let inside = points_between(track, window.start_s, window.end_s).iter().map(|p| p.t_s);
    // Both ends count as fixes: a gap that reaches over an end shows as far as it lies inside.
    let times: Vec<f64> = std::iter::once(window.start_s).chain(inside).chain([window.end_s]).collect();
    let longest_s = times.windows(2).map(|w| w[1] - w[0]).fold(0.0, f64::max);
    (longest_s > limit_s).then(|| format!("gap in the log: {longest_s:.1} s without a fix, limit {limit_s:.1} s"))
}

/// Turn rate by the free estimate, speeds by the one that knows them best.
fn unsteady(window: &Window, free: &Signals, speeds_by: &Signals, limits: &Limits) -> Vec<String> {
    let mut reasons = Vec::new();
    if let Some(turn) = free.trend(TURN, window.start_s, window.end_s) {
        reasons.extend(drifts(&turn, limits.max_turn_drift_deg_s, limits).then(|| {
            format!(
                "turn rate still changing: by {:+.1} ± {:.1} °/s from start to end, limit {:.1} °/s",
                turn.change, turn.change_std_u, limits.max_turn_drift_deg_s
            )
        }));
    }
    reasons.extend(uneven(window, free, limits));
    let speeds = [
        ("airspeed", AIRSPEED, limits.max_airspeed_drift_mps, limits.max_airspeed_scatter_mps),
        ("climb", CLIMB, limits.max_climb_drift_mps, limits.max_climb_scatter_mps),
    ];
    for (name, channel, max_drift, max_scatter) in speeds {
        let Some(speed) = speeds_by.trend(channel, window.start_s, window.end_s) else { continue };
        if drifts(&speed, max_drift, limits) {
            reasons.push(format!(
                "{name} not steady: changes by {:+.1} ± {:.1} m/s from start to end, limit {max_drift:.1} m/s",
                speed.change, speed.change_std_u
            ));
        } else if speed.scatter > max_scatter {
            reasons.push(format!(
                "{name} not steady: scatters by {:.1} m/s (standard deviation), limit {max_scatter:.1} m/s",
                speed.scatter
            ));
        }
    }
    reasons
}

/// Length of the pieces of a candidate whose turn rates are compared, seconds.
const PIECE_S: f64 = 20.0;

/// A candidate whose turn rate is not the same throughout: a piece must depart by more than the limit, and by more than
/// the wander of this flight explains.
fn uneven(window: &Window, free: &Signals, limits: &Limits) -> Option<String> {
    if window.hands_off != HandsOff::Candidate {
        return None;
    }
    let samples = free.between(TURN, window.start_s, window.end_s);
    let mean = free.mean(TURN, window.start_s, window.end_s)?;
    let piece = ((PIECE_S / free.runs.first()?.step_s).round() as usize).max(1);
    let chance_deg_s = limits.drift_significance * (free.wander[TURN] / piece as f64).sqrt();
    let departure = samples
        .chunks_exact(piece)
        .map(|p| p.iter().sum::<f64>() / piece as f64 - mean)
        .max_by(|a, b| a.abs().total_cmp(&b.abs()))?;
    let limit = limits.max_piece_departure_deg_s;
    (departure.abs() > limit.max(chance_deg_s)).then(|| {
        format!(
            "turn rate not the same throughout: {:+.1} °/s over {PIECE_S:.0} s, {departure:+.1} °/s off its mean, \
             limit {limit:.1} °/s",
            mean + departure
        )
    })
}

/// A drift must be both large and certain.
fn drifts(trend: &Trend, limit: f64, limits: &Limits) -> bool {
    trend.change.abs() > limit && trend.change.abs() > limits.drift_significance * trend.change_std_u
}

/// Time over which a turn away from the mean must last to be put down to the pilot, seconds.
const EXCURSION_S: f64 = 3.0;

fn flown(window: &Window, free: &Signals, limits: &Limits) -> Option<String> {
    let samples = free.between(TURN, window.start_s, window.end_s);
    let mean = free.mean(TURN, window.start_s, window.end_s)?;
    if window.hands_off == HandsOff::Candidate && mean.abs() > limits.max_candidate_rate_deg_s {
        return Some(format!(
            "turns at {mean:+.1} °/s: a candidate above {:.0} °/s is taken as flown",
            limits.max_candidate_rate_deg_s
        ));
    }
    let step_s = free.runs.first()?.step_s;
    let held = ((EXCURSION_S / step_s).round() as usize).clamp(1, samples.len().max(1));
    let largest = samples
        .windows(held)
        .map(|w| w.iter().sum::<f64>() / held as f64 - mean)
        .max_by(|a, b| a.abs().total_cmp(&b.abs()))?;
    (largest.abs() > limits.max_turn_excursion_deg_s).then(|| {
        format!(
            "pilot input likely: turns at {:+.1} °/s for {EXCURSION_S:.0} s, {largest:+.1} °/s off its mean, limit {:.1} °/s",
            mean + largest,
            limits.max_turn_excursion_deg_s
        )
    })
}

fn wind_unknown(evidence: &Evidence<'_>, limits: &Limits) -> Option<String> {
    if let Some(words) = evidence.wind_unknown {
        return Some(format!("wind not known: {words}"));
    }
    match evidence.wind_std_u_mps {
        None => Some("wind not known: nothing to estimate it from at this time".to_owned()),
        Some(std_u) => (std_u > limits.max_wind_std_u_mps).then(|| {
            format!(
                "wind not known well enough: ± {std_u:.1} m/s per axis (standard uncertainty), limit {:.1} m/s",
                limits.max_wind_std_u_mps
            )
        }),
    }
}

fn rate_unknown(evidence: &Evidence<'_>, limits: &Limits) -> Option<String> {
    if evidence.wind_unknown.is_some() {
        return None;
    }
    match evidence.turn_rate {
        None => Some("turn rate could not be measured in this window".to_owned()),
        Some(rate) => (rate.std_u.deg_s() > limits.max_rate_std_u_deg_s).then(|| {
            format!(
                "turn rate not known well enough: ± {:.2} °/s (standard uncertainty), limit {:.2} °/s",
                rate.std_u.deg_s(),
                limits.max_rate_std_u_deg_s
            )
        }),
    }
}

fn too_low(evidence: &Evidence<'_>, limits: &Limits) -> Option<String> {
    let height_m = evidence.height_above_takeoff_m.filter(|h| *h < limits.caution_height_m)?;
    Some(if height_m < 0.0 {
        format!("caution: {:.0} m below take-off, height over the ground not known", -height_m)
    } else {
        format!("caution, flown low: {height_m:.0} m above take-off, {:.0} m advised", limits.caution_height_m)
    })
}

#[cfg(test)]
mod tests;
