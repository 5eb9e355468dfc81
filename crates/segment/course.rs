//! The raw rate of the ground course, for contrast: what a log shows before the wind is taken out.

use crate::constants::{COURSE_MEAN_S, SLOWEST_COURSE_MPS};
use driftless_track::Track;
use driftless_units::{Ground, TurnRate, Velocity, wrap_pi_rad};

/// Change of the ground course from `start_s` to `end_s` over the time between; `None` where the aircraft stands
/// still over the ground on the way or the log has too few fixes.
///
/// The course is followed step by step, so turns of more than half a circle come out whole.
pub fn course_rate(track: &Track, start_s: f64, end_s: f64) -> Option<TurnRate> {
    let step_s = track.median_interval_s.max(1.0);
    let steps = ((end_s - start_s) / step_s).ceil();
    if !steps.is_finite() || steps < 1.0 {
        return None;
    }
    let half_s = 0.5 * COURSE_MEAN_S.value.max(2.0 * track.median_interval_s);
    let mut course_rad: Option<f64> = None;
    let mut turned_rad = 0.0;
    for k in 0..=steps as usize {
        let t_s = (start_s + step_s * k as f64).min(end_s);
        let velocity = mean_velocity(track, t_s - half_s, t_s + half_s)?;
        if velocity.speed_mps() < SLOWEST_COURSE_MPS.value {
            return None;
        }
        let now_rad = velocity.direction().rad();
        turned_rad += course_rad.map_or(0.0, |before_rad| wrap_pi_rad(now_rad - before_rad));
        course_rad = Some(now_rad);
    }
    Some(TurnRate::from_rad_s(turned_rad / (end_s - start_s)))
}

fn mean_velocity(track: &Track, from_s: f64, to_s: f64) -> Option<Velocity<Ground>> {
    let points = track.points_between(from_s, to_s);
    let count = points.len() as f64;
    let (east, north) =
        points.iter().fold((0.0, 0.0), |sum, p| (sum.0 + p.velocity.east_mps, sum.1 + p.velocity.north_mps));
    (!points.is_empty()).then(|| Velocity::new(east / count, north / count))
}
