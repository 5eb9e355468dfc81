//! Positions that a logger repeated while its clock went on.

use crate::TrackPoint;
use crate::path::distance_m;

/// An aircraft that should have moved this far during the repeats was not standing still, m.
const MISSED_MIN_M: f64 = 3.0;
/// The same in steps of the file's own rounding, below which equal positions are natural.
const MISSED_MIN_STEPS: f64 = 6.0;

/// Fixes that only repeat the position before them although the aircraft moved on, rising.
///
/// A run of equal positions is stale when the step that ends it, spread over the whole run, goes on at about the
/// speed with which the run was entered (between 0.4 and 2.5 times), and would have moved the aircraft by more than
/// 3 m and more than six steps of rounding during the repeats. A stop is entered slowly or left slowly.
pub(crate) fn find(points: &[TrackPoint], rounding_m: f64) -> Vec<usize> {
    let limit_m = MISSED_MIN_M.max(MISSED_MIN_STEPS * rounding_m * 12f64.sqrt());
    let speed_mps = |a: &TrackPoint, b: &TrackPoint| distance_m(a, b) / (b.t_s - a.t_s);
    let mut stale = Vec::new();
    let mut before: Option<&TrackPoint> = None;
    let mut first_at = 0;
    for run in points.chunk_by(|a, b| a.position == b.position) {
        let behind_at = first_at + run.len();
        // Several fixes at one place, with a fix before and one behind.
        if let (Some(entered), [first, .., last], Some(left)) = (before, run, points.get(behind_at)) {
            let (entered_mps, left_mps) = (speed_mps(entered, first), speed_mps(first, left));
            let goes_on = (0.4 * entered_mps..=2.5 * entered_mps).contains(&left_mps);
            if goes_on && left_mps * (last.t_s - first.t_s) > limit_m {
                stale.extend(first_at + 1..behind_at);
            }
        }
        before = run.first();
        first_at = behind_at;
    }
    stale
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::path::points_at;
    use driftless_units::Position;

    #[test]
    fn repeats_in_flight_go_and_a_stop_on_the_ground_stays() {
        let t: Vec<f64> = (0..120).map(f64::from).collect();
        // Standing for 60 s, then 10 m/s; from second 80 on the logger repeats its position for 4 s.
        let east = |t: f64| if t < 60.0 { 0.0 } else { 10.0 * (t - 60.0) };
        let p: Vec<_> =
            t.iter().map(|&t| Position::new(east(if (80.0..85.0).contains(&t) { 80.0 } else { t }), 0.0)).collect();
        assert_eq!(find(&points_at(&t, &p), 0.0), [81, 82, 83, 84]);
        // A landing: full speed, then a stop, then a walk.
        let place = |t: f64| 10.0 * t.min(40.0) + (t - 90.0).max(0.0);
        let landing: Vec<_> = t.iter().map(|&t| Position::new(place(t), 0.0)).collect();
        assert_eq!(find(&points_at(&t, &landing), 0.0), [0usize; 0]);
    }
}
