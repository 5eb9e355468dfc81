//! The compass beside the gyro as the whole-flight estimate takes it, and whether it may stay.

use crate::compass::{CompassDoubt, after_doubts};
use crate::constants::AVERAGED_S;
use driftless_inertial::align::Alignment;
use driftless_inertial::compass::{Compass, DeviationPrior};
use driftless_units::GroundPath;
use driftless_wind::flight::constants::{COMPASS_LAG_STD_U_S, LEAST_COMPASS_SLOW_RAD, LEAST_COMPASS_WHITE_RAD};
use driftless_wind::flight::{
    CompassHeadings, CompassReading, DeviationStdU, FlightEstimate, GyroRates, SteadySpan, estimate_with_compass,
    node_times,
};

/// What there is without the compass.
pub(super) struct Without<'a> {
    /// The estimate from GPS alone.
    pub(super) by_gps: &'a FlightEstimate,
    /// The best estimate without the compass.
    pub(super) best: &'a FlightEstimate,
    /// What that took of the gyro.
    pub(super) gyro: Option<&'a GyroRates>,
}

/// A compass made of the magnetometer of an inertial file.
#[derive(Debug, Clone, PartialEq)]
pub struct SensorCompass {
    /// The magnetometer made a compass.
    pub calibrated: Compass,
    /// Why it is not to be used, by its calibration or by the estimate with it; empty when it proved consistent.
    pub doubts: Vec<CompassDoubt>,
}

impl SensorCompass {
    /// As its calibration has it.
    pub fn new(calibrated: Compass) -> Self {
        let doubts = calibrated.doubts.iter().copied().map(CompassDoubt::Calibration).collect();
        Self { calibrated, doubts }
    }

    /// Whether it proved consistent.
    pub fn is_consistent(&self) -> bool {
        self.doubts.is_empty()
    }
}

/// The flight estimated again with a compass; `None`, with its doubts in the compass, when it does not prove consistent.
pub(super) fn with_compass(
    compass: SensorCompass,
    alignment: &Alignment,
    path: &GroundPath,
    steady: &[SteadySpan],
    without: &Without<'_>,
) -> (SensorCompass, Option<FlightEstimate>) {
    if !compass.is_consistent() {
        return (compass, None);
    }
    let headings = compass_headings(&compass.calibrated, alignment, &node_times(path, steady));
    let doubts = match estimate_with_compass(path, without.by_gps, steady, &headings, without.gyro) {
        Ok(found) => {
            let doubts = after_doubts(without.best, &found, &headings.deviation_std_u);
            if doubts.is_empty() {
                return (compass, Some(found.flight));
            }
            doubts
        }
        Err(error) => vec![CompassDoubt::EstimateFailed(error)],
    };
    (SensorCompass { doubts, ..compass }, None)
}

/// The headings of a calibrated compass at the nodes of an estimate, with what is known of its errors. The
/// swing stays in them: the estimate follows it, as that of a gyro.
pub fn compass_headings(compass: &Compass, alignment: &Alignment, node_times_s: &[f64]) -> CompassHeadings {
    let headings = compass.headings_rad(alignment, node_times_s, AVERAGED_S.value);
    let reading =
        |(t_s, heading_rad): (&f64, Option<f64>)| Some(CompassReading { t_s: *t_s, heading_rad: heading_rad? });
    let DeviationPrior { coefficients_rad, heeling } = compass.deviation;
    CompassHeadings {
        readings: node_times_s.iter().zip(headings).filter_map(reading).collect(),
        deviation_std_u: DeviationStdU { coefficients_rad, heeling },
        lag_std_u_s: alignment.offset_s.std_u.hypot(COMPASS_LAG_STD_U_S.value),
        least_errors_rad: least_errors_rad(),
    }
}

/// The least slow and white error of a compass heading, rad.
pub(crate) fn least_errors_rad() -> [f64; 2] {
    [LEAST_COMPASS_SLOW_RAD.value, LEAST_COMPASS_WHITE_RAD.value]
}
