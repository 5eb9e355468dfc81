//! Which samples of a file are one recording: stray time stamps out, of several recordings the longest.

use crate::constants::{FAR_APART_S, LEAP_S, LEAP_STEPS, SHORT_RUN_SHARE};
use driftless_track::{Problems, Severity};
use driftless_units::median;
use std::ops::Range;

/// Samples between two leaps of the clock, in file order.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Run {
    from: usize,
    to: usize,
    first_s: f64,
    last_s: f64,
}

impl Run {
    fn len(&self) -> usize {
        self.to - self.from
    }

    /// Whether `next` goes on after this one, be it with a pause.
    fn goes_on(&self, next: &Self) -> bool {
        (-LEAP_S.value..=FAR_APART_S.value).contains(&(next.first_s - self.last_s))
    }
}

/// The samples of the longest recording, as ranges in file order; `None` when that is all of them.
///
/// One pass over the stamps: whatever is in the file, cost and result are bounded by its samples.
pub(super) fn longest(t_s: &[f64], problems: &mut Problems) -> Option<Vec<Range<usize>>> {
    let runs = runs(t_s);
    if runs.len() < 2 {
        return None;
    }
    let (runs, strays) = without_strays(&runs);
    let recordings: Vec<&[Run]> = runs.chunk_by(|a, b| a.goes_on(b)).collect();
    let samples = |recording: &[Run]| recording.iter().map(Run::len).sum::<usize>();
    // Of equal recordings the last.
    let longest = recordings.iter().copied().max_by_key(|r| samples(r)).unwrap_or_default();
    let start = |recording: &[Run]| recording.first().map(|run| run.from);
    let elsewhere: Vec<&[Run]> = recordings.iter().copied().filter(|r| start(r) != start(longest)).collect();
    let (dated, anew): (Vec<&[Run]>, Vec<&[Run]>) =
        elsewhere.into_iter().partition(|r| apart_s(r, longest) > FAR_APART_S.value);
    note_strays(strays + dated.iter().map(|r| samples(r)).sum::<usize>(), t_s.len(), problems);
    if !anew.is_empty() {
        let count = anew.len() + 1;
        let message = || format!("the inertial clock began anew: {count} recordings in one file; the longest was used");
        problems.add("imu-several-recordings", Severity::Warning, None, message, "split the file to use the others");
    }
    Some(longest.iter().map(|run| run.from..run.to).collect())
}

fn note_strays(strays: usize, total: usize, problems: &mut Problems) {
    if strays == 0 {
        return;
    }
    let message = || format!("{strays} of {total} inertial samples carry a time far from the rest and were left out");
    let help = "the clock was not set yet, or single stamps were written wrongly";
    problems.add("imu-stray-time", Severity::Warning, None, message, help);
}

fn runs(t_s: &[f64]) -> Vec<Run> {
    let typical_s = median(t_s.windows(2).map(|w| (w[1] - w[0]).abs())).unwrap_or(0.0);
    let leap_s = LEAP_S.value.max(LEAP_STEPS.value * typical_s).min(FAR_APART_S.value);
    let mut runs = Vec::new();
    let mut from = 0;
    for to in 1..=t_s.len() {
        // Written so that what is no number is a leap.
        let goes_on = t_s.get(to).is_some_and(|t| (t - t_s[to - 1]).abs() <= leap_s);
        if !goes_on {
            runs.push(Run { from, to, first_s: t_s[from], last_s: t_s[to - 1] });
            from = to;
        }
    }
    runs
}

/// Short runs that fit between the long ones about them are pauses of the logger and stay; how many samples the others have.
fn without_strays(runs: &[Run]) -> (Vec<Run>, usize) {
    let longest = runs.iter().map(Run::len).max().unwrap_or(0);
    let is_short = |run: &Run| (run.len() as f64) < SHORT_RUN_SHARE.value * longest as f64;
    // The next long run after each, found from behind.
    let mut next_long: Vec<Option<Run>> = vec![None; runs.len()];
    let mut next = None;
    for (slot, run) in next_long.iter_mut().zip(runs).rev() {
        *slot = next;
        if !is_short(run) {
            next = Some(*run);
        }
    }
    let mut kept: Vec<Run> = Vec::new();
    let mut strays = 0;
    for (run, next) in runs.iter().zip(next_long) {
        let follows = kept.last().map(|before| before.goes_on(run));
        let leads = next.map(|next| run.goes_on(&next));
        // Where the clock began anew a short run may belong to the recording before or after.
        let torn = kept.last().zip(next).is_some_and(|(before, next)| !before.goes_on(&next));
        let fits = match (follows, leads) {
            (Some(a), Some(b)) => {
                if torn {
                    a || b
                } else {
                    a && b
                }
            }
            (Some(fits), None) | (None, Some(fits)) => fits,
            (None, None) => true,
        };
        if !is_short(run) || fits {
            kept.push(*run);
        } else {
            strays += run.len();
        }
    }
    (kept, strays)
}

/// How far two recordings lie apart, seconds; nothing when they overlap.
fn apart_s(a: &[Run], b: &[Run]) -> f64 {
    let ends = |r: &[Run]| r.first().zip(r.last()).map_or([0.0; 2], |(first, last)| [first.first_s, last.last_s]);
    let ([a0, a1], [b0, b1]) = (ends(a), ends(b));
    (a0 - b1).max(b0 - a1)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 20 Hz, with some stamps put elsewhere.
    fn stamps(rows: usize, moved: impl Fn(usize) -> Option<f64>) -> Vec<f64> {
        (0..rows).map(|k| moved(k).unwrap_or(0.05 * k as f64)).collect()
    }

    fn run(t_s: &[f64]) -> (usize, Vec<(&'static str, String)>) {
        let mut problems = Problems::default();
        let kept = longest(t_s, &mut problems).map_or(t_s.len(), |parts| parts.iter().map(Range::len).sum());
        (kept, problems.into_vec().into_iter().map(|p| (p.code, p.message)).collect())
    }

    #[test]
    fn regression_single_wrong_stamps_cost_themselves_only() {
        let anywhere = [3.2e7, -3.2e7, 1e18, f64::INFINITY, f64::NAN, 5e298].map(|s| (s, &[0, 19_999, 10_000][..]));
        // A minute before the first or after the last is a pause.
        let inside = [60.0, -60.0].map(|s| (s, &[10_000][..]));
        for (wrong_s, single) in anywhere.into_iter().chain(inside) {
            let several = vec![5, 6, 7000, 12_000, 12_002];
            for places in single.iter().map(|k| vec![*k]).chain([several]) {
                let (kept, told) = run(&stamps(20_000, |k| places.contains(&k).then_some(wrong_s + 0.05 * k as f64)));
                assert_eq!(kept, 20_000 - places.len(), "{wrong_s} at {places:?}: {told:?}");
                assert_eq!(told.len(), 1);
                assert!(told[0].1.starts_with(&format!("{} of 20000", places.len())), "{told:?}");
            }
        }
    }

    #[test]
    fn regression_a_clock_that_is_set_in_the_first_minutes_keeps_what_comes_after() {
        let (kept, told) = run(&stamps(20_000, |k| (k >= 2_000).then_some(1.7e9 + 0.05 * k as f64)));
        assert_eq!((kept, told[0].0), (18_000, "imu-stray-time"));
        assert!(told[0].1.starts_with("2000 of 20000"), "{told:?}");
    }

    #[test]
    fn pauses_stay_and_a_clock_that_begins_anew_is_told() {
        // A logger that pauses for five minutes, twice, with a short run in between.
        let paused = stamps(20_000, |k| match k {
            9_000..9_200 => Some(300.0 + 0.05 * k as f64),
            9_200.. => Some(600.0 + 0.05 * k as f64),
            _ => None,
        });
        assert_eq!(run(&paused), (20_000, vec![]));
        let anew = stamps(20_000, |k| k.checked_sub(12_000).map(|k| 0.05 * k as f64));
        let (kept, told) = run(&anew);
        assert_eq!((kept, told[0].0), (12_000, "imu-several-recordings"));
    }

    #[test]
    fn stamps_that_all_leap_leave_next_to_nothing() {
        let (kept, _) = run(&stamps(2_000, |k| Some(f64::from(u32::try_from(k).unwrap_or(0) ^ 0x5a5).powi(9))));
        assert!(kept < 100, "{kept}");
    }
}
