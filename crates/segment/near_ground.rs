//! Near the ground: below the height advised, on take-off, on landing. A caution, which refuses nothing; a span that nobody
//! vouched for makes no figure of a set-up there.

use crate::constants::{LANDING_SEEN_S, NEAR_GROUND_S};
use crate::{Finding, Limits, Window};
use driftless_track::Track;
use driftless_units::median;

/// What says that a window was flown near the ground: one finding, the height before the time, as a height is the surer.
pub(crate) fn near_ground(
    window: &Window,
    track: &Track,
    height_above_takeoff_m: Option<f64>,
    limits: &Limits,
) -> Option<Finding> {
    let limit_m = limits.caution_height_m;
    if let Some(height_m) = height_above_takeoff_m.filter(|h| *h < limit_m) {
        let below = height_m < 0.0;
        return Some(if below { Finding::BelowTakeOff { height_m } } else { Finding::FlownLow { height_m, limit_m } });
    }
    // On the ground itself the window is refused, and for that reason.
    let on_the_ground = track.takeoff_s.is_some_and(|takeoff_s| window.start_s < takeoff_s)
        || track.landing_s.is_some_and(|landing_s| window.end_s > landing_s);
    if on_the_ground {
        return None;
    }
    low_over_landing(window, track, limit_m).or_else(|| by_time(window, track))
}

fn low_over_landing(window: &Window, track: &Track, limit_m: f64) -> Option<Finding> {
    let ground_m = landing_altitude_m(track)?;
    let heights =
        track.points_between(window.start_s, window.end_s).iter().filter_map(|p| Some(p.altitude_m.get()? - ground_m));
    let height_m = heights.min_by(f64::total_cmp).filter(|h| *h < limit_m)?;
    Some(Finding::LowOverLanding { height_m, limit_m })
}

/// Altitude of the place where the aircraft landed: that of the fixes just after.
fn landing_altitude_m(track: &Track) -> Option<f64> {
    let landing_s = track.landing_s?;
    let points = track.points_between(landing_s, landing_s + LANDING_SEEN_S.value);
    median(points.iter().filter_map(|p| p.altitude_m.get()))
}

/// A log without altitude, or a slow climb away over rising ground: then the time tells.
fn by_time(window: &Window, track: &Track) -> Option<Finding> {
    let limit_s = NEAR_GROUND_S.value;
    let close = |seconds: &f64| (0.0..limit_s).contains(seconds);
    let after = track.takeoff_s.map(|takeoff_s| window.start_s - takeoff_s).filter(close);
    let before = track.landing_s.map(|landing_s| landing_s - window.end_s).filter(close);
    match (after, before) {
        (Some(after_s), _) => Some(Finding::JustAfterTakeOff { after_s, limit_s }),
        (None, Some(before_s)) => Some(Finding::JustBeforeLanding { before_s, limit_s }),
        (None, None) => None,
    }
}

#[cfg(test)]
mod tests;
