//! The gyro's turns as the whole-flight estimate takes them, and that estimate.

use crate::InertialAnalysis;
use driftless_inertial::RateMeasurement;
use driftless_inertial::align::Alignment;
use driftless_track::{Problems, Severity, Track};
use driftless_units::Estimate;
use driftless_wind::flight::{FlightEstimate, GyroIncrement, GyroRates, SteadySpan, estimate_with_gyro, node_times};

/// Averaging of the gyro's turns, s: hardly any, because the estimate follows the pilot's swing itself.
const AVERAGED_S: f64 = 0.2;
/// Heading error of a node beside the swing, rad.
const END_STD_U_RAD: f64 = 0.002;
/// How far the scale of a small sensor may be off once the alignment has corrected it.
const SCALE_STD_U: f64 = 0.003;
/// Share of a turn by which the scale found may be off beyond its stated uncertainty: on the tuning flights of the
/// simulator it is, by about a third of a percent, because the piloted turns that teach it are not quite what the model
/// says.
const SCALE_DOUBT: f64 = 0.003;

impl InertialAnalysis {
    /// The flight estimated again with the gyro; `None`, with a note, when the gyro cannot help.
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
        match estimate_with_gyro(track, earlier, spans, &rates) {
            Ok(fused) => {
                self.in_estimate = true;
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
}

/// The turns of an aligned gyro between the nodes of an estimate, with what is known of its errors.
pub fn gyro_rates(alignment: &Alignment, node_times_s: &[f64]) -> GyroRates {
    let series = alignment.rate_series(node_times_s, AVERAGED_S, None);
    let increment = |m: &RateMeasurement| GyroIncrement {
        start_s: m.start_s,
        end_s: m.end_s,
        turn_rad: m.mean_rate_rad_s * (m.end_s - m.start_s),
        end_std_u_rad: END_STD_U_RAD,
        white_std_u_rad: m.white_std_u_rad,
    };
    GyroRates {
        increments: series.measurements.iter().map(increment).collect(),
        bias_rad_s: Estimate::new(series.bias_prior_rad_s[0], series.bias_prior_rad_s[1]),
        bias_walk: series.bias_walk,
        scale_std_u: SCALE_STD_U,
        clock_std_u_s: alignment.offset_s.std_u,
        scale_doubt: SCALE_DOUBT,
    }
}
