//! The gyro's turns as the whole-flight estimate takes them, and that estimate; the compass joins it where it can.

use crate::InertialAnalysis;
use driftless_inertial::RateMeasurement;
use driftless_inertial::align::Alignment;
use driftless_track::{Problems, Severity, Track};
use driftless_units::Estimate;
use driftless_wind::flight::constants::{
    GYRO_CLOCK_STD_U_S, GYRO_END_DOUBT_RAD, GYRO_END_STD_U_RAD, GYRO_SCALE_STD_U, GYRO_TURN_DOUBT,
    SENSOR_BIAS_DOUBT_RAD_S, SENSOR_SCALE_DOUBT,
};
use driftless_wind::flight::{
    FlightEstimate, GyroDoubt, GyroErrors, GyroIncrement, GyroRates, SteadySpan, estimate_with_gyro, node_times,
};

/// Averaging of the gyro's turns, s: hardly any, because the estimate follows the pilot's swing itself.
pub(super) const AVERAGED_S: f64 = 0.2;
impl InertialAnalysis {
    /// The flight estimated again with gyro and compass, as far as they can help; `None`, with a note, when neither can.
    pub(crate) fn fuse(
        &mut self,
        track: &Track,
        earlier: &FlightEstimate,
        spans: &[SteadySpan],
    ) -> Option<FlightEstimate> {
        let rates = gyro_rates(self.alignment.as_ref()?, &node_times(track, spans));
        let turns =
            spans.iter().filter_map(|span| Some((earlier.window_turn(*span)?.turn_rate, span.end_s - span.start_s)));
        self.judge_against_gps(turns);
        let by_gyro = self.fuse_gyro(track, earlier, spans, &rates);
        let (without, gyro) = (by_gyro.as_ref().unwrap_or(earlier), self.in_estimate.then_some(&rates));
        self.fuse_compass(track, earlier, without, spans, gyro).or(by_gyro)
    }

    fn fuse_gyro(
        &mut self,
        track: &Track,
        earlier: &FlightEstimate,
        spans: &[SteadySpan],
        rates: &GyroRates,
    ) -> Option<FlightEstimate> {
        match estimate_with_gyro(track, earlier, spans, rates) {
            Ok(fused) => {
                self.in_estimate = true;
                self.refine(&fused.errors);
                Some(fused.flight)
            }
            Err(error) => {
                self.not_used = Some(error.to_string());
                let mut problems = Problems::default();
                problems.add(
                    "imu-not-used",
                    Severity::Note,
                    None,
                    || format!("the gyro has no part in the turn rates: {error}"),
                    "fly some turns both ways before the windows, and fix the sensor well",
                );
                self.problems.extend(problems.into_vec());
                None
            }
        }
    }

    /// Puts what the whole-flight estimate found about clock, bias and scale in the place of what the alignment with GPS
    /// alone had said: it knows the noise of both sides, and is nearer the truth.
    fn refine(&mut self, errors: &GyroErrors) {
        let Some(alignment) = &mut self.alignment else { return };
        let (clock, bias, scale, before) = (errors.clock_s, errors.bias_rad_s, errors.scale, alignment.scale.value);
        let clock_std_u_s = clock.std_u.hypot(alignment.axis_std_u_s);
        alignment.offset_s = Estimate::new(alignment.offset_s.value + clock.value, clock_std_u_s);
        alignment.bias_rad_s =
            Estimate::new(bias.value / before, bias.std_u.hypot(SENSOR_BIAS_DOUBT_RAD_S.value) / before);
        alignment.scale =
            Estimate::new(before * (1.0 - scale.value), before * scale.std_u.hypot(SENSOR_SCALE_DOUBT.value));
    }
}

/// The turns of an aligned gyro between the nodes of an estimate, with what is known of its errors.
pub fn gyro_rates(alignment: &Alignment, node_times_s: &[f64]) -> GyroRates {
    let series = alignment.rate_series(node_times_s, AVERAGED_S, None);
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
