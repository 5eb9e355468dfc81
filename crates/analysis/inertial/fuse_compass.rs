//! The compass beside the gyro as the whole-flight estimate takes it, and whether it may stay.

use super::InertialAnalysis;
use super::fuse::AVERAGED_S;
use crate::compass::after_doubts;
use driftless_inertial::align::Alignment;
use driftless_inertial::compass::{Compass, CompassDoubt, DeviationPrior};
use driftless_track::Track;
use driftless_wind::flight::constants::{COMPASS_LAG_STD_U_S, LEAST_COMPASS_SLOW_RAD, LEAST_COMPASS_WHITE_RAD};
use driftless_wind::flight::{
    CompassHeadings, CompassReading, DeviationStdU, FlightEstimate, GyroRates, SteadySpan, estimate_with_compass,
    node_times,
};

impl InertialAnalysis {
    /// The flight estimated again with the compass; `None`, with its doubts, when there is none or it does not prove consistent.
    /// `earlier` is the estimate from GPS alone, `without` the best without the compass, `gyro` what the latter took of the
    /// gyro.
    pub(super) fn fuse_compass(
        &mut self,
        track: &Track,
        earlier: &FlightEstimate,
        without: &FlightEstimate,
        spans: &[SteadySpan],
        gyro: Option<&GyroRates>,
    ) -> Option<FlightEstimate> {
        let (compass, alignment) = (self.compass.as_mut()?, self.alignment.as_ref()?);
        if !compass.is_consistent() {
            return None;
        }
        let headings = compass_headings(compass, alignment, &node_times(track, spans));
        let doubts = match estimate_with_compass(track, earlier, spans, &headings, gyro) {
            Ok(found) => {
                let doubts = after_doubts(without, &found, &headings.deviation_std_u);
                if doubts.is_empty() {
                    self.compass_in_estimate = true;
                    return Some(found.flight);
                }
                doubts
            }
            Err(error) => vec![CompassDoubt::EstimateFailed { why: error.to_string() }],
        };
        compass.doubts = doubts;
        None
    }
}

/// The headings of a calibrated compass at the nodes of an estimate, with what is known of its errors. The
/// swing stays in them: the estimate follows it, as that of a gyro.
pub fn compass_headings(compass: &Compass, alignment: &Alignment, node_times_s: &[f64]) -> CompassHeadings {
    let headings = compass.headings_rad(alignment, node_times_s, AVERAGED_S);
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
