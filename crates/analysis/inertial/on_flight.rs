//! An inertial sensor on a flight: how far it came, with all that is known of it there.

use super::clock::clock_prior;
use super::columns::{from_estimate, from_track};
use super::fuse::{Part, take_part};
use super::headings::compare_headings;
use super::read::read_all;
use super::temperature::over_flight;
use super::{
    Headings, InertialAnalysis, InertialFile, InertialSource, InertialStatus, NotAligned, NotRead, NotUsed,
    SensorCompass, SensorsUsed,
};
use crate::gps::ByGps;
use crate::{Track, VelocityCircle, WindowMeasurement};
use chrono::{DateTime, Utc};
use driftless_inertial::align::{AlignError, Alignment, FlightColumns, align};
use driftless_inertial::compass::{CompassError, calibrate, earth_field};
use driftless_inertial::constants::USUAL_SWING_S;
use driftless_inertial::swing::{self, SwingAxis, spectrum};
use driftless_inertial::{ImuLog, RateSeries, SensorHealth, impossible_rate, sensor_health};
use driftless_segment::{HandsOff, turn_rate};
use driftless_track::{InputLimits, Problem, Problems, Severity};
use driftless_units::{Estimate, TurnRate};
use driftless_wind::flight::{FlightEstimate, SteadySpan};

/// An inertial sensor on a flight.
pub(crate) struct SensorOnFlight {
    files: Vec<InertialSource>,
    reached: Reached,
}

/// How far it came.
enum Reached {
    NotRead(NotRead),
    NotAligned { recording: Recording, why: NotAligned },
    Aligned { recording: Recording, aligned: Box<Aligned>, part: Result<SensorsUsed, NotUsed> },
}

/// What a recording is by itself.
struct Recording {
    epoch: Option<DateTime<Utc>>,
    health: SensorHealth,
}

/// What a sensor is on the flight that it lies on.
pub(super) struct Aligned {
    pub(super) alignment: Alignment,
    pub(super) swing_period_s: Option<f64>,
    pub(super) rates: RateSeries,
    pub(super) headings: Headings,
    /// Of the magnetometer; `None` without one.
    pub(super) compass: Option<Result<SensorCompass, CompassError>>,
}

impl Aligned {
    /// All that an alignment makes of a recording, and the health of its sensors now that the flight is known.
    fn of(
        log: &ImuLog,
        health: SensorHealth,
        track: &Track,
        columns: &FlightColumns,
        alignment: Alignment,
        by_estimate: bool,
        problems: &mut Problems,
    ) -> (SensorHealth, Self) {
        if alignment.down.was_moved() {
            let message = format!("the sensor was turned by {:.0}° during the flight", alignment.down.moved_deg);
            warn(problems, "imu-moved", &message, "its attitude is followed; fix it better next time");
        }
        if alignment.accel_reversed {
            let message = "the accelerometer writes gravity downward; it was turned over";
            problems.add("imu-accel-reversed", Severity::Note, None, || message.to_owned(), "");
        }
        let flight = columns.nodes().span_s().unwrap_or_default().map(|t| alignment.sensor_s(t));
        let airborne = [track.takeoff_s.unwrap_or(0.0), track.landing_s.unwrap_or(track.duration_s())];
        let health = over_flight(health, log, airborne.map(|t| alignment.sensor_s(t)), problems);
        let swing_period_s = spectrum(&alignment.path, SwingAxis::Roll, flight[0], flight[1])
            .and_then(|whole| swing::swing_period_s(&whole));
        let walk = health.noise.and_then(|n| n.angle_random_walk);
        let rates = alignment.rate_series(&columns.t_s, swing_period_s.unwrap_or(USUAL_SWING_S.value), walk);
        let compass = (!log.mag.is_empty()).then(|| {
            let frame = &track.frame;
            let earth = earth_field(frame.lat_deg, frame.lon_deg, frame.altitude_m, track.epoch).ok();
            calibrate(log, &alignment, &columns.nodes(), earth.as_ref()).map(SensorCompass::new)
        });
        let calibrated = compass.as_ref().and_then(|c| c.as_ref().ok()).map(|c| &c.calibrated);
        let headings = compare_headings(&alignment, swing_period_s, calibrated, columns, by_estimate);
        (health, Self { alignment, swing_period_s, rates, headings, compass })
    }
}

/// Reads inertial files, aligns them with the flight (with its estimate by GPS, or where there is none with its velocities
/// less the wind of the circle), and takes them into the estimate as far as they can help. Beside the sensor: the estimate
/// made with it, `None` where the one there was stands, and everything that is wrong with the files.
pub(crate) fn sensor_on_flight(
    files: &[InertialFile],
    track: &Track,
    by_gps: Option<&FlightEstimate>,
    circle: Option<&VelocityCircle>,
    steady: &[SteadySpan],
    limits: &InputLimits,
) -> (SensorOnFlight, Option<FlightEstimate>, Vec<Problem>) {
    let mut problems = Problems::default();
    let source = |file: &InertialFile| InertialSource { name: file.name.clone(), sha256: file.sha256.clone() };
    let files_given = files.iter().map(source).collect();
    let told = |reading: Vec<Problem>, problems: Problems| [reading, problems.into_vec()].concat();
    let log = match read_all(files, limits, &mut problems) {
        Ok(log) => log,
        Err(why) => {
            let sensor = SensorOnFlight { files: files_given, reached: Reached::NotRead(why) };
            return (sensor, None, problems.into_vec());
        }
    };
    let recording = Recording { epoch: log.epoch, health: sensor_health(&log) };
    let columns = by_gps.map_or_else(|| from_track(track, circle), from_estimate);
    let alignment = match align(&log, &columns.nodes(), clock_prior(&log, track)) {
        Ok(alignment) => alignment,
        Err(error) => {
            let why = not_aligned(&log, error);
            let sensor = SensorOnFlight { files: files_given, reached: Reached::NotAligned { recording, why } };
            return (sensor, None, told(log.problems, problems));
        }
    };
    let Recording { epoch, health } = recording;
    let (health, aligned) = Aligned::of(&log, health, track, &columns, alignment, by_gps.is_some(), &mut problems);
    let Part { aligned, part, estimate } = take_part(aligned, &track.path(), by_gps, steady);
    let reached = Reached::Aligned { recording: Recording { epoch, health }, aligned: Box::new(aligned), part };
    let sensor = SensorOnFlight { files: files_given, reached };
    (sensor, estimate, told(log.problems, problems))
}

/// A gyro in the wrong unit turns too fast for anything: then that is the reason, not what came of it.
fn not_aligned(log: &ImuLog, error: AlignError) -> NotAligned {
    match impossible_rate(&log.gyro) {
        // The size of a sensor that is dead says nothing of its unit.
        Some([fastest_rad_s, limit_rad_s]) if error != AlignError::DeadGyroAxis => {
            NotAligned::GyroUnit { fastest_rad_s, limit_rad_s }
        }
        _ => NotAligned::Align(error),
    }
}

fn warn(problems: &mut Problems, code: &'static str, message: &str, help: &str) {
    problems.add(code, Severity::Warning, None, || message.to_owned(), help);
}

impl SensorOnFlight {
    /// How far it came, and why no farther.
    pub(crate) fn status(&self) -> InertialStatus {
        match &self.reached {
            Reached::NotRead(why) => InertialStatus::NotRead(why.clone()),
            Reached::NotAligned { why, .. } => InertialStatus::NotAligned(why.clone()),
            Reached::Aligned { part: Ok(used), .. } => InertialStatus::Used(used.clone()),
            Reached::Aligned { part: Err(why), .. } => InertialStatus::NotUsed(why.clone()),
        }
    }

    /// The alignment, where there is one.
    #[cfg(test)]
    pub(super) fn aligned(&self) -> Option<&Aligned> {
        match &self.reached {
            Reached::Aligned { aligned, .. } => Some(aligned),
            _ => None,
        }
    }

    /// All that the sensor adds to the flight, now that its windows are measured.
    pub(crate) fn with_windows(self, gps: &ByGps, windows: &[WindowMeasurement]) -> InertialAnalysis {
        let blank = InertialAnalysis::new(self.files.clone(), self.status());
        let (recording, aligned) = match self.reached {
            Reached::NotRead(_) => return blank,
            Reached::NotAligned { recording, .. } => {
                // A sensor that cannot be aligned helps nobody, however quiet it is: only its own figures are told.
                let own_noise = Some(recording.health.own_noise(None));
                return InertialAnalysis {
                    sensor_epoch: recording.epoch,
                    own_noise,
                    health: Some(recording.health),
                    ..blank
                };
            }
            Reached::Aligned { recording, aligned, .. } => (recording, aligned),
        };
        let by_gps = gps.estimate.as_ref().ok();
        let gps_alone: Vec<_> = windows.iter().map(|w| turn_rate(by_gps?, &w.window)).collect();
        let std_u_rad_s = if blank.takes_part() {
            let turns = gps.steady.iter().map(|span| Some((by_gps?.window_turn(*span)?.turn_rate, *span)));
            gps_std_u_minute_rad_s(turns.flatten())
        } else {
            let spans = windows.iter().map(|w| SteadySpan {
                start_s: w.window.start_s,
                end_s: w.window.end_s,
                marked: w.window.hands_off == HandsOff::Confirmed,
            });
            gps_std_u_minute_rad_s(gps_alone.iter().copied().zip(spans).filter_map(|(rate, span)| Some((rate?, span))))
        };
        let windows = aligned.windows(windows, &gps_alone);
        let Aligned { alignment, swing_period_s, rates, headings, compass } = *aligned;
        let (compass, not_calibrated) = match compass {
            Some(Ok(compass)) => (Some(compass), None),
            Some(Err(error)) => (None, Some(error)),
            None => (None, None),
        };
        InertialAnalysis {
            sensor_epoch: recording.epoch,
            own_noise: Some(recording.health.own_noise(std_u_rad_s)),
            health: Some(recording.health),
            alignment: Some(alignment),
            headings: Some(headings),
            rates: Some(rates),
            compass,
            not_calibrated,
            swing_period_s,
            windows,
            ..blank
        }
    }
}

/// Uncertainty of the turn rate over a minute by GPS alone, from turn rates and their spans: the median, each brought to a
/// minute. The uncertainty of a window is that of the headings at its two ends over its length.
fn gps_std_u_minute_rad_s(turns: impl Iterator<Item = (Estimate<TurnRate>, SteadySpan)>) -> Option<f64> {
    const MINUTE_S: f64 = 60.0;
    let brought =
        |(rate, span): (Estimate<TurnRate>, SteadySpan)| rate.std_u.rad_s() * (span.end_s - span.start_s) / MINUTE_S;
    let mut minutes: Vec<f64> = turns.map(brought).filter(|u| u.is_finite()).collect();
    minutes.sort_by(f64::total_cmp);
    minutes.get(minutes.len() / 2).copied()
}
