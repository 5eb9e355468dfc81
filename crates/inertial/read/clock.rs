//! Which unit the times are in, whether they are dates, and streams whose times rise.

use super::rows::{RawTable, Samples};
use super::{ImuError, recording};
use crate::constants::{FASTEST_GOOD_STEP_S, FASTEST_STEP_S, LONGEST_STEP_S, SLOWEST_STEP_S, UNSET_CLOCK_S};
use crate::log::Stream;
use chrono::{DateTime, TimeDelta, Utc};
use driftless_formats::table::{TIME_UNITS, median_step, unit_of_step, unit_since_1970};
use driftless_track::{Problems, Severity};

/// Steps between rows that a sampling clock can have, seconds.
const STEP_S: [f64; 2] = [FASTEST_STEP_S.value, LONGEST_STEP_S.value];
/// Steps of a sensor by itself, seconds.
const GOOD_STEP_S: [f64; 2] = [FASTEST_GOOD_STEP_S.value, LONGEST_STEP_S.value];
/// A number of seconds beyond this is a date: 2000-01-01 to 2200-01-01.
const DATES_S: [f64; 2] = [946_684_800.0, 7_258_118_400.0];
/// How a time as written becomes seconds: `(raw - zero) * factor`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Clock {
    zero: f64,
    factor: f64,
    /// UTC of second 0, when times are dates.
    pub(super) epoch: Option<DateTime<Utc>>,
}

impl Clock {
    /// Tells the clock from the first rows and the unit that the header names, if it does.
    pub(super) fn find(
        raw: &RawTable,
        named: Option<f64>,
        start_utc: Option<DateTime<Utc>>,
        problems: &mut Problems,
    ) -> Result<Self, ImuError> {
        if let Some(first) = raw.first_moment {
            let zero = raw.anchor(1.0).floor();
            let moved = TimeDelta::try_seconds(zero as i64).and_then(|by| first.time.checked_add_signed(by));
            let (zero, time) = moved.map_or((0.0, first.time), |moved| (zero, moved));
            // Times of day without a date tell steps alone.
            return Ok(Self { zero, factor: 1.0, epoch: first.dated.then_some(time) });
        }
        let alone = raw.sensors.iter().all(|s| s.time.is_empty());
        let factor = match (median_step(&raw.first_times), named) {
            (None, named) => named.unwrap_or(1.0),
            // Temperatures alone may be minutes apart: only the size of a date tells a unit.
            (Some(_), named) if alone => named.or_else(|| unit_since_1970(raw.anchor(1.0))).unwrap_or(1.0),
            (Some(step), Some(named)) if step * named > SLOWEST_STEP_S.value => {
                let factor = believed(step, named, problems);
                if step * factor > SLOWEST_STEP_S.value {
                    return Err(ImuError::NoRate { step });
                }
                factor
            }
            (Some(step), None) => unit_of_step(step, STEP_S).ok_or(ImuError::NoRate { step })?.1,
            (Some(step), Some(named)) => believed(step, named, problems),
        };
        let first_s = raw.anchor(factor) * factor;
        if !(DATES_S[0]..DATES_S[1]).contains(&first_s) {
            return Ok(Self { zero: 0.0, factor, epoch: start_utc });
        }
        let whole_s = first_s.floor();
        let epoch = DateTime::from_timestamp(whole_s as i64, 0);
        Ok(Self { zero: whole_s / factor, factor, epoch })
    }

    /// Seconds on this clock.
    pub(super) fn seconds(&self, raw: f64) -> f64 {
        (raw - self.zero) * self.factor
    }

    /// A stream with rising times: stray stamps and repeats dropped, small steps back sorted, of several recordings the
    /// longest kept.
    pub(super) fn stream(&self, samples: Samples, problems: &mut Problems) -> Stream {
        let Samples { time, mut xyz } = samples;
        let mut t_s: Vec<f64> = time.iter().map(|&raw| self.seconds(raw)).collect();
        if let Some(parts) = recording::longest(&t_s, problems) {
            t_s = parts.iter().cloned().flat_map(|part| &t_s[part]).copied().collect();
            xyz = parts.into_iter().flat_map(|part| &xyz[part]).copied().collect();
        }
        let backward = t_s.windows(2).filter(|w| w[1] < w[0]).count();
        if backward > 0 {
            let mut order: Vec<usize> = (0..t_s.len()).collect();
            order.sort_by(|&a, &b| t_s[a].total_cmp(&t_s[b]));
            xyz = order.iter().map(|&i| xyz[i]).collect();
            t_s = order.iter().map(|&i| t_s[i]).collect();
            let message = || format!("{backward} inertial samples were out of order and were sorted");
            problems.add("imu-time-backward", Severity::Note, None, message, "");
        }
        let total = t_s.len();
        let mut kept = Stream { t_s: Vec::with_capacity(total), xyz: Vec::with_capacity(total) };
        for (t, value) in t_s.into_iter().zip(xyz) {
            if kept.t_s.last().is_none_or(|&last| t > last) {
                kept.t_s.push(t);
                kept.xyz.push(value);
            }
        }
        let repeats = total - kept.len();
        if repeats > 0 {
            let severity = if repeats * 20 > total { Severity::Warning } else { Severity::Note };
            let message = || format!("{repeats} of {total} inertial samples repeat the time before and were left out");
            problems.add(
                "imu-time-repeated",
                severity,
                None,
                message,
                "a logger that stamps whole batches loses samples",
            );
        }
        kept
    }
}

impl RawTable {
    /// The first time as written, or a time in the middle where the first is far from that.
    fn anchor(&self, factor: f64) -> f64 {
        let first = self.first_times.first().copied().unwrap_or(0.0);
        let longest = self.sensors.iter().map(|s| &s.time).max_by_key(|time| time.len());
        let middle = longest.and_then(|time| time.get(time.len() / 2)).copied().unwrap_or(first);
        if (middle - first).abs() * factor > UNSET_CLOCK_S.value { middle } else { first }
    }
}

/// The unit as named, unless it makes no sampling rate and another one does.
fn believed(step: f64, named: f64, problems: &mut Problems) -> f64 {
    if (STEP_S[0]..STEP_S[1]).contains(&(step * named)) {
        return named;
    }
    let Some((unit, factor)) = unit_of_step(step, GOOD_STEP_S) else { return named };
    let said = TIME_UNITS.iter().find(|(_, f)| *f == named).map_or("another unit", |(name, _)| name);
    problems.add(
        "imu-time-unit",
        Severity::Warning,
        None,
        || {
            format!(
                "the times are named {said}, but steps of {step:.4} {said} are no sampling rate of an inertial sensor; \
                 they were read as {unit}"
            )
        },
        "is that right? name the unit in the header, or give a mapping",
    );
    factor
}
