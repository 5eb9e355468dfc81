//! Units that the header does not name, and named ones that cannot be right: recognised, and asked about.

use super::columns::Sensor;
use crate::constants::{FASTEST_RAD_S, STRONGEST_FIELD_UT, UNIT_NEAR, WEAKEST_FIELD_UT};
use crate::log::Stream;
use driftless_track::{Problems, Severity};
use driftless_units::GRAVITY_MPS2;

/// Brings a stream to SI where its unit was open, and says what was assumed or looks wrong.
pub(super) fn bring_to_si(sensor: Sensor, stream: &mut Stream, open: bool, problems: &mut Problems) {
    match sensor {
        Sensor::Gyro => gyro(stream, open, problems),
        Sensor::Accel => accel(stream, open, problems),
        Sensor::Mag => mag(stream, open, problems),
    }
}

/// What a gyro reads at the most, and what such sensors measure at the most, rad/s, where the one is above the other: then its
/// unit is named wrongly.
pub fn impossible_rate(gyro: &Stream) -> Option<[f64; 2]> {
    // A thousandth may be spikes.
    let fast_rad_s = if gyro.is_empty() { 0.0 } else { norm_quantile(gyro, 0.999) };
    (fast_rad_s > FASTEST_RAD_S.value).then_some([fast_rad_s, FASTEST_RAD_S.value])
}

fn gyro(stream: &mut Stream, open: bool, problems: &mut Problems) {
    let impossible = impossible_rate(stream);
    if open && impossible.is_some() {
        scale(stream, 1_f64.to_radians());
        assumed("gyro", "deg/s", problems);
    } else if open {
        assumed("gyro", "rad/s", problems);
    } else if let Some([fast, _]) = impossible {
        let message = || {
            format!(
                "the gyro reads up to {fast:.0} rad/s, more than such sensors can: is its unit deg/s (a factor 57.3)?"
            )
        };
        doubtful("imu-gyro-unit", message, problems);
    }
}

fn accel(stream: &mut Stream, open: bool, problems: &mut Problems) {
    let typical = norm_quantile(stream, 0.5);
    let known = [("m/s²", 1.0), ("g", GRAVITY_MPS2), ("mg", GRAVITY_MPS2 / 1000.0)];
    let fits = known.into_iter().find(|(_, factor)| near(typical * factor / GRAVITY_MPS2));
    if open {
        if let Some((unit, factor)) = fits {
            scale(stream, factor);
            return assumed("accelerometer", unit, problems);
        }
    } else if near(typical / GRAVITY_MPS2) {
        return;
    } else if near(typical / (GRAVITY_MPS2 * GRAVITY_MPS2)) || near(typical) {
        let message = || {
            format!(
                "the accelerometer reads {typical:.2} m/s² where gravity is {GRAVITY_MPS2:.2}, a factor 9.81: is its \
                 unit named wrongly (m/s² or g)? Only its direction is used"
            )
        };
        return doubtful("imu-accel-unit", message, problems);
    }
    let message = || {
        format!(
            "the accelerometer typically reads {typical:.2} m/s², which is not gravity ({GRAVITY_MPS2:.2}): gravity may have been taken off, or the unit is another"
        )
    };
    doubtful("imu-gravity-missing", message, problems);
}

fn mag(stream: &mut Stream, open: bool, problems: &mut Problems) {
    let typical = norm_quantile(stream, 0.5);
    let known = [("µT", 1.0), ("G", 100.0), ("mG", 0.1), ("nT", 1e-3)];
    let earthly = |field_ut: f64| (WEAKEST_FIELD_UT.value..STRONGEST_FIELD_UT.value).contains(&field_ut);
    match known.into_iter().find(|(_, factor)| earthly(typical * factor)) {
        Some((unit, factor)) if open => {
            scale(stream, factor);
            assumed("magnetometer", unit, problems);
        }
        Some((_, 1.0)) => {}
        _ if open => assumed("magnetometer", "µT", problems),
        _ => {
            let message = || {
                format!(
                    "the magnetometer typically reads {typical:.1} µT, which is not the Earth's field (22 to 67 µT)"
                )
            };
            doubtful("imu-mag-unit", message, problems);
        }
    }
}

fn assumed(sensor: &str, unit: &str, problems: &mut Problems) {
    let code = match sensor {
        "gyro" => "imu-gyro-unit-assumed",
        "accelerometer" => "imu-accel-unit-assumed",
        _ => "imu-mag-unit-assumed",
    };
    let message = || format!("the {sensor} columns name no unit; their size was taken as {unit}");
    problems.add(code, Severity::Note, None, message, "name the unit in the header, or give a mapping");
}

fn doubtful(code: &'static str, message: impl FnOnce() -> String, problems: &mut Problems) {
    problems.add(
        code,
        Severity::Warning,
        None,
        message,
        "check the unit in the header, or give a mapping with the right one",
    );
}

fn near(ratio: f64) -> bool {
    (1.0 / UNIT_NEAR.value..UNIT_NEAR.value).contains(&ratio)
}

fn scale(stream: &mut Stream, factor: f64) {
    for value in stream.xyz.iter_mut().flatten() {
        *value = (f64::from(*value) * factor) as f32;
    }
}

/// A quantile of the norm, from at most a few thousand samples spread over the log.
fn norm_quantile(stream: &Stream, share: f64) -> f64 {
    let step = (stream.len() / 20_000).max(1);
    let mut norms: Vec<f64> =
        (0..stream.len()).step_by(step).map(|i| stream.at(i).iter().map(|v| v * v).sum::<f64>().sqrt()).collect();
    let at = ((norms.len() - 1) as f64 * share).round() as usize;
    *norms.select_nth_unstable_by(at, f64::total_cmp).1
}
