//! The sampling of a sensor: rate, gaps, unevenness.

use super::columns::Sensor;
use crate::constants::{GAP_INTERVALS, GAP_LEAST_S, LEAST_RATE_HZ, MOST_RATE_HZ, RATE_SLACK, UNEVEN};
use crate::log::Stream;
use driftless_track::{Problems, Severity};

/// The shortest step that is a gap.
pub(crate) fn gap_s(interval_s: f64) -> f64 {
    (GAP_INTERVALS.value * interval_s).max(GAP_LEAST_S.value)
}

/// Whether the sampling itself is uneven, and not only the stamps of an even sampling.
pub(crate) fn is_uneven(stream: &Stream) -> bool {
    let Some(interval_s) = stream.mean_interval_s() else { return false };
    let mut steps: Vec<f64> = stream.t_s.windows(2).map(|w| w[1] - w[0]).collect();
    unevenness(&mut steps, interval_s) > UNEVEN.value
}

/// Spread of the middle 90 % of the steps over their mean; the steps are put into another order.
fn unevenness(steps: &mut [f64], interval_s: f64) -> f64 {
    let n = steps.len();
    let mut quantile = |share: f64| {
        let at = ((n - 1) as f64 * share) as usize;
        *steps.select_nth_unstable_by(at, f64::total_cmp).1
    };
    (quantile(0.95) - quantile(0.05)) / interval_s
}

pub(super) fn inspect(sensor: Sensor, stream: &Stream, problems: &mut Problems) {
    let Some(interval_s) = stream.mean_interval_s() else { return };
    let word = sensor.word();
    let rate_hz = 1.0 / interval_s;
    let rates_hz = (1.0 - RATE_SLACK.value) * LEAST_RATE_HZ.value..(1.0 + RATE_SLACK.value) * MOST_RATE_HZ.value;
    if sensor != Sensor::Mag && !rates_hz.contains(&rate_hz) {
        let code = if sensor == Sensor::Gyro { "imu-gyro-rate" } else { "imu-accel-rate" };
        let message = || format!("the {word} gives {rate_hz:.1} samples a second; 10 to 400 are meant");
        problems.add(code, Severity::Warning, None, message, "set the logger to 50 or 100 Hz");
    }
    let least_s = gap_s(interval_s);
    let mut steps: Vec<f64> = stream.t_s.windows(2).map(|w| w[1] - w[0]).collect();
    let (mut gaps, mut missing_s, mut longest_s) = (0_usize, 0.0, 0.0_f64);
    for &step in steps.iter().filter(|&&step| step > least_s) {
        gaps += 1;
        missing_s += step - interval_s;
        longest_s = longest_s.max(step);
    }
    if gaps > 0 {
        let code = match sensor {
            Sensor::Gyro => "imu-gyro-gaps",
            Sensor::Accel => "imu-accel-gaps",
            Sensor::Mag => "imu-mag-gaps",
        };
        let message = || {
            format!(
                "the {word} has {gaps} gap{}, {missing_s:.1} s in all, the longest {longest_s:.1} s",
                if gaps == 1 { "" } else { "s" }
            )
        };
        problems.add(code, Severity::Warning, None, message, "no heading is carried across a gap");
    }
    let spread = unevenness(&mut steps, interval_s);
    if sensor == Sensor::Gyro && spread > UNEVEN.value {
        let message = || {
            format!(
                "the gyro is sampled unevenly: 90 % of the steps spread over {:.0} % of {:.1} ms",
                100.0 * spread,
                1000.0 * interval_s
            )
        };
        problems.add("imu-jitter", Severity::Note, None, message, "the times as written are used");
    }
}
