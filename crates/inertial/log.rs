//! What an inertial log holds: one stream per sensor, each with its own times.

use chrono::{DateTime, TimeDelta, Utc};
use driftless_track::{Problem, Problems, Severity};
use driftless_units::{Neighbours, median};

/// Samples of one three-axis sensor. Both vectors have the same length; times rise strictly.
///
/// The values are single precision: sensors have 16 to 20 bits, a float holds 24, and four hours at 200 Hz fit twice
/// as well into memory. Sums are taken in double precision.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Stream {
    /// Seconds on the clock of the log (see [`ImuLog::epoch`]).
    pub t_s: Vec<f64>,
    /// Axes x, y, z in SI units (the magnetometer in µT).
    pub xyz: Vec<[f32; 3]>,
}

/// Temperatures, where the log has them.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Temperature {
    /// Seconds on the clock of the log.
    pub t_s: Vec<f64>,
    /// °C.
    pub celsius: Vec<f32>,
}

impl Temperature {
    /// Median over `[from_s, to_s)`, °C; `None` without a value there.
    pub fn median_c(&self, from_s: f64, to_s: f64) -> Option<f64> {
        let low = self.t_s.partition_point(|&t| t < from_s);
        let high = self.t_s.partition_point(|&t| t < to_s);
        median(self.celsius.get(low..high)?.iter().copied().map(f64::from))
    }

    /// The temperature at a moment by straight lines between values, °C; `None` outside of them.
    pub fn at(&self, t_s: f64) -> Option<f64> {
        let near = Neighbours::of(&self.t_s, |t| *t, t_s)?;
        let celsius = |i: usize| self.celsius.get(i).copied().map(f64::from);
        let before_c = celsius(near.at)?;
        Some(before_c + near.share * (celsius(near.at + 1).unwrap_or(before_c) - before_c))
    }
}

/// An inertial log as read.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ImuLog {
    /// UTC of second 0 when the log has dates; `None` when its times count from a start that is not told.
    pub epoch: Option<DateTime<Utc>>,
    /// Angular rates, rad/s.
    pub gyro: Stream,
    /// Specific force, m/s²: what an accelerometer feels, upward on a table.
    pub accel: Stream,
    /// Magnetic field, µT.
    pub mag: Stream,
    /// Temperature of the sensor.
    pub temperature: Temperature,
    /// What was dropped or odd.
    pub problems: Vec<Problem>,
}

impl Stream {
    /// Number of samples.
    pub fn len(&self) -> usize {
        self.t_s.len()
    }

    /// Whether there is no sample.
    pub fn is_empty(&self) -> bool {
        self.t_s.is_empty()
    }

    /// One sample in double precision.
    pub fn at(&self, i: usize) -> [f64; 3] {
        self.xyz[i].map(f64::from)
    }

    /// First and last time; `None` when empty.
    pub fn span_s(&self) -> Option<[f64; 2]> {
        Some([*self.t_s.first()?, *self.t_s.last()?])
    }

    /// Median time between samples, seconds; `None` with fewer than two.
    pub fn interval_s(&self) -> Option<f64> {
        median(self.t_s.windows(2).map(|w| w[1] - w[0]))
    }

    /// Mean time between samples, gaps left out, seconds; `None` with fewer than two. Of a logger that writes in bursts this
    /// is the interval of its sensor, where [`Stream::interval_s`] is the step within a burst.
    pub fn mean_interval_s(&self) -> Option<f64> {
        let gap_s = crate::read::gap_s(self.interval_s()?);
        let steps = self.t_s.windows(2).map(|w| w[1] - w[0]).filter(|step| *step <= gap_s);
        let (sum_s, count) = steps.fold((0.0, 0_usize), |(sum, count), step| (sum + step, count + 1));
        (count > 0).then(|| sum_s / count as f64)
    }

    /// The indices of the samples within `[from_s, to_s)`.
    pub fn range(&self, from_s: f64, to_s: f64) -> std::ops::Range<usize> {
        let low = self.t_s.partition_point(|&t| t < from_s);
        low..self.t_s.partition_point(|&t| t < to_s).max(low)
    }
}

impl ImuLog {
    /// Joins the log of another file of the same recorder: sensors that this one lacks are taken over, with their times
    /// brought to this one's clock. A sensor that both have stays as it is, and a note says so.
    pub fn join(&mut self, other: Self) {
        let shift_s = match (self.epoch, other.epoch) {
            (Some(mine), Some(theirs)) => (theirs - mine).as_seconds_f64(),
            (None, None) => 0.0,
            _ => {
                self.note(
                    "imu-clocks-differ",
                    "one inertial file has dates and another has not; only the first was used",
                );
                return;
            }
        };
        let mut twice = false;
        for (mine, theirs) in [(&mut self.gyro, other.gyro), (&mut self.accel, other.accel), (&mut self.mag, other.mag)]
        {
            twice |= !mine.is_empty() && !theirs.is_empty();
            if mine.is_empty() {
                *mine = theirs;
                mine.t_s.iter_mut().for_each(|t| *t += shift_s);
            }
        }
        if self.temperature.t_s.is_empty() {
            self.temperature = other.temperature;
            self.temperature.t_s.iter_mut().for_each(|t| *t += shift_s);
        }
        self.problems.extend(other.problems);
        if twice {
            self.note("imu-sensor-twice", "two inertial files hold the same sensor; the first was used");
        }
    }

    /// The UTC time of `t_s`, when the log has dates.
    pub fn time_at(&self, t_s: f64) -> Option<DateTime<Utc>> {
        self.epoch?.checked_add_signed(TimeDelta::microseconds((t_s * 1e6).round() as i64))
    }

    fn note(&mut self, code: &'static str, message: &str) {
        let mut problems = Problems::default();
        problems.add(code, Severity::Warning, None, || message.to_owned(), "give the files of one recorder only");
        self.problems.extend(problems.into_vec());
    }
}
