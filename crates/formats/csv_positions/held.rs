//! Positions written again on every row until the receiver has a new one.
//!
//! Loggers that write all their sensors at 50 to 200 rows a second hold the last position in its columns. Those repeats
//! are no fixes: the first row of each position is one, and where a position stays for longer than the receiver's own
//! interval (standing still, or without satellites) one repeat per interval is.

use crate::builder::LogBuilder;
use chrono::{DateTime, Utc};
use driftless_track::{Fix, Severity};
use driftless_units::median;

/// No receiver of a pilot is as quick as this, seconds between rows (25 Hz, and a tenth more).
const TOO_QUICK_S: f64 = 0.045;
/// Rows as slow as this can all be fixes, seconds.
const SLOW_S: f64 = 0.15;
/// Repeats are thinned to this while reading, so that hours of them do not fill the memory, seconds.
const THINNED_S: f64 = 0.095;
/// A receiver's interval this much longer than that of the rows shows that rows repeat.
const LONGER: f64 = 1.8;
/// Positions of slower rows are held when each new one is this many steps of rounding away: else rounding repeats them.
const ROUNDINGS: f64 = 3.0;
/// New positions from which the receiver's interval is told.
const FEWEST: usize = 10;
/// Steps between rows from which theirs is told.
const STEPS: usize = 2000;

/// What is known of the rows so far.
#[derive(Debug, Default)]
pub(super) struct Held {
    before: Option<Row>,
    kept_at: DateTime<Utc>,
    steps_s: Vec<f64>,
    skipped: usize,
    /// Whether any row has the position of the one before it.
    repeated: bool,
}

#[derive(Debug, Clone, Copy)]
struct Row {
    time: DateTime<Utc>,
    place_deg: [f64; 2],
    /// Whether it repeats time and place of the row before it.
    repeats: bool,
}

impl Held {
    /// Whether the row may be a fix. A row that follows too quickly with the same position is none.
    pub(super) fn is_new(&mut self, place_deg: [f64; 2], time: DateTime<Utc>) -> bool {
        let before = self.before;
        let same = before.is_some_and(|b| b.place_deg == place_deg);
        self.repeated |= same;
        if !same && self.steps_s.len() >= STEPS {
            // Most rows of most tables: nothing to learn from them.
            self.before = Some(Row { time, place_deg, repeats: false });
            self.kept_at = time;
            return true;
        }
        let step_s = before.map_or(f64::INFINITY, |b| seconds(b.time, time));
        self.before = Some(Row { time, place_deg, repeats: same && step_s == 0.0 });
        if step_s.is_finite() && step_s > 0.0 && self.steps_s.len() < STEPS {
            self.steps_s.push(step_s);
        }
        // A fix written twice is told elsewhere; a column of held times repeats many times over.
        let held_time = step_s == 0.0 && before.is_some_and(|b| b.repeats);
        let quick = step_s > 0.0 && step_s < TOO_QUICK_S && seconds(self.kept_at, time) < THINNED_S;
        if same && (quick || held_time) {
            self.skipped += 1;
            return false;
        }
        self.kept_at = time;
        true
    }

    /// Takes the repeats out of the fixes, if positions are held.
    pub(super) fn finish(self, builder: &mut LogBuilder, hint: &str) {
        if !self.repeated {
            return;
        }
        let Some(row_s) = median(self.steps_s.iter().copied()) else { return };
        let news = news(&builder.fixes);
        let Some(interval_s) = self.receiver_interval_s(&builder.fixes, &news, row_s) else { return };
        let before = builder.fixes.len() + self.skipped;
        let mut keep = vec![false; builder.fixes.len()];
        for (&first, end) in news.iter().zip(news.iter().skip(1).copied().chain([builder.fixes.len()])) {
            keep_run(&builder.fixes, first, end, interval_s, &mut keep);
        }
        let mut kept = keep.into_iter();
        builder.fixes.retain(|_| kept.next().unwrap_or(true));
        let repeats = before - builder.fixes.len();
        let place = builder.fixes.first().map(|fix| fix.source);
        let message = || {
            format!(
                "positions stand on every row, {:.0} rows a second, but the receiver has a new one every {interval_s:.2} s: \
                 {repeats} of {before} rows repeat one and are no fixes",
                1.0 / row_s
            )
        };
        builder.add("positions-held", Severity::Note, place, message, hint);
    }

    /// The time between new positions, where it shows that rows repeat them.
    fn receiver_interval_s(&self, fixes: &[Fix], news: &[usize], row_s: f64) -> Option<f64> {
        let pairs = || news.iter().zip(news.iter().skip(1)).filter_map(|(&a, &b)| fixes.get(a).zip(fixes.get(b)));
        if news.len() < FEWEST || row_s > SLOW_S {
            return None;
        }
        let interval_s = median(pairs().map(|(a, b)| seconds(a.time, b.time)))?;
        let moved = |a: &Fix, b: &Fix| [(a.lat_deg - b.lat_deg).abs(), (a.lon_deg - b.lon_deg).abs()];
        let steps_deg: Vec<f64> =
            pairs().flat_map(|(a, b)| moved(a, b)).filter(|d| *d > 0.0 && d.is_finite()).collect();
        let rounding_deg = steps_deg.iter().copied().fold(f64::INFINITY, f64::min);
        let apart = median(steps_deg)? > ROUNDINGS * rounding_deg;
        (interval_s > LONGER * row_s && (row_s < TOO_QUICK_S || apart)).then_some(interval_s)
    }
}

/// Indices of fixes whose position differs from that of the one before.
fn news(fixes: &[Fix]) -> Vec<usize> {
    let place = |fix: &Fix| [fix.lat_deg, fix.lon_deg];
    let changed = fixes.iter().zip(fixes.iter().skip(1)).map(|(a, b)| place(a) != place(b));
    std::iter::once(true).chain(changed).enumerate().filter(|(_, new)| *new).map(|(i, _)| i).take(fixes.len()).collect()
}

/// Keeps the first fix of a run of equal positions, and of the rest one per interval as long as the run goes on for more
/// than half an interval behind it.
fn keep_run(fixes: &[Fix], first: usize, end: usize, interval_s: f64, keep: &mut [bool]) {
    let Some(run) = fixes.get(first..end) else { return };
    let Some(start) = run.first().map(|fix| fix.time) else { return };
    let behind = fixes.get(end).or(run.last()).map_or(0.0, |fix| seconds(start, fix.time));
    let mut set = |i: usize| {
        if let Some(flag) = keep.get_mut(i) {
            *flag = true;
        }
    };
    set(first);
    let mut due_s = interval_s;
    for (i, fix) in run.iter().enumerate().skip(1) {
        let at_s = seconds(start, fix.time);
        if at_s < 0.0 {
            // Out of order: left to those who sort.
            set(first + i);
        } else if at_s >= due_s - 0.5 * THINNED_S && behind - at_s > 0.5 * interval_s {
            set(first + i);
            due_s += interval_s * (1.0 + ((at_s - due_s) / interval_s).max(0.0).floor());
        }
    }
}

fn seconds(from: DateTime<Utc>, to: DateTime<Utc>) -> f64 {
    (to - from).as_seconds_f64()
}
