//! Time order: fixes that repeat, run backwards or stand alone far away in time.

use crate::{Fix, Problems, Severity};
use driftless_units::median;

/// A time this far from the rest belongs to another day or a clock that was not set yet.
const FAR_IN_TIME_S: f64 = 12.0 * 3600.0;
/// A group of fixes far away in time is kept from this length on: shorter ones hold no flight that a wind could be told
/// from (engineering judgement).
const OWN_FLIGHT_S: f64 = 300.0;
/// Nobody exports flights this far apart as one file, but a receiver's clock that was not set says 1970, 1980, 2000, or
/// counts its weeks from 1024 weeks ago (engineering judgement).
const OTHER_CLOCK_S: f64 = 365.25 * 86_400.0;

/// Of points in disorder fewer than one in so many rise in time: of n shuffled ones about 2 √n do (Vershik & Kerov 1977, from
/// memory), of two recordings put one behind the other half.
const DISORDER: usize = 4;

/// Indices into `fixes`, times strictly rising, from the usable ones `candidates` (in file order).
///
/// The longest strictly rising subsequence is the backbone, so that one wild time does not cost the rest of the
/// file. A fix outside it is put back in its place when it fills a hole of the backbone (packets that came late),
/// and dropped when the backbone has a fix there already (a block written twice).
pub(crate) fn order(fixes: &[Fix], candidates: Vec<u32>, problems: &mut Problems) -> Vec<u32> {
    let time = |i: u32| fixes.get(i as usize).map_or(0, |f| f.time.timestamp_micros());
    let rising = candidates.is_sorted_by(|&a, &b| time(a) < time(b));
    let ordered = if rising { candidates } else { repair(fixes, &candidates, &time, problems) };
    drop_strays(fixes, ordered, &time, problems)
}

fn repair(fixes: &[Fix], candidates: &[u32], time: &impl Fn(u32) -> i64, problems: &mut Problems) -> Vec<u32> {
    let in_backbone = longest_rising(candidates, time);
    let pick = |wanted: bool| {
        candidates.iter().zip(&in_backbone).filter(move |(_, b)| **b == wanted).map(|(i, _)| *i).collect::<Vec<_>>()
    };
    let (backbone, mut rest) = (pick(true), pick(false));
    let steps = |of: &[u32]| median(of.iter().zip(of.iter().skip(1)).map(|(&a, &b)| micros_between(time(a), time(b))));
    // Points in no order at all have a backbone of a few; what is between those tells nothing of how far apart fixes are.
    let in_disorder = backbone.len() * DISORDER < candidates.len();
    let hole_us = if in_disorder { 0.0 } else { 0.5 * steps(&backbone).unwrap_or(0.0) };

    rest.sort_by_key(|&i| time(i));
    let mut put_back: Vec<u32> = Vec::new();
    for i in rest {
        let after = backbone.partition_point(|&b| time(b) < time(i));
        let neighbours = [after.checked_sub(1).and_then(|k| backbone.get(k)), backbone.get(after), put_back.last()];
        let nearest = neighbours.into_iter().flatten().min_by_key(|&&b| time(b).abs_diff(time(i))).copied();
        let distance_us = nearest.map_or(f64::INFINITY, |b| micros_between(time(b), time(i)).abs());
        let (Some(fix), twin) = (fixes.get(i as usize), nearest.and_then(|b| fixes.get(b as usize))) else { continue };
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
                        "time runs backwards to {} over a time already recorded; these fixes are left out",
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
fn longest_rising(candidates: &[u32], time: &impl Fn(u32) -> i64) -> Vec<bool> {
    let times: Vec<i64> = candidates.iter().map(|&i| time(i)).collect();
    let at = |k: usize| times.get(k).copied().unwrap_or(i64::MAX);
    // tails[k]: where the smallest last element of a rising run of length k + 1 stands.
    let mut tails: Vec<usize> = Vec::new();
    let mut before: Vec<Option<usize>> = Vec::with_capacity(times.len());
    for (k, t) in times.iter().enumerate() {
        let length = tails.partition_point(|&j| at(j) < *t);
        before.push(length.checked_sub(1).and_then(|l| tails.get(l)).copied());
        match tails.get_mut(length) {
            None => tails.push(k),
            // Of equal times the first in the file stays.
            Some(tail) if at(*tail) > *t => *tail = k,
            Some(_) => {}
        }
    }
    let mut member = vec![false; times.len()];
    let mut last = tails.last().copied();
    while let Some(k) = last {
        if let Some(flag) = member.get_mut(k) {
            *flag = true;
        }
        last = before.get(k).copied().flatten();
    }
    member
}

/// Drops groups of fixes half a day or more away from the largest that are no flight of their own, or carry the date of
/// a clock that was not set.
fn drop_strays(fixes: &[Fix], ordered: Vec<u32>, time: &impl Fn(u32) -> i64, problems: &mut Problems) -> Vec<u32> {
    let groups: Vec<&[u32]> =
        ordered.chunk_by(|&a, &b| micros_between(time(a), time(b)) < FAR_IN_TIME_S * 1e6).collect();
    let ends = |group: &[u32]| group.first().zip(group.last()).map_or([0, 0], |(&a, &b)| [time(a), time(b)]);
    // Of equal groups the first.
    let Some(largest) = groups.iter().rev().max_by_key(|group| group.len()).filter(|_| groups.len() > 1) else {
        return ordered;
    };
    let [main_from, main_to] = ends(largest);
    let kept = |group: &[u32]| {
        let [from, to] = ends(group);
        let apart_us = micros_between(to, main_from).max(micros_between(main_to, from));
        apart_us <= 0.0 || (micros_between(from, to) >= OWN_FLIGHT_S * 1e6 && apart_us < OTHER_CLOCK_S * 1e6)
    };
    for fix in
        groups.iter().filter(|group| !kept(group)).flat_map(|group| group.iter()).filter_map(|&i| fixes.get(i as usize))
    {
        problems.add(
            "stray-time",
            Severity::Warning,
            Some(fix.source),
            || {
                format!(
                    "the fixes around {} carry another date than the flight and are left out",
                    fix.time.format("%Y-%m-%d %H:%M:%S")
                )
            },
            "The logger's clock was probably not set yet; if they are a flight of their own, export it by itself.",
        );
    }
    groups.iter().filter(|group| kept(group)).flat_map(|group| group.iter().copied()).collect()
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
        let kept = order(&fixes, (0..fixes.len() as u32).collect(), &mut problems);
        let codes = problems.into_vec().iter().map(|p| (p.code, p.count)).collect();
        (kept.iter().map(|&i| times_s[i as usize]).collect(), codes)
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
        let given: Vec<i64> = (0..300).chain(90_000..90_301).collect();
        assert_eq!(run(&given).1, [("stray-time", 300)], "299 s are no flight");
        let given: Vec<i64> = (0..301).chain(90_000..90_400).collect();
        assert_eq!(run(&given).0, given);
    }

    #[test]
    fn regression_a_first_minute_with_the_date_of_an_unset_clock_is_dropped() {
        const WEEKS_1024_S: i64 = 1024 * 7 * 86_400;
        for unset in [60, 900] {
            let given: Vec<i64> = (0..unset).map(|s| s - WEEKS_1024_S).chain(unset..2000).collect();
            let (times, codes) = run(&given);
            assert_eq!(times, (unset..2000).collect::<Vec<_>>());
            assert_eq!(codes, [("stray-time", unset as u32)]);
        }
    }

    #[test]
    fn regression_wrong_dates_in_the_middle_and_at_the_end_are_dropped_too() {
        for wrong in [300..360, 940..1000] {
            let off_s = |s: i64| if wrong.contains(&s) { s - 86_400 * 30 } else { s };
            let (times, codes) = run(&(0..1000).map(off_s).collect::<Vec<_>>());
            assert_eq!(times, (0..1000).filter(|s| !wrong.contains(s)).collect::<Vec<_>>());
            assert!(codes.contains(&("stray-time", 60)), "{codes:?}");
        }
    }

    #[test]
    fn the_first_of_two_fixes_of_one_second_is_kept() {
        let start = fixes(&[0, 1, 2, 2, 3]);
        let mut moved = start;
        moved[3].lat_deg += 1.0;
        let mut problems = Problems::default();
        let kept = order(&moved, vec![0, 1, 2, 3, 4], &mut problems);
        assert_eq!(kept, [0, 1, 2, 4]);
        assert_eq!(problems.into_vec()[0].code, "same-time");
    }
}
