//! Inertial files beside a flight: read, judged, aligned. Whatever fails is said; the flight's own result stands without.

mod clock;
mod fuse;
mod fuse_compass;
mod headings;
mod temperature;
mod windows;

pub use clock::{ClockOffset, ClockTimes};
pub use fuse::gyro_rates;
pub use fuse_compass::compass_headings;
pub(crate) use fuse_compass::least_errors_rad;
pub use headings::{Difference, Headings};
pub use windows::InertialWindow;

use crate::{Track, VelocityCircle, sha256};
use chrono::{DateTime, Utc};
use driftless_inertial::align::{Alignment, ClockPrior, FlightColumns, align};
use driftless_inertial::compass::{Compass, CompassError, calibrate, earth_field};
use driftless_inertial::swing::{SwingAxis, spectrum, swing_period_s};
use driftless_inertial::{ImuError, ImuLog, ImuMapping, RateSeries, SensorHealth, read_within, sensor_health};
use driftless_track::{InputLimits, Problem, Problems, Severity};
use driftless_wind::flight::{FlightEstimate, Node};
use std::sync::Arc;

/// One inertial file as given.
#[derive(Debug, Clone, PartialEq)]
pub struct InertialFile {
    /// Its name, for messages.
    pub name: String,
    /// Its bytes, shared: several logs of a run may be read with one file of hundreds of megabytes.
    pub bytes: Arc<Vec<u8>>,
    /// SHA-256 of the file as given, lower-case hex.
    pub sha256: String,
    /// Text of the column mapping kept for it (TOML), if there is one.
    pub mapping_toml: Option<String>,
}

impl InertialFile {
    /// A file as given.
    pub fn new(name: String, bytes: Vec<u8>, mapping_toml: Option<String>) -> Self {
        Self { name, sha256: sha256(&bytes), bytes: bytes.into(), mapping_toml }
    }
}

/// The name of an inertial file and what it was made from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InertialSource {
    /// Its name as given.
    pub name: String,
    /// SHA-256 of the file as given, lower-case hex.
    pub sha256: String,
}

/// What inertial data adds to a flight.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct InertialAnalysis {
    /// The files given, in that order.
    pub files: Vec<InertialSource>,
    /// Whether the gyro took part in the estimate of the flight: reports say in words which of the two it is.
    pub in_estimate: bool,
    /// Whether the compass did.
    pub compass_in_estimate: bool,
    /// Moment of the sensor's second 0 by its own clock, when its times have dates.
    pub sensor_epoch: Option<DateTime<Utc>>,
    /// State of the sensors; `None` when no file could be read.
    pub health: Option<SensorHealth>,
    /// Whether the sensor helps, in words; `None` when no file could be read.
    pub verdict: Option<String>,
    /// Alignment with the flight; `None` when it cannot be told.
    pub alignment: Option<Alignment>,
    /// Why there is no alignment; `None` when there is one.
    pub not_aligned: Option<String>,
    /// Why an aligned gyro has no part in the estimate; `None` when it has one, or was not tried.
    pub not_used: Option<String>,
    /// Headings of flight, gyro and compass beside each other.
    pub headings: Option<Headings>,
    /// Turn rates between the estimate's nodes.
    pub rates: Option<RateSeries>,
    /// The compass, consistent or not; `None` when there is none.
    pub compass: Option<Compass>,
    /// Why a magnetometer could not be made a compass; `None` when it could, or there is none.
    pub not_calibrated: Option<CompassError>,
    /// Period of the pilot's swing over the flight, where one stands out, seconds.
    pub swing_period_s: Option<f64>,
    /// What the sensor saw in each window; filled by [`InertialAnalysis::summarise_windows`].
    pub windows: Vec<InertialWindow>,
    /// Everything found on the way.
    pub problems: Vec<Problem>,
}

/// What to do about inertial data that cannot be used; the flight itself has its result.
const UNREAD_HELP: &str =
    "check the file, or name its columns in a mapping beside it (docs/formats.md); the flight is reported without it";
const UNALIGNED_HELP: &str = "check that the file is of this flight and has gyro and accelerometer, that the sensor was \
                              fixed to the pilot, and that the flight has turns; it is reported without the sensor";
/// Swing period taken where none stands out, seconds (2 to 4 are usual; engineering judgement).
const USUAL_SWING_S: f64 = 3.0;
/// How far the wind of an estimate may be off over a whole flight, m/s.
const ESTIMATE_WIND_MPS: f64 = 0.5;
/// Velocity error per axis where there is only the track, m/s.
const TRACK_VELOCITY_MPS: f64 = 0.3;
/// Clocks that were never set begin long before any inertial logger was built.
const UNSET_BEFORE_YEAR: i32 = 2005;

/// Reads inertial files and aligns them with a flight: with its estimate, or where there is none with its velocities less
/// the wind of the circle.
pub fn analyse_inertial(
    files: &[InertialFile],
    track: &Track,
    estimate: Option<&FlightEstimate>,
    circle: Option<&VelocityCircle>,
    limits: &InputLimits,
) -> InertialAnalysis {
    let source = |file: &InertialFile| InertialSource { name: file.name.clone(), sha256: file.sha256.clone() };
    let mut found = InertialAnalysis { files: files.iter().map(source).collect(), ..InertialAnalysis::default() };
    let mut problems = Problems::default();
    let (log, unread) = read_all(files, limits, &mut problems);
    found.not_aligned = unread;
    if let Some(log) = &log {
        found.sensor_epoch = log.epoch;
        let health = sensor_health(log);
        found.verdict = Some(health.verdict(None));
        found.health = Some(health);
        let columns = estimate.map_or_else(|| from_track(track, circle), from_estimate);
        match align(log, &columns.nodes(), clock(log, track)) {
            Ok(alignment) => {
                found.not_aligned = None;
                found.take(log, track, &columns, alignment, &mut problems);
                found.headings = found.compare_headings(&columns, estimate.is_some());
            }
            Err(error) => {
                // A gyro in the wrong unit turns too fast for anything: then that is the reason, not what came of it.
                let unit = log.problems.iter().find(|p| p.code == "imu-gyro-unit").map(|p| p.message.clone());
                let why = unit.unwrap_or_else(|| error.to_string());
                add(&mut problems, "imu-not-aligned", &why, UNALIGNED_HELP);
                found.not_aligned = Some(why);
            }
        }
    }
    let reading = log.map(|log| log.problems).unwrap_or_default();
    found.problems = reading.into_iter().chain(problems.into_vec()).collect();
    found
}

impl InertialAnalysis {
    /// Whether gyro or compass took part in the estimate of the flight.
    pub fn takes_part(&self) -> bool {
        self.in_estimate || self.compass_in_estimate
    }

    fn take(
        &mut self,
        log: &ImuLog,
        track: &Track,
        columns: &FlightColumns,
        alignment: Alignment,
        problems: &mut Problems,
    ) {
        if alignment.down.was_moved() {
            let message = format!("the sensor was turned by {:.0}° during the flight", alignment.down.moved_deg);
            add(problems, "imu-moved", &message, "its attitude is followed; fix it better next time");
        }
        if alignment.accel_reversed {
            let message = "the accelerometer writes gravity downward; it was turned over";
            problems.add("imu-accel-reversed", Severity::Note, None, || message.to_owned(), "");
        }
        let flight = columns.nodes().span_s().unwrap_or_default().map(|t| alignment.sensor_s(t));
        let airborne = [track.takeoff_s.unwrap_or(0.0), track.landing_s.unwrap_or(track.duration_s())];
        self.check_temperature(log, airborne.map(|t| alignment.sensor_s(t)), problems);
        self.swing_period_s =
            spectrum(&alignment.path, SwingAxis::Roll, flight[0], flight[1]).and_then(|whole| swing_period_s(&whole));
        let walk = self.health.as_ref().and_then(|h| h.noise).and_then(|n| n.angle_random_walk);
        self.rates = Some(alignment.rate_series(&columns.t_s, self.swing_period_s.unwrap_or(USUAL_SWING_S), walk));
        if !log.mag.is_empty() {
            let frame = &track.frame;
            let earth = earth_field(frame.lat_deg, frame.lon_deg, frame.altitude_m, track.epoch).ok();
            match calibrate(log, &alignment, &columns.nodes(), earth.as_ref()) {
                Ok(compass) => self.compass = Some(compass),
                Err(error) => self.not_calibrated = Some(error),
            }
        }
        self.alignment = Some(alignment);
    }
}

/// All files as one log; what cannot be read is told, and given back in words for the case that nothing can.
fn read_all(files: &[InertialFile], limits: &InputLimits, problems: &mut Problems) -> (Option<ImuLog>, Option<String>) {
    let mut joined: Option<ImuLog> = None;
    let mut unread = None;
    for file in files {
        match (read_one(file, limits), &mut joined) {
            (Ok(log), Some(joined)) => joined.join(log),
            (Ok(log), None) => joined = Some(log),
            (Err(error), _) => {
                let message = format!("{}: {error}", file.name);
                add(problems, "imu-not-read", &message, UNREAD_HELP);
                unread.get_or_insert(message);
            }
        }
    }
    (joined, unread)
}

fn read_one(file: &InertialFile, limits: &InputLimits) -> Result<ImuLog, ImuError> {
    let mapping = file.mapping_toml.as_deref().map(ImuMapping::from_toml).transpose()?;
    read_within(&file.bytes, mapping.as_ref(), limits)
}

/// Dates on both sides say about how the clocks lie; a date before its time is a clock that was never set.
fn clock(log: &ImuLog, track: &Track) -> ClockPrior {
    use chrono::Datelike;
    let set = |time: DateTime<Utc>| time.year() >= UNSET_BEFORE_YEAR;
    match log.epoch {
        Some(epoch) if set(epoch) && set(track.epoch) => ClockPrior::Near(track.seconds_of(epoch)),
        _ => ClockPrior::Open,
    }
}

fn from_estimate(estimate: &FlightEstimate) -> FlightColumns {
    let column = |value: fn(&Node) -> f64| estimate.nodes.iter().map(value).collect();
    FlightColumns {
        t_s: column(|n| n.t_s),
        heading_rad: column(|n| n.heading.value.rad()),
        turn_rate_rad_s: column(|n| n.turn_rate.value.rad_s()),
        turn_rate_std_u_rad_s: column(|n| n.turn_rate.std_u.rad_s()),
        airspeed_mps: column(|n| n.airspeed_mps.value),
        wind_std_u_mps: ESTIMATE_WIND_MPS,
    }
}

fn from_track(track: &Track, circle: Option<&VelocityCircle>) -> FlightColumns {
    let [from_s, to_s] = [track.takeoff_s.unwrap_or(0.0), track.landing_s.unwrap_or(f64::INFINITY)];
    let airborne = || track.points.iter().filter(|p| (from_s..=to_s).contains(&p.t_s));
    let t_s: Vec<f64> = airborne().map(|p| p.t_s).collect();
    let velocities: Vec<[f64; 2]> = airborne().map(|p| [p.velocity.east_mps, p.velocity.north_mps]).collect();
    let wind = circle.map_or([0.0; 2], |c| [c.wind.east_mps, c.wind.north_mps]);
    FlightColumns::from_velocities(&t_s, &velocities, wind, TRACK_VELOCITY_MPS)
}

fn add(problems: &mut Problems, code: &'static str, message: &str, help: &str) {
    problems.add(code, Severity::Warning, None, || message.to_owned(), help);
}
