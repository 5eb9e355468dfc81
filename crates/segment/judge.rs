//! The verdict on a window: every limit it misses, with the figure and the limit.

use crate::constants::MAX_RIVAL_MARGIN_DEG_S;
use crate::near_ground::near_ground;
use crate::steady::SteadyPart;
use crate::{Finding, Limits, Signals, Verdict, WindUnknown, Window};
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
    /// Slowest and fastest airspeed of the solutions that `turn_rate` is the mean of, m/s, where the wind is not observable.
    pub airspeeds_mps: Option<(f64, f64)>,
    /// When the wind of the flight changed, seconds from the epoch of the track.
    pub wind_changes_s: &'a [f64],
    /// Lowest height above take-off, metres.
    pub height_above_takeoff_m: Option<f64>,
}

/// Judges a window.
pub fn judge(window: &Window, evidence: &Evidence<'_>, limits: &Limits) -> Verdict {
    let Evidence { track, free, with_windows, .. } = *evidence;
    let part = SteadyPart::from(window);
    let mut findings = Vec::new();
    findings.extend(too_short(window, limits));
    findings.extend(part.speaks_against(track, free, with_windows, limits));
    let airspeed_open = solutions_agree(evidence).filter(|_| !findings.iter().any(Finding::refuses));
    findings.extend(match airspeed_open {
        Some((slowest_mps, fastest_mps)) => Some(Finding::AirspeedOpen { slowest_mps, fastest_mps }),
        None => wind_unknown(evidence, limits),
    });
    findings.extend(rate_unknown(evidence, limits));
    findings.extend(wind_changed(window, evidence));
    findings.extend(near_ground(window, track, evidence.height_above_takeoff_m, limits));
    Verdict { findings }
}

fn too_short(window: &Window, limits: &Limits) -> Option<Finding> {
    let length_s = window.end_s - window.start_s;
    (length_s < limits.min_length_s).then_some(Finding::TooShort {
        length_s,
        cut_s: window.start_s - window.let_go_s,
        limit_s: limits.min_length_s,
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

/// The airspeeds between which a turn rate holds, where the wind is not known and all solutions agree on the rate.
fn solutions_agree(evidence: &Evidence<'_>) -> Option<(f64, f64)> {
    let (airspeeds, rate) = evidence.airspeeds_mps.zip(evidence.turn_rate)?;
    (margin_deg_s(&rate) <= MAX_RIVAL_MARGIN_DEG_S.value).then_some(airspeeds)
}

/// Half of the 95 % interval.
fn margin_deg_s(rate: &Estimate<TurnRate>) -> f64 {
    let interval = rate.interval(0.95);
    0.5 * (interval.high.deg_s() - interval.low.deg_s())
}

fn solutions_disagree(evidence: &Evidence<'_>) -> Option<Finding> {
    evidence.airspeeds_mps?;
    let margin_deg_s = margin_deg_s(&evidence.turn_rate?);
    let limit_deg_s = MAX_RIVAL_MARGIN_DEG_S.value;
    (margin_deg_s > limit_deg_s).then_some(Finding::SolutionsDisagree { margin_deg_s, limit_deg_s })
}

fn rate_unknown(evidence: &Evidence<'_>, limits: &Limits) -> Option<Finding> {
    if evidence.wind_unknown.is_some() {
        return solutions_disagree(evidence);
    }
    let Some(rate) = evidence.turn_rate else { return Some(Finding::RateNotMeasured) };
    let (std_u_deg_s, limit_deg_s) = (rate.std_u.deg_s(), limits.max_rate_std_u_deg_s);
    (std_u_deg_s > limit_deg_s).then_some(Finding::RateUncertain { std_u_deg_s, limit_deg_s })
}

fn wind_changed(window: &Window, evidence: &Evidence<'_>) -> Option<Finding> {
    let inside = |at_s: &&f64| (window.start_s..=window.end_s).contains(*at_s);
    let at_s = evidence.wind_changes_s.iter().find(inside).filter(|_| evidence.wind_unknown.is_none())?;
    Some(Finding::WindChanged { after_s: at_s - window.start_s })
}

#[cfg(test)]
mod tests;
