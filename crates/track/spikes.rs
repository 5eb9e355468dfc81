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

use crate::TrackPoint;
use crate::path::distance_m;
use driftless_units::{median, quantile};

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

pub(crate) fn find(points: &[TrackPoint]) -> Spikes {
    let mut found = there_and_back(points);
    found.dropped.sort_unstable();
    let mut left = Vec::with_capacity(points.len());
    left.extend(points.iter().enumerate().filter(|(i, _)| found.dropped.binary_search(i).is_err()));
    found.dropped.extend(off_the_line(&left, &found.jumps));
    found.dropped.sort_unstable();
    found
}

/// Fixes `first..=last` without a jump between them.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Piece {
    first: usize,
    last: usize,
}

impl Piece {
    const fn steps(&self) -> usize {
        self.last - self.first
    }
}

fn there_and_back(fixes: &[TrackPoint]) -> Spikes {
    let speeds = fixes.windows(2).filter_map(|pair| {
        let [a, b] = pair else { return None };
        Some(distance_m(a, b) / (b.t_s - a.t_s))
    });
    let limit_mps = (SPEED_FACTOR * quantile(speeds, 0.9).unwrap_or(0.0)).max(SPEED_FLOOR_MPS);
    let is_jump = |a: usize, b: usize| {
        fixes.get(a).zip(fixes.get(b)).is_some_and(|(a, b)| {
            let d_m = distance_m(a, b);
            d_m > JUMP_MIN_M && d_m > limit_mps * (b.t_s - a.t_s)
        })
    };

    // A short piece at the end of the list may still turn out to be the spike.
    let mut pieces: Vec<Piece> = Vec::new();
    let mut settled: Vec<Piece> = Vec::new();
    let mut found = Spikes::default();
    let mut i = 0;
    while i < fixes.len() {
        let first = i;
        while i + 1 < fixes.len() && !is_jump(i, i + 1) {
            i += 1;
        }
        let mut piece = Piece { first, last: i };
        i += 1;
        // Drop short pieces at the end of the list as long as that lets this one join what came before.
        let short_at_end = pieces.iter().rev().take_while(|p| p.steps() < SHORT_PIECE).count();
        let joins = pieces.iter().enumerate().rev().take(short_at_end + 1);
        if let Some(k) = joins.filter(|(_, p)| !is_jump(p.last, piece.first)).map(|(k, _)| k).next() {
            for p in pieces.drain(k + 1..) {
                found.dropped.extend(p.first..=p.last);
            }
            if let Some(before) = pieces.pop() {
                piece.first = before.first;
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
    let Some(&main) = settled.iter().rev().max_by_key(|p| p.steps()) else { return found };
    let elsewhere = |p: &Piece| {
        let (a, b) = if p.first > main.first { (main.last, p.first) } else { (p.last, main.first) };
        let (Some(a), Some(b)) = (fixes.get(a), fixes.get(b)) else { return false };
        let d_m = distance_m(a, b);
        *p != main && d_m > ELSEWHERE_M && d_m > ELSEWHERE_MPS * (b.t_s - a.t_s)
    };
    for p in settled {
        if p.steps() < SHORT_PIECE.min(main.steps()) || elsewhere(&p) {
            found.dropped.extend(p.first..=p.last);
        } else {
            found.jumps.push(p.first);
        }
    }
    found.jumps.retain(|&j| j > 0);
    found
}

/// `left`: the fixes that the first rule left, with their places in the list.
fn off_the_line(left: &[(usize, &TrackPoint)], jumps: &[usize]) -> Vec<usize> {
    let inside = left.windows(3).map(|three| {
        let [(_, a), (i, fix), (after, b)] = three else { return 0.0 };
        if jumps.binary_search(i).is_ok() || jumps.binary_search(after).is_ok() {
            return 0.0;
        }
        let share = (fix.t_s - a.t_s) / (b.t_s - a.t_s);
        let east = fix.position.east_m - a.position.east_m - share * (b.position.east_m - a.position.east_m);
        let north = fix.position.north_m - a.position.north_m - share * (b.position.north_m - a.position.north_m);
        east.hypot(north)
    });
    // The first and the last fix have no line.
    let off_m: Vec<f64> = std::iter::once(0.0).chain(inside).chain([0.0]).collect();
    let mut dropped = Vec::new();
    for (k, (three, off)) in left.windows(3).zip(off_m.windows(3)).enumerate() {
        let ([(_, a), (i, fix), (_, b)], [off_before_m, off_here_m, off_after_m]) = (three, off) else { continue };
        let explained_m = OFF_LINE_FLOOR_M + 0.5 * ACCELERATION_MPS2 * (fix.t_s - a.t_s) * (b.t_s - fix.t_s);
        // The neighbours of a spike are off their lines too, by half as much: only the largest of three goes.
        if off_here_m <= &explained_m || off_here_m < off_before_m || off_here_m < off_after_m {
            continue;
        }
        let around =
            off_m.iter().skip((k + 1).saturating_sub(HALF_WINDOW)).take(HALF_WINDOW.min(k + 1) + HALF_WINDOW + 1);
        let typical_m = median(around.copied()).unwrap_or(0.0);
        if *off_here_m > OFF_LINE_FACTOR * typical_m {
            dropped.push(*i);
        }
    }
    dropped
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::path::points_at;
    use driftless_units::{Ground, Position};

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
            assert_eq!(find(&points_at(&t, &p)), Spikes::default(), "rate {rate}");
        }
    }

    #[test]
    fn single_spikes_go_and_their_neighbours_stay() {
        let (t, mut p) = circle(200, 0.05, 12.0);
        for (i, size_m) in [(50, 25.0), (90, 400.0), (150, 30_000.0)] {
            p[i].east_m += size_m;
        }
        assert_eq!(find(&points_at(&t, &p)).dropped, [50, 90, 150]);
    }

    #[test]
    fn a_short_part_elsewhere_goes_at_the_start_middle_and_end() {
        for start in [0, 80, 195] {
            let (t, mut p) = circle(200, 0.05, 12.0);
            for q in &mut p[start..start + 5] {
                q.north_m += 2_000.0;
            }
            assert_eq!(find(&points_at(&t, &p)).dropped, (start..start + 5).collect::<Vec<_>>());
        }
    }

    #[test]
    fn a_long_part_on_another_continent_goes() {
        for piece in [0..25, 100..160, 150..200] {
            let (t, mut p) = circle(200, 0.05, 12.0);
            for q in &mut p[piece.clone()] {
                q.east_m += 4_000_000.0;
            }
            let found = find(&points_at(&t, &p));
            assert_eq!(found.dropped, piece.clone().collect::<Vec<_>>());
            assert!(found.jumps.iter().all(|j| !piece.contains(j)), "{:?}", found.jumps);
        }
    }

    #[test]
    fn a_log_shorter_than_a_short_piece_stays() {
        let (t, p) = circle(8, 0.05, 12.0);
        assert_eq!(find(&points_at(&t, &p)), Spikes::default());
    }

    #[test]
    fn a_lasting_jump_is_reported_and_kept() {
        let (t, mut p) = circle(200, 0.05, 12.0);
        for q in &mut p[100..] {
            q.north_m += 2_000.0;
        }
        assert_eq!(find(&points_at(&t, &p)), Spikes { dropped: vec![], jumps: vec![100] });
    }
}
