//! Time order: fixes that repeat, run backwards or stand alone far away in time.

use crate::stats::median;
use crate::{Fix, Problems, Severity};

/// A time this far from the rest belongs to another day or a clock that was not set yet.
const FAR_IN_TIME_S: f64 = 12.0 * 3600.0;
/// Groups of fixes far away in time are kept from this size on (another flight in the same file).
const GROUP_MIN: usize = 10;

/// Indices into `fixes`, times strictly rising, from the usable ones `candidates` (in file order).
///
/// The longest strictly rising subsequence is the backbone, so that one wild time does not cost the rest of the
/// file. A fix outside it is put back in its place when it fills a hole of the backbone (packets that came late),
/// and dropped when the backbone has a fix there already (a block written twice).
pub(crate) fn order(fixes: &[Fix], candidates: &[usize], problems: &mut Problems) -> Vec<usize> {
    let time = |i: usize| fixes.get(i).map_or(0, |f| f.time.timestamp_micros());
    let rising = candidates.windows(2).all(|w| time(w[0]) < time(w[1]));
    let ordered = if rising { candidates.to_vec() } else { repair(fixes, candidates, &time, problems) };
    drop_strays(fixes, ordered, &time, problems)
}

fn repair(fixes: &[Fix], candidates: &[usize], time: &impl Fn(usize) -> i64, problems: &mut Problems) -> Vec<usize> {
    let in_backbone = longest_rising(candidates, time);
    let pick = |wanted: bool| {
        candidates.iter().zip(&in_backbone).filter(move |(_, b)| **b == wanted).map(|(i, _)| *i).collect::<Vec<_>>()
    };
    let (backbone, mut rest) = (pick(true), pick(false));
    let mut steps: Vec<f64> = backbone.windows(2).map(|w| micros_between(time(w[0]), time(w[1]))).collect();
    let hole_us = 0.5 * median(&mut steps).unwrap_or(0.0);

    rest.sort_by_key(|&i| time(i));
    let mut put_back: Vec<usize> = Vec::new();
    for i in rest {
        let after = backbone.partition_point(|&b| time(b) < time(i));
        let neighbours = [after.checked_sub(1).and_then(|k| backbone.get(k)), backbone.get(after), put_back.last()];
        let nearest = neighbours.into_iter().flatten().min_by_key(|&&b| time(b).abs_diff(time(i))).copied();
        let distance_us = nearest.map_or(f64::INFINITY, |b| micros_between(time(b), time(i)).abs());
        let (Some(fix), twin) = (fixes.get(i), nearest.and_then(|b| fixes.get(b))) else { continue };
        let place = Some(fix.source);
        if distance_us == 0.0 && twin.is_some_and(|t| same_place(t, fix)) {
            problems.add(
                "repeated-fix",
                Severity::Note,
                place,
                || format!("a fix is written twice ({}); one is kept", fix.time.format("%H:%M:%S")),
                "",
            );
        } else if distance_us == 0.0 {
            problems.add(
                "same-time",
                Severity::Warning,
                place,
                || {
                    format!(
                        "two fixes share the time {} but not the place; the first is kept",
                        fix.time.format("%H:%M:%S")
                    )
                },
                "If the logger records several fixes a second, export the file with fractional seconds.",
            );
        } else if distance_us < hole_us {
            problems.add(
                "time-backwards",
                Severity::Warning,
                place,
                || {
                    format!(
                        "time runs backwards to {} over a stretch already recorded; these fixes are left out",
                        fix.time.format("%H:%M:%S")
                    )
                },
                "Two recordings seem to be mixed in one file; export them one by one.",
            );
        } else {
            problems.add(
                "time-sorted",
                Severity::Note,
                place,
                || format!("a fix of {} stands out of order and was put in its place", fix.time.format("%H:%M:%S")),
                "",
            );
            put_back.push(i);
        }
    }
    let mut all = backbone;
    all.extend(put_back);
    all.sort_by_key(|&i| time(i));
    all
}

fn micros_between(from: i64, to: i64) -> f64 {
    to.saturating_sub(from) as f64
}

fn same_place(a: &Fix, b: &Fix) -> bool {
    a.lat_deg == b.lat_deg && a.lon_deg == b.lon_deg
}

/// Marks the members of a longest strictly rising subsequence (patience sorting, n log n).
fn longest_rising(candidates: &[usize], time: &impl Fn(usize) -> i64) -> Vec<bool> {
    let times: Vec<i64> = candidates.iter().map(|&i| time(i)).collect();
    // tails[k]: where the smallest last element of a rising run of length k + 1 stands.
    let mut tails: Vec<usize> = Vec::new();
    let mut before: Vec<Option<usize>> = vec![None; times.len()];
    for (k, t) in times.iter().enumerate() {
        let length = tails.partition_point(|&j| times[j] < *t);
        before[k] = length.checked_sub(1).map(|l| tails[l]);
        if length == tails.len() {
            tails.push(k);
        } else if times[tails[length]] > *t {
            // Of equal times the first in the file stays.
            tails[length] = k;
        }
    }
    let mut member = vec![false; times.len()];
    let mut at = tails.last().copied();
    while let Some(k) = at {
        member[k] = true;
        at = before[k];
    }
    member
}

/// Drops small groups of fixes half a day or more away from everything else (receivers before their first lock).
fn drop_strays(
    fixes: &[Fix],
    ordered: Vec<usize>,
    time: &impl Fn(usize) -> i64,
    problems: &mut Problems,
) -> Vec<usize> {
    let groups: Vec<&[usize]> =
        ordered.chunk_by(|&a, &b| micros_between(time(a), time(b)) < FAR_IN_TIME_S * 1e6).collect();
    let largest = groups.iter().map(|g| g.len()).max().unwrap_or(0);
    if groups.len() < 2 {
        return ordered;
    }
    let mut kept = Vec::with_capacity(ordered.len());
    for group in groups {
        if group.len() >= GROUP_MIN.min(largest) {
            kept.extend_from_slice(group);
            continue;
        }
        for fix in group.iter().filter_map(|&i| fixes.get(i)) {
            problems.add(
                "stray-time",
                Severity::Warning,
                Some(fix.source),
                || {
                    format!(
                        "a few fixes around {} are more than half a day from all others and are left out",
                        fix.time.format("%Y-%m-%d %H:%M:%S")
                    )
                },
                "The logger's clock was probably not set yet.",
            );
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::{DateTime, TimeDelta};

    fn fixes(times_s: &[i64]) -> Vec<Fix> {
        let start = DateTime::from_timestamp(1_700_000_000, 0).unwrap_or_default();
        times_s
            .iter()
            .map(|&s| Fix { time: start + TimeDelta::seconds(s), lat_deg: 1e-4 * s as f64, ..Fix::default() })
            .collect()
    }

    fn run(times_s: &[i64]) -> (Vec<i64>, Vec<(&'static str, u32)>) {
        let fixes = fixes(times_s);
        let mut problems = Problems::default();
        let kept = order(&fixes, &(0..fixes.len()).collect::<Vec<_>>(), &mut problems);
        let codes = problems.into_vec().iter().map(|p| (p.code, p.count)).collect();
        (kept.iter().map(|&i| times_s[i]).collect(), codes)
    }

    #[test]
    fn a_late_packet_is_put_back_in_its_place() {
        let (times, codes) = run(&[0, 1, 2, 4, 5, 3, 6, 7]);
        assert_eq!(times, [0, 1, 2, 3, 4, 5, 6, 7]);
        assert_eq!(codes, [("time-sorted", 1)]);
    }

    #[test]
    fn a_block_written_twice_is_dropped() {
        let (times, codes) = run(&[0, 1, 2, 3, 4, 2, 3, 4, 5, 6]);
        assert_eq!(times, [0, 1, 2, 3, 4, 5, 6]);
        assert_eq!(codes, [("repeated-fix", 3)]);
    }

    #[test]
    fn one_wild_time_does_not_cost_the_rest() {
        let mut given: Vec<i64> = (0..60).collect();
        given[5] = 400_000_000;
        let (times, codes) = run(&given);
        assert_eq!(times.len(), 59);
        assert!(times.iter().all(|t| *t < 60));
        assert_eq!(codes, [("time-sorted", 1), ("stray-time", 1)]);
    }

    #[test]
    fn fixes_before_the_clock_was_set_are_dropped() {
        let mut given = vec![-1_000_000_000, -999_999_999];
        given.extend(0..30);
        let (times, codes) = run(&given);
        assert_eq!(times, (0..30).collect::<Vec<_>>());
        assert_eq!(codes, [("stray-time", 2)]);
    }

    #[test]
    fn two_flights_on_two_days_are_both_kept() {
        let given: Vec<i64> = (0..30).chain(90_000..90_030).collect();
        assert_eq!(run(&given).0, given);
    }

    #[test]
    fn the_first_of_two_fixes_of_one_second_is_kept() {
        let start = fixes(&[0, 1, 2, 2, 3]);
        let mut moved = start;
        moved[3].lat_deg += 1.0;
        let mut problems = Problems::default();
        let kept = order(&moved, &[0, 1, 2, 3, 4], &mut problems);
        assert_eq!(kept, [0, 1, 2, 4]);
        assert_eq!(problems.into_vec()[0].code, "same-time");
    }
}
