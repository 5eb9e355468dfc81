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

use driftless_units::{Ground, Position, median};

const CHORD_HALF_S: f64 = 5.0;
const WALKING_MPS: f64 = 2.2;
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

/// Take-off and landing, seconds on the clock of `t_s`; `None` where the log does not hold them.
pub(crate) fn find(
    t_s: &[f64],
    positions: &[Position<Ground>],
    altitudes_m: Option<&[f64]>,
) -> (Option<f64>, Option<f64>) {
    let takeoff = leave_ground(t_s, positions, altitudes_m).map(|i| t_s[i]);
    let reversed = |values: &[f64]| values.iter().rev().copied().collect::<Vec<_>>();
    let back_t: Vec<f64> = t_s.iter().rev().map(|t| -t).collect();
    let back_p: Vec<_> = positions.iter().rev().copied().collect();
    let back_h = altitudes_m.map(reversed);
    let landing = leave_ground(&back_t, &back_p, back_h.as_deref()).map(|i| t_s[t_s.len() - 1 - i]);
    match (takeoff, landing) {
        (Some(up), Some(down)) if down <= up => (None, None),
        both => both,
    }
}

/// Index of the fix at which the aircraft left the ground.
fn leave_ground(t_s: &[f64], positions: &[Position<Ground>], altitudes_m: Option<&[f64]>) -> Option<usize> {
    let n = t_s.len();
    let speed = chord_speeds(t_s, positions);
    let first_m = altitudes_m.and_then(|h| {
        let settled = t_s.partition_point(|t| t - t_s[0] <= STANDING_MIN_S);
        median(h.get(..settled)?.iter().copied())
    });
    let left_place = |i: usize| {
        speed[i] > WALKING_MPS
            || altitudes_m.zip(first_m).is_some_and(|(h, first)| (h[i] - first).abs() > STANDING_HEIGHT_SPREAD_M)
    };
    let standing_end = (0..n).find(|&i| left_place(i))?;
    let standing_s = t_s.get(standing_end.checked_sub(1)?)? - t_s.first()?;
    // The chord reaches 5 s ahead, so a standing start looks 5 s shorter than it is.
    if standing_s + CHORD_HALF_S < STANDING_MIN_S {
        return None;
    }
    let mut ground_m = first_m;

    let fast = Counts::new(speed.iter().map(|v| *v > FLYING_MPS));
    let mut ahead = 0;
    for i in 0..n {
        while ahead + 1 < n && t_s[ahead + 1] - t_s[i] <= SUSTAINED_S {
            ahead += 1;
        }
        if let (Some(h), Some(ground)) = (altitudes_m, ground_m.as_mut())
            && i.checked_sub(1).is_some_and(|before| t_s[i] - t_s[before] >= LONGEST_HOLE_S)
            && let Some(place_m) = standing_height_m(&t_s[i..], &speed[i..], &h[i..])
        {
            *ground = place_m;
        }
        if t_s[ahead] - t_s[i] < LONGEST_HOLE_S {
            continue;
        }
        let fast_ahead = fast.share(i, ahead) >= SUSTAINED_SHARE && speed[i] > FLYING_MPS;
        let airborne = match (altitudes_m, ground_m) {
            (Some(h), Some(ground)) => {
                let away = |k: &f64, limit: f64| (k - ground).abs() > limit;
                let high = away(&h[i], OFF_THE_GROUND_M)
                    && h[i..=ahead].iter().filter(|k| away(k, OFF_THE_GROUND_M)).count() as f64
                        >= SUSTAINED_SHARE * (ahead - i + 1) as f64;
                let soon = t_s.partition_point(|t| *t <= t_s[i] + CONFIRM_S);
                high || (fast_ahead && h[i..soon].iter().any(|k| away(k, CONFIRM_M)))
            }
            _ => fast_ahead,
        };
        if airborne {
            let slow = |k: &usize| t_s[i] - t_s[*k] > SUSTAINED_S || step_speed(t_s, positions, *k) < ROLLING_MPS;
            return Some((0..i).rev().find(slow).map_or(0, |k| k + 1).min(i));
        }
        // Walking about the field moves the ground along; a slow climb does not.
        if let (Some(h), Some(ground)) = (altitudes_m, ground_m.as_mut())
            && speed[i] <= WALKING_MPS
            && (h[i] - *ground).abs() < WALKING_HEIGHT_M
        {
            *ground += (h[i] - *ground) * 0.02;
        }
    }
    None
}

/// Height of the place where the aircraft stands in the first 10 s of these fixes; `None` when it moves or rises.
fn standing_height_m(t_s: &[f64], speed: &[f64], altitudes_m: &[f64]) -> Option<f64> {
    let settled = t_s.partition_point(|t| t - t_s[0] <= STANDING_MIN_S);
    // The chord of the first fix reaches back across the hole.
    let stands = settled > 1 && speed[1..settled].iter().all(|v| *v <= WALKING_MPS);
    let heights = &altitudes_m[..settled];
    let (low, high) = heights.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), h| (a.min(*h), b.max(*h)));
    (stands && high - low < WALKING_HEIGHT_M).then(|| median(heights.iter().copied())).flatten()
}

/// Speed of the straight line from 5 s before to 5 s after each fix, m/s.
fn chord_speeds(t_s: &[f64], positions: &[Position<Ground>]) -> Vec<f64> {
    let (mut a, mut b) = (0, 0);
    (0..t_s.len())
        .map(|i| {
            while t_s[i] - t_s[a] > CHORD_HALF_S {
                a += 1;
            }
            while b + 1 < t_s.len() && t_s[b + 1] - t_s[i] <= CHORD_HALF_S {
                b += 1;
            }
            // A log slower than 5 s: the neighbours.
            let (a, b) = (a.min(i.saturating_sub(1)), b.max((i + 1).min(t_s.len() - 1)));
            let d_m = (positions[b].east_m - positions[a].east_m).hypot(positions[b].north_m - positions[a].north_m);
            d_m / (t_s[b] - t_s[a]).max(1e-3)
        })
        .collect()
}

fn step_speed(t_s: &[f64], positions: &[Position<Ground>], i: usize) -> f64 {
    let last = t_s.len() - 1;
    let (a, b) = (positions[i], positions[(i + 1).min(last)]);
    (b.east_m - a.east_m).hypot(b.north_m - a.north_m) / (t_s[(i + 1).min(last)] - t_s[i]).max(1e-3)
}

/// Counts over any interval in constant time.
struct Counts(Vec<u32>);

impl Counts {
    fn new(flags: impl Iterator<Item = bool>) -> Self {
        let mut sums = vec![0];
        let mut sum = 0;
        sums.extend(flags.map(|f| {
            sum += u32::from(f);
            sum
        }));
        Self(sums)
    }
    fn share(&self, first: usize, last: usize) -> f64 {
        f64::from(self.0[last + 1] - self.0[first]) / (last + 1 - first) as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
