//! Take-off and landing, as far as a log can tell them in any wind.
//!
//! Ground speed alone misleads: a slow wing hangs still over the ground in a strong wind, and a pilot walks before
//! take-off. So the rule looks for a standing start and for the height as well. The flight has begun when, after at
//! least 10 s of standing or walking at one height,
//! * the height has left that of the last standing place by 15 m and stays away for 20 s, or
//! * the ground speed stays above 4 m/s for 20 s and the height leaves by 12 m within the next three minutes (or
//!   the log has no altitude).
//!
//! The moment itself is the last one before that at which the aircraft moved slower than 3 m/s, but at most 20 s
//! earlier. Landing is the same rule with time running backwards. A log that begins without standing began in the air
//! (or in a car), and its take-off is unknown.
//!
//! A gap says nothing of the seconds before it, so nothing is decided there. Where the aircraft stands after one, it stands
//! on the ground of that place, whatever its height: a logger that was switched off for the way up the hill.

use crate::TrackPoint;
use crate::path::distance_m;
use driftless_units::median;

const CHORD_HALF_S: f64 = 5.0;
pub(crate) const WALKING_MPS: f64 = 2.2;
const WALKING_HEIGHT_M: f64 = 5.0;
const STANDING_MIN_S: f64 = 10.0;
const STANDING_HEIGHT_SPREAD_M: f64 = 10.0;
const FLYING_MPS: f64 = 4.0;
const ROLLING_MPS: f64 = 3.0;
const SUSTAINED_S: f64 = 20.0;
const SUSTAINED_SHARE: f64 = 0.8;
/// Without data for this long of the sustained time nothing is sustained.
const LONGEST_HOLE_S: f64 = 0.5 * SUSTAINED_S;
const OFF_THE_GROUND_M: f64 = 15.0;
const CONFIRM_M: f64 = 12.0;
const CONFIRM_S: f64 = 180.0;

/// The points as the rules see them, each with the speed of the chord about it.
pub(crate) fn moments(points: &[TrackPoint]) -> Vec<Moment<'_>> {
    let moment = |(i, point)| Moment { point, speed_mps: chord_speed_mps(points, i, point) };
    points.iter().enumerate().map(moment).collect()
}

/// Take-off and landing of what holds one flight at most, seconds on its clock; `None` where it does not hold them.
pub(crate) fn find_in(moments: &[Moment<'_>]) -> (Option<f64>, Option<f64>) {
    let takeoff = leave_ground(moments);
    let backwards: Vec<Moment<'_>> = moments.iter().rev().copied().collect();
    let landing = leave_ground(&backwards);
    match (takeoff, landing) {
        (Some(up), Some(down)) if down <= up => (None, None),
        both => both,
    }
}

/// One point, as the rule sees it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Moment<'a> {
    pub(crate) point: &'a TrackPoint,
    /// Of the chord about it.
    pub(crate) speed_mps: f64,
}

impl Moment<'_> {
    pub(crate) const fn t_s(&self) -> f64 {
        self.point.t_s
    }

    pub(crate) fn altitude_m(&self) -> Option<f64> {
        self.point.altitude_m.get()
    }

    /// How long it is from here to another, s, whichever comes first: landings are found with time running backwards.
    fn apart_s(&self, other: &Self) -> f64 {
        (other.t_s() - self.t_s()).abs()
    }

    /// How far the altitude is from another, m; nothing where the log has none.
    fn away_m(&self, altitude_m: Option<f64>) -> f64 {
        self.altitude_m().zip(altitude_m).map_or(0.0, |(here, there)| (here - there).abs())
    }
}

/// The first moments, up to so many seconds after the first of them.
fn within<'m, 'a>(moments: &'m [Moment<'a>], seconds: f64) -> &'m [Moment<'a>] {
    let Some(first) = moments.first() else { return moments };
    moments.get(..moments.partition_point(|m| first.apart_s(m) <= seconds)).unwrap_or_default()
}

/// Share of some moments of which something holds.
fn share(moments: &[Moment<'_>], holds: impl Fn(&Moment<'_>) -> bool) -> f64 {
    moments.iter().filter(|m| holds(m)).count() as f64 / moments.len().max(1) as f64
}

/// When the aircraft left the ground.
fn leave_ground(moments: &[Moment<'_>]) -> Option<f64> {
    let first = moments.first()?;
    let first_m = median(within(moments, STANDING_MIN_S).iter().filter_map(Moment::altitude_m));
    let left_place = |m: &Moment<'_>| m.speed_mps > WALKING_MPS || m.away_m(first_m) > STANDING_HEIGHT_SPREAD_M;
    let standing_end = moments.iter().position(left_place)?;
    let standing_s = first.apart_s(moments.get(standing_end.checked_sub(1)?)?);
    // The chord reaches 5 s ahead, so a standing start looks 5 s shorter than it is.
    if standing_s + CHORD_HALF_S < STANDING_MIN_S {
        return None;
    }
    let mut ground_m = first_m;
    let mut before: Option<&Moment<'_>> = None;
    for (i, now) in moments.iter().enumerate() {
        let rest = moments.get(i..).unwrap_or_default();
        let hole = before.replace(now).is_some_and(|before| before.apart_s(now) >= LONGEST_HOLE_S);
        if hole && let Some(place_m) = standing_height_m(rest) {
            ground_m = Some(place_m);
        }
        let ahead = within(rest, SUSTAINED_S);
        if ahead.last().is_none_or(|last| now.apart_s(last) < LONGEST_HOLE_S) {
            continue;
        }
        let fast = |m: &Moment<'_>| m.speed_mps > FLYING_MPS;
        let fast_ahead = fast(now) && share(ahead, fast) >= SUSTAINED_SHARE;
        let airborne = if ground_m.is_some() {
            let high = |m: &Moment<'_>| m.away_m(ground_m) > OFF_THE_GROUND_M;
            let leaves = || within(rest, CONFIRM_S).iter().any(|m| m.away_m(ground_m) > CONFIRM_M);
            (high(now) && share(ahead, high) >= SUSTAINED_SHARE) || (fast_ahead && leaves())
        } else {
            fast_ahead
        };
        if airborne {
            return moments.get(roll_start(moments, i)).map(Moment::t_s);
        }
        // Walking about the field moves the ground along; a slow climb does not.
        if let (Some(altitude_m), Some(ground)) = (now.altitude_m(), ground_m.as_mut())
            && now.speed_mps <= WALKING_MPS
            && (altitude_m - *ground).abs() < WALKING_HEIGHT_M
        {
            *ground += (altitude_m - *ground) * 0.02;
        }
    }
    None
}

/// The fix after the last slow one before fix `i`, at most 20 s earlier.
fn roll_start(moments: &[Moment<'_>], i: usize) -> usize {
    let (Some(now), Some(until)) = (moments.get(i), moments.get(..=i)) else { return i };
    let slow = |pair: &[Moment<'_>]| {
        let [a, b] = pair else { return false };
        a.apart_s(now) > SUSTAINED_S || step_mps(a.point, b.point) < ROLLING_MPS
    };
    until.windows(2).rposition(slow).map_or(0, |k| k + 1)
}

/// Height of the place where the aircraft stands in the first 10 s of these fixes; `None` when it moves or rises.
fn standing_height_m(moments: &[Moment<'_>]) -> Option<f64> {
    let settled = within(moments, STANDING_MIN_S);
    // The chord of the first fix reaches back across the hole.
    let stands = settled.len() > 1 && settled.iter().skip(1).all(|m| m.speed_mps <= WALKING_MPS);
    let heights = || settled.iter().filter_map(Moment::altitude_m);
    let (low, high) = heights().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), h| (a.min(h), b.max(h)));
    (stands && high - low < WALKING_HEIGHT_M).then(|| median(heights())).flatten()
}

/// Speed of the straight line from 5 s before to 5 s after a point, the `i`th; in a log slower than that, between the
/// neighbours.
fn chord_speed_mps(points: &[TrackPoint], i: usize, now: &TrackPoint) -> f64 {
    let first = points.partition_point(|p| now.t_s - p.t_s > CHORD_HALF_S).min(i.saturating_sub(1));
    let after = points.partition_point(|p| p.t_s - now.t_s <= CHORD_HALF_S).max((i + 2).min(points.len()));
    let chord = points.get(first..after).unwrap_or_default();
    chord.first().zip(chord.last()).map_or(0.0, |(a, b)| step_mps(a, b))
}

fn step_mps(a: &TrackPoint, b: &TrackPoint) -> f64 {
    distance_m(a, b) / (b.t_s - a.t_s).abs().max(1e-3)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::path::points_of;
    use driftless_units::{Ground, Position};

    fn find(t: &[f64], p: &[Position<Ground>], h: Option<&[f64]>) -> (Option<f64>, Option<f64>) {
        find_in(&moments(&points_of(t, p, h)))
    }

    /// Stand 60 s, roll, climb at 2 m/s for 200 s, descend, stand 60 s; 1 Hz.
    fn flight(ground_speed_mps: f64) -> (Vec<f64>, Vec<Position<Ground>>, Vec<f64>) {
        let t: Vec<f64> = (0..520).map(f64::from).collect();
        let in_flight = |t: f64| (t - 60.0).clamp(0.0, 400.0);
        let p = t.iter().map(|&t| Position::new(ground_speed_mps * in_flight(t), 0.3 * (t * 0.7).sin())).collect();
        let h = t.iter().map(|&t| 210.0 + 2.0 * (200.0 - (in_flight(t) - 200.0).abs()) + (t * 1.3).sin()).collect();
        (t, p, h)
    }

    #[test]
    fn take_off_and_landing_are_found_to_a_few_seconds() {
        let (t, p, h) = flight(11.0);
        let (up, down) = find(&t, &p, Some(&h));
        assert!((up.unwrap_or(f64::NAN) - 60.0).abs() <= 3.0, "{up:?}");
        assert!((down.unwrap_or(f64::NAN) - 460.0).abs() <= 3.0, "{down:?}");
        let (up, down) = find(&t, &p, None);
        assert!((up.unwrap_or(f64::NAN) - 60.0).abs() <= 6.0 && (down.unwrap_or(f64::NAN) - 460.0).abs() <= 6.0);
    }

    #[test]
    fn a_take_off_that_hangs_still_in_the_wind_shows_by_its_height() {
        let (t, p, h) = flight(0.5);
        let (up, down) = find(&t, &p, Some(&h));
        // 15 m at 2 m/s are 8 s late.
        assert!((up.unwrap_or(f64::NAN) - 60.0).abs() <= 10.0 && (down.unwrap_or(f64::NAN) - 460.0).abs() <= 10.0);
    }

    #[test]
    fn a_log_that_begins_and_ends_in_the_air_has_neither() {
        let (t, p, h) = flight(11.0);
        assert_eq!(find(&t[100..400], &p[100..400], Some(&h[100..400])), (None, None));
    }

    #[test]
    fn regression_gaps_on_the_ground_do_not_hide_take_off_and_landing() {
        for (from, to) in [(40, 52), (15, 58), (30, 62), (465, 490), (455, 480)] {
            let (t, p, h) = flight(11.0);
            let inside = |i: &usize| !(from..to).contains(i);
            let keep: Vec<usize> = (0..t.len()).filter(inside).collect();
            let t: Vec<f64> = keep.iter().map(|&i| t[i]).collect();
            let p: Vec<_> = keep.iter().map(|&i| p[i]).collect();
            let h: Vec<f64> = keep.iter().map(|&i| h[i]).collect();
            for altitudes in [Some(&h[..]), None] {
                let late_s = if altitudes.is_some() { 3.0 } else { 6.0 };
                // As without the gap; what happened inside it shows at one of its ends.
                let near = |found: Option<f64>, truth_s: f64| {
                    let hidden_s = if inside(&(truth_s as usize)) { 0.0 } else { (to - from) as f64 };
                    (found.unwrap_or(f64::NAN) - truth_s).abs() <= late_s + hidden_s
                };
                let (up, down) = find(&t, &p, altitudes);
                assert!(near(up, 60.0) && near(down, 460.0), "{from} to {to}: {up:?}, {down:?}");
            }
        }
    }

    #[test]
    fn regression_a_logger_switched_off_for_the_way_up_has_not_taken_off() {
        let (t, p, h) = flight(11.0);
        // Five minutes in the valley, an hour without data, then the flight.
        let valley: Vec<f64> = (0..300).map(f64::from).collect();
        let t: Vec<f64> = valley.iter().copied().chain(t.iter().map(|t| t + 3900.0)).collect();
        let p: Vec<_> = valley.iter().map(|_| Position::new(-3000.0, 500.0)).chain(p).collect();
        let h: Vec<f64> = valley.iter().map(|_| 20.0).chain(h).collect();
        let (up, down) = find(&t, &p, Some(&h));
        assert!((up.unwrap_or(f64::NAN) - 3960.0).abs() <= 3.0, "{up:?}");
        assert!((down.unwrap_or(f64::NAN) - 4360.0).abs() <= 3.0, "{down:?}");
    }

    #[test]
    fn standing_all_day_is_no_flight() {
        let t: Vec<f64> = (0..600).map(f64::from).collect();
        let p: Vec<_> = t.iter().map(|t| Position::new(2.0 * (t * 0.1).sin(), 1.0)).collect();
        assert_eq!(find(&t, &p, None), (None, None));
    }
}
