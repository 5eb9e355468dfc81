//! The circle-drift fit of one window alone, with the wind of the flight's best circle borrowed for it.

use crate::{VelocityCircle, Window};
use driftless_track::{Track, TrackPoint};
use driftless_units::{Estimate, Ground, Position, TurnRate};
use driftless_wind::drift::{WindPrior, fit_drift};

/// How far a wind may have wandered per √s since it was fitted, m/s (0.5 m/s over 600 s, as in the whole-flight
/// estimate).
const WIND_WALK: f64 = 0.03;
/// How far it may differ per metre of height, 1/s (1 m/s in 100 m, as in the whole-flight estimate).
const WIND_SHEAR: f64 = 0.01;

/// The turn rate of the circle-drift model over the window's steady span; `None` when no circle told the wind, or when
/// the model does not fit.
pub(crate) fn second_opinion(
    track: &Track,
    window: &Window,
    circle: Option<&VelocityCircle>,
) -> Option<Estimate<TurnRate>> {
    let prior = borrowed_wind(track, window, circle?);
    let (times_s, positions) = second_by_second(points_between(track, window.start_s, window.end_s));
    fit_drift(&times_s, &positions, &prior).ok().map(|fit| fit.turn_rate)
}

/// Means of the fixes of each second: more fixes than that err together and tell the fit nothing new.
fn second_by_second(points: &[TrackPoint]) -> (Vec<f64>, Vec<Position<Ground>>) {
    points
        .chunk_by(|a, b| a.t_s.floor() == b.t_s.floor())
        .map(|second| {
            let mean = |value: fn(&TrackPoint) -> f64| second.iter().map(value).sum::<f64>() / second.len() as f64;
            (mean(|p| p.t_s), Position::new(mean(|p| p.position.east_m), mean(|p| p.position.north_m)))
        })
        .unzip()
}

/// The circle's wind, less sure the farther away in time and height the circle was flown.
fn borrowed_wind(track: &Track, window: &Window, circle: &VelocityCircle) -> WindPrior {
    let apart_s = (circle.start_s - window.end_s).max(window.start_s - circle.end_s).max(0.0);
    let apart_m = mean_altitude_m(track, window.start_s, window.end_s)
        .zip(mean_altitude_m(track, circle.start_s, circle.end_s))
        .map_or(0.0, |(a, b)| a - b);
    let moved_var = WIND_WALK * WIND_WALK * apart_s + (WIND_SHEAR * apart_m).powi(2);
    let [east, cross, north] = circle.wind_cov;
    WindPrior { wind: circle.wind, cov: [east + moved_var, cross, north + moved_var] }
}

fn mean_altitude_m(track: &Track, start_s: f64, end_s: f64) -> Option<f64> {
    let points = points_between(track, start_s, end_s);
    (!points.is_empty()).then(|| points.iter().map(|p| p.altitude_m).sum::<f64>() / points.len() as f64)
}

fn points_between(track: &Track, start_s: f64, end_s: f64) -> &[TrackPoint] {
    let low = track.points.partition_point(|p| p.t_s < start_s);
    let high = track.points.partition_point(|p| p.t_s <= end_s);
    &track.points[low..high.max(low)]
}
