//! How the two clocks lie to each other: what is known beforehand, and what the offset found means in the times that
//! stand in the files.

use super::InertialAnalysis;
use crate::Track;
use crate::constants::UNSET_BEFORE_YEAR;
use chrono::{DateTime, Datelike, Utc};
use driftless_inertial::ImuLog;
use driftless_inertial::align::ClockPrior;
use driftless_units::Estimate;

/// The difference of two clocks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClockOffset {
    /// Time of the flight log less time of the sensor at one moment, seconds.
    pub offset_s: Estimate<f64>,
    /// How much the offset grows, parts in a million.
    pub drift_ppm: Estimate<f64>,
    /// The moment by the flight log at which the offset holds.
    pub at: DateTime<Utc>,
    /// What the times count from.
    pub times: ClockTimes,
}

/// What two clocks count from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ClockTimes {
    /// Both have dates, or both count from a start: times are compared as they stand in the files.
    Alike,
    /// The sensor counts from a start of its own: seconds from the first fix to its second 0.
    FromFirstFix,
}

impl InertialAnalysis {
    /// The offset of the clocks; `None` where nothing is aligned.
    pub fn clock_offset(&self, track: &Track) -> Option<ClockOffset> {
        let alignment = self.alignment.as_ref()?;
        // A log whose times count from a start has them from 1970 on; so the sensor's are taken then, too.
        let from_start = f64::from(track.epoch.year()) < UNSET_BEFORE_YEAR.value;
        let zero = self.sensor_epoch.or(from_start.then_some(DateTime::UNIX_EPOCH));
        let offset = alignment.offset_s;
        let value_s = offset.value - zero.map_or(0.0, |zero| track.seconds_of(zero));
        Some(ClockOffset {
            offset_s: Estimate::with_dof(value_s, offset.std_u, offset.dof),
            drift_ppm: Estimate::with_dof(
                1e6 * alignment.drift.value,
                1e6 * alignment.drift.std_u,
                alignment.drift.dof,
            ),
            at: track.time_at(alignment.at_s),
            times: if zero.is_some() { ClockTimes::Alike } else { ClockTimes::FromFirstFix },
        })
    }

    /// Bias of the gyro about the vertical in the middle of the flight (it walks), rad/s: what it shows while nothing turns. The part that a
    /// period at rest gave and the rest that the flight gave are added.
    pub fn vertical_bias_rad_s(&self) -> Option<Estimate<f64>> {
        let alignment = self.alignment.as_ref()?;
        let start: f64 =
            alignment.config.bias_rad_s.iter().zip(alignment.down.axis).map(|(bias, down)| bias * down).sum();
        let rest = alignment.bias_rad_s;
        Some(Estimate::with_dof(start + rest.value, rest.std_u, rest.dof))
    }
}

/// Dates on both sides say about how the clocks lie; a date before its time is a clock that was never set.
pub(super) fn clock_prior(log: &ImuLog, track: &Track) -> ClockPrior {
    let set = |time: DateTime<Utc>| f64::from(time.year()) >= UNSET_BEFORE_YEAR.value;
    match log.epoch {
        Some(epoch) if set(epoch) && set(track.epoch) => ClockPrior::Near(track.seconds_of(epoch)),
        _ => ClockPrior::Open,
    }
}
