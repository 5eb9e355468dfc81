//! What an analysis itself has to tell, beside the problems met while reading: data, put into words by reports.

use crate::{
    CompassAgreement, CompassDoubt, GyroEstimateError, InertialAnalysis, InertialStatus, NotAligned, WindowMeasurement,
};
use driftless_inertial::compass::CompassError;
use driftless_segment::{Finding, HandsOff, WindUnknown};
use driftless_track::Severity;
use driftless_wind::flight::constants::BELIEVED_AIRSPEED_MPS;
use driftless_wind::flight::{FlightEstimate, Settling};

/// Something to know before reading the figures of a flight.
#[derive(Debug, Clone, PartialEq)]
pub enum FlightAlert {
    /// The wind cannot be told, so there is no turn rate.
    WindNotKnown(WindUnknown),
    /// The wind cannot be told, and the turn rates of some windows hold for each airspeed that the log leaves open.
    AirspeedOpen {
        /// Why the wind cannot be told.
        why: WindUnknown,
        /// Slowest airspeed left open, m/s.
        slowest_mps: f64,
        /// Fastest, m/s.
        fastest_mps: f64,
        /// Where what is believed of airspeeds beforehand is strained: the mean of the solutions, and the middle of that belief, m/s.
        strained_mps: Option<[f64; 2]>,
    },
    /// The passes of the estimate ended before nothing changed any more.
    NotSettled {
        /// How many were made.
        passes: usize,
    },
    /// There is no window.
    NoWindows,
    /// Every window was found by the program; nobody marked one.
    CandidatesOnly,
    /// The inertial sensor cannot be laid on the flight.
    SensorNotAligned(NotAligned),
    /// The gyro has no part in the turn rates.
    GyroLeftOut(GyroEstimateError),
    /// The compass of the log has no part in the turn rates.
    CompassLeftOut(Vec<CompassDoubt>),
    /// The compass of an inertial file has no part in the turn rates.
    SensorCompassLeftOut(Vec<CompassDoubt>),
    /// The magnetometer of an inertial file could not be made a compass.
    SensorCompassNotCalibrated(CompassError),
}

impl FlightAlert {
    /// Stable name of the kind, in kebab-case.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::WindNotKnown(_) | Self::AirspeedOpen { .. } => "wind-not-known",
            Self::NotSettled { .. } => "estimate-not-settled",
            Self::NoWindows => "no-windows",
            Self::CandidatesOnly => "candidates-only",
            Self::SensorNotAligned(_) => "imu-not-aligned",
            Self::GyroLeftOut(_) => "imu-not-used",
            Self::CompassLeftOut(_) => "compass-left-out",
            Self::SensorCompassLeftOut(_) | Self::SensorCompassNotCalibrated(_) => "imu-compass-left-out",
        }
    }

    /// How bad.
    pub const fn severity(&self) -> Severity {
        match self {
            Self::WindNotKnown(_) => Severity::Error,
            Self::AirspeedOpen { .. }
            | Self::NotSettled { .. }
            | Self::NoWindows
            | Self::SensorNotAligned(_)
            | Self::SensorCompassLeftOut(_)
            | Self::SensorCompassNotCalibrated(_) => Severity::Warning,
            Self::CandidatesOnly | Self::GyroLeftOut(_) | Self::CompassLeftOut(_) => Severity::Note,
        }
    }
}

/// What to know about a result.
pub(crate) fn alerts(
    windows: &[WindowMeasurement],
    wind_unknown: Option<WindUnknown>,
    estimate: Option<&FlightEstimate>,
    compass: Option<&CompassAgreement>,
    inertial: Option<&InertialAnalysis>,
) -> Vec<FlightAlert> {
    let mut alerts = Vec::new();
    if let Some(InertialStatus::NotAligned(why)) = inertial.map(|i| &i.status) {
        alerts.push(FlightAlert::SensorNotAligned(why.clone()));
    }
    let gyro_failed = inertial.and_then(|i| i.status.gyro_failed());
    alerts.extend(gyro_failed.cloned().map(FlightAlert::GyroLeftOut));
    alerts.extend(wind_unknown.map(|why| without_wind(why, windows, estimate)));
    let unsettled = estimate.map(|e| e.settling).filter(|settling| !settling.settled);
    alerts.extend(unsettled.map(|Settling { passes, .. }| FlightAlert::NotSettled { passes }));
    if windows.is_empty() {
        alerts.push(FlightAlert::NoWindows);
    } else if windows.iter().all(|w| w.window.hands_off == HandsOff::Candidate) {
        alerts.push(FlightAlert::CandidatesOnly);
    }
    let doubted = |doubts: &Vec<CompassDoubt>| (!doubts.is_empty()).then(|| doubts.clone());
    alerts.extend(compass.and_then(|c| doubted(&c.doubts)).map(FlightAlert::CompassLeftOut));
    let of_sensor = inertial.and_then(|i| i.compass.as_ref());
    alerts.extend(of_sensor.and_then(|c| doubted(&c.doubts)).map(FlightAlert::SensorCompassLeftOut));
    let failed = inertial.and_then(|i| i.not_calibrated.clone());
    alerts.extend(failed.map(FlightAlert::SensorCompassNotCalibrated));
    alerts
}

/// What to know where the wind is not: whether there are turn rates all the same.
fn without_wind(why: WindUnknown, windows: &[WindowMeasurement], estimate: Option<&FlightEstimate>) -> FlightAlert {
    let open = |finding: &Finding| match *finding {
        Finding::AirspeedOpen { slowest_mps, fastest_mps } => Some((slowest_mps, fastest_mps)),
        _ => None,
    };
    let accepted = windows.iter().filter(|w| w.accepted());
    let widest = accepted.flat_map(|w| w.verdict.findings.iter().filter_map(open));
    let widest = widest.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)));
    match widest {
        Some((slowest_mps, fastest_mps)) => FlightAlert::AirspeedOpen {
            why,
            slowest_mps,
            fastest_mps,
            strained_mps: estimate
                .and_then(FlightEstimate::strained_airspeed_mps)
                .map(|mean_mps| [mean_mps, BELIEVED_AIRSPEED_MPS.value]),
        },
        None => FlightAlert::WindNotKnown(why),
    }
}
