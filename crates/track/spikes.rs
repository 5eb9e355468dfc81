//! Spikes: positions that no aircraft could have flown through.
//!
//! Two rules, in this order.
//! 1. **Jump there and back.** A step longer than 15 m at more than the larger of 60 m/s and four times the 90 %
//!    quantile of all speeds cuts the track. A piece of at most 10 fixes that the track can be joined over at a
//!    believable speed is dropped. Longer pieces are kept, and the jump is reported; only what lies more than 100 km from
//!    the longest piece, and farther than at 340 m/s, is dropped whatever its length: the place where a receiver was used
//!    last, not a flight.
//! 2. **Off the line of its neighbours** (a Hampel rule on the second difference). A fix farther from the straight
//!    line between its neighbours than an acceleration of 15 m/s² explains, plus 3 m, and also farther than eight
//!    times the median of the fifteen fixes around it, is dropped: a steep spiral raises the median, a spike does not.
//!
//! Smaller errors are left to the estimate, which is robust by itself.

use driftless_units::{Ground, Position, median, quantile};

const JUMP_MIN_M: f64 = 15.0;
const SPEED_FLOOR_MPS: f64 = 60.0;
const SPEED_FACTOR: f64 = 4.0;
const SHORT_PIECE: usize = 10;
/// Errors of reception do not reach this far (engineering judgement), ...
const ELSEWHERE_M: f64 = 100_000.0;
/// ... and nothing that this program is for flies at the speed of sound (340 m/s, ISO 2533 at sea level).
const ELSEWHERE_MPS: f64 = 340.0;
const ACCELERATION_MPS2: f64 = 15.0;
const OFF_LINE_FLOOR_M: f64 = 3.0;
const OFF_LINE_FACTOR: f64 = 8.0;
const HALF_WINDOW: usize = 7;

/// What the two rules found, as positions in the list given.
#[derive(Debug, Default, PartialEq)]
pub(crate) struct Spikes {
    /// Fixes to drop, rising.
    pub(crate) dropped: Vec<usize>,
    /// First fixes after a jump that was kept, rising.
    pub(crate) jumps: Vec<usize>,
}

pub(crate) fn find(t_s: &[f64], positions: &[Position<Ground>]) -> Spikes {
    let mut found = there_and_back(t_s, positions);
    let mut gone = vec![false; t_s.len()];
    for &i in &found.dropped {
        gone[i] = true;
    }
    let left: Vec<usize> = (0..t_s.len()).filter(|&i| !gone[i]).collect();
    found.dropped.extend(off_the_line(t_s, positions, &left, &found.jumps));
    found.dropped.sort_unstable();
    found
}

fn distance_m(a: Position<Ground>, b: Position<Ground>) -> f64 {
    (a.east_m - b.east_m).hypot(a.north_m - b.north_m)
}

fn there_and_back(t_s: &[f64], positions: &[Position<Ground>]) -> Spikes {
    let speeds = (1..t_s.len()).map(|i| distance_m(positions[i - 1], positions[i]) / (t_s[i] - t_s[i - 1]));
    let limit_mps = (SPEED_FACTOR * quantile(speeds, 0.9).unwrap_or(0.0)).max(SPEED_FLOOR_MPS);
    let is_jump = |a: usize, b: usize| {
        let d_m = distance_m(positions[a], positions[b]);
        d_m > JUMP_MIN_M && d_m > limit_mps * (t_s[b] - t_s[a])
    };

    // Pieces [first, last]; a short piece at the end of the list may still turn out to be the spike.
    let mut pieces: Vec<(usize, usize)> = Vec::new();
    let mut settled: Vec<(usize, usize)> = Vec::new();
    let mut found = Spikes::default();
    let mut i = 0;
    while i < t_s.len() {
        let first = i;
        while i + 1 < t_s.len() && !is_jump(i, i + 1) {
            i += 1;
        }
        let mut piece = (first, i);
        i += 1;
        // Drop short pieces at the end of the list as long as that lets this one join what came before.
        let joins = (0..pieces.len()).rev().find(|&k| {
            let between_is_short = pieces[k + 1..].iter().all(|p| p.1 - p.0 < SHORT_PIECE);
            between_is_short && !is_jump(pieces[k].1, piece.0)
        });
        if let Some(k) = joins {
            for p in pieces.drain(k + 1..) {
                found.dropped.extend(p.0..=p.1);
            }
            if let Some(before) = pieces.pop() {
                piece = (before.0, piece.1);
            }
        }
        pieces.push(piece);
        // Pieces that join nothing are noise, not flight; looking back over more of them would cost and not help.
        if pieces.len() > 4 * SHORT_PIECE {
            settled.push(pieces.remove(0));
        }
    }
    settled.append(&mut pieces);
    // Short pieces that joined nothing go, longer ones stay and begin with a jump; the longest of all always stays.
    let Some(&main) = settled.iter().rev().max_by_key(|p| p.1 - p.0) else { return found };
    let longest = main.1 - main.0;
    let elsewhere = |p: (usize, usize)| {
        let (a, b) = if p.0 > main.0 { (main.1, p.0) } else { (p.1, main.0) };
        let d_m = distance_m(positions[a], positions[b]);
        p != main && d_m > ELSEWHERE_M && d_m > ELSEWHERE_MPS * (t_s[b] - t_s[a])
    };
    for p in settled {
        if p.1 - p.0 < SHORT_PIECE.min(longest) || elsewhere(p) {
            found.dropped.extend(p.0..=p.1);
        } else {
            found.jumps.push(p.0);
        }
    }
    found.jumps.retain(|&j| j > 0);
    found
}

fn off_the_line(t_s: &[f64], positions: &[Position<Ground>], left: &[usize], jumps: &[usize]) -> Vec<usize> {
    let off_m: Vec<f64> = (0..left.len())
        .map(|k| {
            let (Some(&a), Some(&b)) = (k.checked_sub(1).and_then(|k| left.get(k)), left.get(k + 1)) else {
                return 0.0;
            };
            let i = left[k];
            if jumps.binary_search(&i).is_ok() || jumps.binary_search(&b).is_ok() {
                return 0.0;
            }
            let share = (t_s[i] - t_s[a]) / (t_s[b] - t_s[a]);
            let (pa, pi, pb) = (positions[a], positions[i], positions[b]);
            let east = pi.east_m - pa.east_m - share * (pb.east_m - pa.east_m);
            let north = pi.north_m - pa.north_m - share * (pb.north_m - pa.north_m);
            east.hypot(north)
        })
        .collect();
    let mut dropped = Vec::new();
    for k in 1..left.len().saturating_sub(1) {
        let (before_s, after_s) = (t_s[left[k]] - t_s[left[k - 1]], t_s[left[k + 1]] - t_s[left[k]]);
        let explained_m = OFF_LINE_FLOOR_M + 0.5 * ACCELERATION_MPS2 * before_s * after_s;
        // The neighbours of a spike are off their lines too, by half as much: only the largest of three goes.
        if off_m[k] <= explained_m || off_m[k] < off_m[k - 1] || off_m[k] < off_m[k + 1] {
            continue;
        }
        let around = k.saturating_sub(HALF_WINDOW)..(k + HALF_WINDOW + 1).min(off_m.len());
        let typical_m = median(off_m[around].iter().copied()).unwrap_or(0.0);
        if off_m[k] > OFF_LINE_FACTOR * typical_m {
            dropped.push(left[k]);
        }
    }
    dropped
}

#[cfg(test)]
mod tests {
    use super::*;

    fn circle(n: usize, rate_rad_s: f64, speed_mps: f64) -> (Vec<f64>, Vec<Position<Ground>>) {
        let t: Vec<f64> = (0..n).map(|i| i as f64).collect();
        let radius = speed_mps / rate_rad_s;
        let p = t.iter().map(|t| Position::new(radius * (rate_rad_s * t).sin(), radius * (rate_rad_s * t).cos()));
        (t.clone(), p.collect())
    }

    #[test]
    fn a_clean_circle_and_a_steep_spiral_lose_nothing() {
        for (rate, speed) in [(0.05, 12.0), (1.2, 22.0)] {
            let (t, p) = circle(200, rate, speed);
            assert_eq!(find(&t, &p), Spikes::default(), "rate {rate}");
        }
    }

    #[test]
    fn single_spikes_go_and_their_neighbours_stay() {
        let (t, mut p) = circle(200, 0.05, 12.0);
        for (i, size_m) in [(50, 25.0), (90, 400.0), (150, 30_000.0)] {
            p[i].east_m += size_m;
        }
        assert_eq!(find(&t, &p).dropped, [50, 90, 150]);
    }

    #[test]
    fn a_short_stretch_elsewhere_goes_at_the_start_middle_and_end() {
        for start in [0, 80, 195] {
            let (t, mut p) = circle(200, 0.05, 12.0);
            for q in &mut p[start..start + 5] {
                q.north_m += 2_000.0;
            }
            assert_eq!(find(&t, &p).dropped, (start..start + 5).collect::<Vec<_>>());
        }
    }

    #[test]
    fn a_long_stretch_on_another_continent_goes() {
        for piece in [0..25, 100..160, 150..200] {
            let (t, mut p) = circle(200, 0.05, 12.0);
            for q in &mut p[piece.clone()] {
                q.east_m += 4_000_000.0;
            }
            let found = find(&t, &p);
            assert_eq!(found.dropped, piece.clone().collect::<Vec<_>>());
            assert!(found.jumps.iter().all(|j| !piece.contains(j)), "{:?}", found.jumps);
        }
    }

    #[test]
    fn a_log_shorter_than_a_short_piece_stays() {
        let (t, p) = circle(8, 0.05, 12.0);
        assert_eq!(find(&t, &p), Spikes::default());
    }

    #[test]
    fn a_lasting_jump_is_reported_and_kept() {
        let (t, mut p) = circle(200, 0.05, 12.0);
        for q in &mut p[100..] {
            q.north_m += 2_000.0;
        }
        assert_eq!(find(&t, &p), Spikes { dropped: vec![], jumps: vec![100] });
    }
}
