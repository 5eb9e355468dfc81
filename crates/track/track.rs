//! The cleaned track: one time base, a local frame in metres, a ground velocity at every point.

use crate::{Airborne, Mark, OptionalF64, Problem};
use chrono::{DateTime, TimeDelta, Utc};
use driftless_units::{Ground, GroundPath, PathPoint, Position, Velocity, VelocitySource, items_between};
use std::borrow::Cow;

/// A local east-north-up frame on the WGS-84 ellipsoid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LocalFrame {
    /// Latitude of the origin, degrees.
    pub lat_deg: f64,
    /// Longitude of the origin, degrees.
    pub lon_deg: f64,
    /// Height of the origin, metres.
    pub altitude_m: f64,
}

/// A flight, cleaned: times rise strictly, positions are in metres from the origin.
#[derive(Debug, Clone, PartialEq)]
pub struct Track {
    /// Time zero of `t_s`: the first point.
    pub epoch: DateTime<Utc>,
    /// The local frame of the positions.
    pub frame: LocalFrame,
    /// Points, times strictly rising. Never empty.
    pub points: Vec<TrackPoint>,
    /// Gaps in the data, in time order.
    pub gaps: Vec<Gap>,
    /// Marks of the log, in time order.
    pub marks: Vec<Mark>,
    /// The flights of the log, in time order; none when it stays on the ground.
    pub flights: Vec<Airborne>,
    /// When the aircraft first left the ground, seconds from `epoch`; `None` when the log begins in the air.
    pub takeoff_s: Option<f64>,
    /// When it was on the ground again for the last time, seconds from `epoch`; `None` when the log ends in the air.
    pub landing_s: Option<f64>,
    /// Altitude of the take-off place, metres (else of the landing place, else `None`).
    pub takeoff_altitude_m: Option<f64>,
    /// Median time between points, seconds.
    pub median_interval_s: f64,
    /// Standard uncertainty of one position per axis as far as rounding in the file causes it (step / √12), metres.
    pub rounding_m: f64,
    /// What was dropped or odd while cleaning.
    pub problems: Vec<Problem>,
}

/// One point of a [`Track`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrackPoint {
    /// Seconds from the track's epoch.
    pub t_s: f64,
    /// Where, metres east and north of the frame's origin.
    pub position: Position<Ground>,
    /// Altitude, metres: GNSS where the log has it throughout, else pressure.
    pub altitude_m: OptionalF64,
    /// Velocity over the ground at this time.
    pub velocity: Velocity<Ground>,
    /// How the velocity was had.
    pub velocity_source: VelocitySource,
    /// Recorded true heading, degrees.
    pub heading_true_deg: OptionalF64,
    /// Recorded magnetic heading, degrees.
    pub heading_magnetic_deg: OptionalF64,
    /// Recorded true airspeed, m/s; where only the indicated one was recorded, converted in the standard atmosphere.
    pub true_airspeed_mps: OptionalF64,
    /// Engine speed, revolutions per minute.
    pub engine_rpm: OptionalF64,
    /// Engine noise level, 0 to 999.
    pub engine_noise: OptionalF64,
    /// Index of the fix this point came from in `FlightLog::fixes`.
    pub fix_index: u32,
}

/// A span of time without data.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// Last point before, seconds from the epoch.
    pub start_s: f64,
    /// First point after, seconds from the epoch.
    pub end_s: f64,
}

impl Track {
    /// The UTC time of `t_s`; the last or first moment there is a date for where it lies beyond.
    pub fn time_at(&self, t_s: f64) -> DateTime<Utc> {
        let beyond = if t_s < 0.0 { DateTime::<Utc>::MIN_UTC } else { DateTime::<Utc>::MAX_UTC };
        self.epoch.checked_add_signed(TimeDelta::microseconds((t_s * 1e6).round() as i64)).unwrap_or(beyond)
    }
    /// Seconds from the epoch of a UTC time.
    pub fn seconds_of(&self, time: DateTime<Utc>) -> f64 {
        (time - self.epoch).as_seconds_f64()
    }
    /// Whether the log had altitudes at all: a track without any carries zero at every point; a real flight cannot.
    pub fn has_altitude(&self) -> bool {
        self.points.iter().any(|p| p.altitude_m.get().is_some())
    }
    /// The points with times in `[from_s, to_s]`.
    pub fn points_between(&self, from_s: f64, to_s: f64) -> &[TrackPoint] {
        items_between(&self.points, |p| p.t_s, from_s, to_s)
    }
    /// The path over the ground by itself: what wind and heading are estimated from.
    pub fn path(&self) -> GroundPath {
        let point = |p: &TrackPoint| PathPoint {
            t_s: p.t_s,
            position: p.position,
            altitude_m: p.altitude_m.get(),
            velocity: p.velocity,
            velocity_source: p.velocity_source,
        };
        GroundPath {
            points: self.points.iter().map(point).collect(),
            takeoff_s: self.takeoff_s,
            landing_s: self.landing_s,
            rounding_m: self.rounding_m,
        }
    }
    /// The same track with one of its flights for the only one; by their order.
    pub fn of_flight(&self, number: usize) -> Cow<'_, Self> {
        let Some(flight) = self.flights.get(number).filter(|_| self.flights.len() > 1) else {
            return Cow::Borrowed(self);
        };
        let Airborne { takeoff_s, landing_s, takeoff_altitude_m } = *flight;
        Cow::Owned(Self { flights: vec![*flight], takeoff_s, landing_s, takeoff_altitude_m, ..self.clone() })
    }
    /// Seconds from first to last point.
    pub fn duration_s(&self) -> f64 {
        self.points.last().map_or(0.0, |p| p.t_s)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn regression_times_without_a_date_do_not_panic() {
        let frame = LocalFrame { lat_deg: 47.0, lon_deg: 11.0, altitude_m: 0.0 };
        let epoch = DateTime::from_timestamp(1_780_000_000, 0).unwrap_or_default();
        let track = Track {
            epoch,
            frame,
            points: vec![],
            gaps: vec![],
            marks: vec![],
            flights: vec![],
            takeoff_s: None,
            landing_s: None,
            takeoff_altitude_m: None,
            median_interval_s: 1.0,
            rounding_m: 0.0,
            problems: vec![],
        };
        assert_eq!(track.time_at(1e13), DateTime::<Utc>::MAX_UTC);
        assert_eq!(track.time_at(-1e300), DateTime::<Utc>::MIN_UTC);
        assert_eq!(track.time_at(f64::NAN), epoch);
        assert_eq!(track.time_at(1.5).timestamp_millis(), 1_780_000_001_500);
    }
}
