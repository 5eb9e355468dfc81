//! The gyro's turns as the whole-flight estimate takes them, and that estimate; the compass joins it where it can.

use super::fuse_compass::{Without, with_compass};
use super::on_flight::Aligned;
use super::{NotUsed, SensorsUsed};
use crate::constants::AVERAGED_S;
use driftless_inertial::RateMeasurement;
use driftless_inertial::align::Alignment;
use driftless_units::{Estimate, GroundPath};
use driftless_wind::flight::constants::{
    GYRO_CLOCK_STD_U_S, GYRO_END_DOUBT_RAD, GYRO_END_STD_U_RAD, GYRO_SCALE_STD_U, GYRO_TURN_DOUBT,
    SENSOR_BIAS_DOUBT_RAD_S, SENSOR_SCALE_DOUBT,
};
use driftless_wind::flight::{
    FlightEstimate, GyroDoubt, GyroErrors, GyroIncrement, GyroRates, SteadySpan, estimate_with_gyro, node_times,
};

/// What part a sensor has in the estimate.
pub(super) struct Part {
    /// The sensor, its alignment and its compass as the estimate with it found them.
    pub(super) aligned: Aligned,
    /// Which of its sensors took part, or why none did.
    pub(super) part: Result<SensorsUsed, NotUsed>,
    /// The flight estimated with them; `None` when none took part.
    pub(super) estimate: Option<FlightEstimate>,
}

/// Estimates the flight again with gyro and compass, as far as they can help. `by_gps` is the estimate without.
pub(super) fn take_part(
    aligned: Aligned,
    path: &GroundPath,
    by_gps: Option<&FlightEstimate>,
    steady: &[SteadySpan],
) -> Part {
    let Some(by_gps) = by_gps else { return Part { aligned, part: Err(NotUsed::NoEstimate), estimate: None } };
    let Aligned { alignment, compass, .. } = aligned;
    let rates = gyro_rates(&alignment, &node_times(path, steady));
    let (alignment, by_gyro) = match estimate_with_gyro(path, by_gps, steady, &rates) {
        Ok(found) => (refined(alignment, &found.errors), Ok(found.flight)),
        Err(error) => (alignment, Err(error)),
    };
    let without = Without { by_gps, best: by_gyro.as_ref().unwrap_or(by_gps), gyro: by_gyro.is_ok().then_some(&rates) };
    let (compass, by_compass) = match compass {
        Some(Ok(compass)) => {
            let (compass, flight) = with_compass(compass, &alignment, path, steady, &without);
            (Some(Ok(compass)), flight)
        }
        none => (none, None),
    };
    let (part, estimate) = match (by_gyro, by_compass) {
        (Ok(_), Some(flight)) => (Ok(SensorsUsed::GyroAndCompass), Some(flight)),
        (Ok(flight), None) => (Ok(SensorsUsed::Gyro), Some(flight)),
        (Err(error), Some(flight)) => (Ok(SensorsUsed::Compass(error)), Some(flight)),
        (Err(error), None) => (Err(NotUsed::Gyro(error)), None),
    };
    Part { aligned: Aligned { alignment, compass, ..aligned }, part, estimate }
}

/// The alignment with what the whole-flight estimate found about clock, bias and scale in the place of what the alignment
/// with GPS alone had said: it knows the noise of both sides, and is nearer the truth.
fn refined(alignment: Alignment, errors: &GyroErrors) -> Alignment {
    let (clock, bias, scale, before) = (errors.clock_s, errors.bias_rad_s, errors.scale, alignment.scale.value);
    let clock_std_u_s = clock.std_u.hypot(alignment.axis_std_u_s);
    Alignment {
        offset_s: Estimate::new(alignment.offset_s.value + clock.value, clock_std_u_s),
        bias_rad_s: Estimate::new(bias.value / before, bias.std_u.hypot(SENSOR_BIAS_DOUBT_RAD_S.value) / before),
        scale: Estimate::new(before * (1.0 - scale.value), before * scale.std_u.hypot(SENSOR_SCALE_DOUBT.value)),
        ..alignment
    }
}

/// The turns of an aligned gyro between the nodes of an estimate, with what is known of its errors.
pub fn gyro_rates(alignment: &Alignment, node_times_s: &[f64]) -> GyroRates {
    let series = alignment.rate_series(node_times_s, AVERAGED_S.value, None);
    let increment = |m: &RateMeasurement| GyroIncrement {
        start_s: m.start_s,
        end_s: m.end_s,
        turn_rad: m.mean_rate_rad_s * (m.end_s - m.start_s),
        end_std_u_rad: GYRO_END_STD_U_RAD.value,
        white_std_u_rad: m.white_std_u_rad,
    };
    GyroRates {
        increments: series.measurements.iter().map(increment).collect(),
        bias_rad_s: Estimate::new(series.bias_prior_rad_s[0], series.bias_prior_rad_s[1]),
        bias_walk: series.bias_walk,
        scale_std_u: GYRO_SCALE_STD_U.value,
        clock_std_u_s: GYRO_CLOCK_STD_U_S.value,
        doubt: GyroDoubt { scale: GYRO_TURN_DOUBT.value, end_rad: GYRO_END_DOUBT_RAD.value },
    }
}
