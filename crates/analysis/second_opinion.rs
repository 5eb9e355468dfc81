//! The circle-drift fit of one window alone, with the wind of the flight's best circle borrowed for it.

use crate::{FlightEstimate, Node, Observability, VelocityCircle, Window};
use driftless_segment::CircleOpinion;
use driftless_track::{Track, TrackPoint};
use driftless_units::{Estimate, Ground, Position, TurnRate, Wind};
use driftless_wind::drift::{WindPrior, fit_drift};
use driftless_wind::flight::constants::{WANDER_TAU_S, WIND_SHEAR, WIND_WALK};

/// What the circle-drift model says of the window's steady span; `None` when no circle told the wind, or when the model does
/// not fit.
///
/// The model knows a steady wind and a steady turn only. What it misses widens its uncertainty: the wind that changes
/// on the way through the air, and the wander of the turn rate (as estimated from the flight).
pub(crate) fn second_opinion(
    track: &Track,
    window: &Window,
    circle: Option<&VelocityCircle>,
    estimate: Option<&FlightEstimate>,
) -> Option<CircleOpinion> {
    let prior = borrowed_wind(track, window, circle?);
    let points = track.points_between(window.start_s, window.end_s);
    let (times_s, positions) = second_by_second(points);
    let fit = fit_drift(&times_s, &positions, &prior).ok()?;
    let length_s = window.end_s - window.start_s;
    let noise = estimate.map(|e| e.noise);
    let missed_rad_s = by_wander_rad_s(noise.map_or(0.0, |n| n.yaw_wander_deg_s), length_s)
        .hypot(by_changing_wind_rad_s(points, length_s, fit.airspeed_mps.value));
    let std_u = TurnRate::from_rad_s(fit.turn_rate.std_u.rad_s().hypot(missed_rad_s));
    let with_window_wind = estimate
        .and_then(|e| window_wind(e, window))
        .and_then(|wind| fit_drift(&times_s, &positions, &wind).ok())
        .map(|fit| fit.turn_rate.value);
    Some(CircleOpinion {
        turn_rate: Estimate { std_u, ..fit.turn_rate },
        with_window_wind,
        residual_m: fit.residual_m,
        noise_m: noise.map_or(f64::INFINITY, |n| n.position_m),
    })
}

/// The wind that the whole flight shows in a window, where it shows one.
fn window_wind(estimate: &FlightEstimate, window: &Window) -> Option<WindPrior> {
    let nodes = estimate.nodes_in(window.start_s, window.end_s);
    let known = !nodes.is_empty() && estimate.observability == Observability::Observable;
    let mean = |value: &dyn Fn(&Node) -> f64| nodes.iter().map(value).sum::<f64>() / nodes.len() as f64;
    known.then(|| WindPrior {
        wind: Wind::new(mean(&|n| n.wind.east_mps), mean(&|n| n.wind.north_mps)),
        // The nodes of a window err together.
        cov: [mean(&|n| n.wind_cov[0]), mean(&|n| n.wind_cov[1]), mean(&|n| n.wind_cov[2])],
    })
}

/// How far a straight line through a wandering heading misses the change between its ends, per second.
///
/// The wander makes the heading a random walk of `D = 2 σ² τ` per second. Over `T` the slope by least squares then has
/// variance `6 D / (5 T)`, the change between the ends `D / T`, and their covariance is `D / T`: the difference has
/// `D / (5 T)` (derived here).
fn by_wander_rad_s(yaw_wander_deg_s: f64, length_s: f64) -> f64 {
    let sigma = yaw_wander_deg_s.to_radians();
    (2.0 * sigma * sigma * WANDER_TAU_S.value / (5.0 * length_s)).sqrt()
}

/// A wind that changes evenly by `a` m/s per second looks like a turn of up to `a / V`, by `a / (V √2)` on average over
/// directions; so do the two halves of its slow walk.
fn by_changing_wind_rad_s(points: &[TrackPoint], length_s: f64, airspeed_mps: f64) -> f64 {
    let [Some(first), Some(last)] = [points.first(), points.last()] else { return 0.0 };
    let climbed_m = last.altitude_m.get().zip(first.altitude_m.get()).map_or(0.0, |(to, from)| (to - from).abs());
    let change_mps = (WIND_SHEAR.value * climbed_m).hypot(WIND_WALK.value * length_s.sqrt());
    change_mps / length_s / airspeed_mps / std::f64::consts::SQRT_2
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
    let moved_var = WIND_WALK.value * WIND_WALK.value * apart_s + (WIND_SHEAR.value * apart_m).powi(2);
    let [east, cross, north] = circle.wind_cov;
    WindPrior { wind: circle.wind, cov: [east + moved_var, cross, north + moved_var] }
}

fn mean_altitude_m(track: &Track, start_s: f64, end_s: f64) -> Option<f64> {
    let points = track.points_between(start_s, end_s);
    let known = || points.iter().filter_map(|p| p.altitude_m.get());
    known().next().map(|_| known().sum::<f64>() / known().count() as f64)
}
