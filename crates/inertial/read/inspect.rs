//! The values of a sensor: dead axes, a frozen sensor, saturation.

use super::columns::Sensor;
use crate::constants::{FEWEST_TO_INSPECT, FROZEN_S, SATURATED_RUN, SATURATED_SAMPLES};
use crate::log::{ImuLog, Stream};
use driftless_track::{Problems, Severity};

pub(super) fn inspect(sensor: Sensor, stream: &mut Stream, problems: &mut Problems) {
    if stream.len() < FEWEST_TO_INSPECT.count() {
        return;
    }
    drop_frozen(sensor, stream, problems);
    saturation(sensor, stream, problems);
}

/// Whether there are axes that never change. The code tells later steps not to use the sensor.
pub(super) fn dead_axes(sensor: Sensor, stream: &Stream, problems: &mut Problems) -> bool {
    let Some(&first) = stream.xyz.first().filter(|_| stream.len() >= FEWEST_TO_INSPECT.count()) else { return false };
    let dead: Vec<&str> = ["x", "y", "z"]
        .into_iter()
        .enumerate()
        .filter(|(axis, _)| stream.xyz.iter().all(|v| v[*axis] == first[*axis]))
        .map(|(_, name)| name)
        .collect();
    if dead.is_empty() {
        return false;
    }
    let message = || {
        let word = sensor.word();
        match dead.as_slice() {
            [axis] => format!("axis {axis} of the {word} never changes: it is dead, and the {word} was not used"),
            [a, b] => {
                format!("axes {a} and {b} of the {word} never change: they are dead, and the {word} was not used")
            }
            _ => format!("the {word} never changes: it is dead, or its columns are of something else; it was not used"),
        }
    };
    problems.add(dead_axis_code(sensor), Severity::Warning, None, message, "check the sensor or the logger's settings");
    true
}

/// Whether reading found a dead axis in a sensor.
pub(crate) fn has_dead_axis(log: &ImuLog, sensor: Sensor) -> bool {
    log.problems.iter().any(|p| p.code == dead_axis_code(sensor))
}

/// The problem code of a sensor with a dead axis.
const fn dead_axis_code(sensor: Sensor) -> &'static str {
    match sensor {
        Sensor::Gyro => "imu-gyro-axis-dead",
        Sensor::Accel => "imu-accel-axis-dead",
        Sensor::Mag => "imu-mag-axis-dead",
    }
}

/// Leaves out spans in which the sensor repeats itself: they become gaps.
fn drop_frozen(sensor: Sensor, stream: &mut Stream, problems: &mut Problems) {
    let mut keep = vec![true; stream.len()];
    let (mut count, mut seconds, mut from) = (0_usize, 0.0, 0);
    for i in 1..=stream.len() {
        if i < stream.len() && stream.xyz[i] == stream.xyz[from] {
            continue;
        }
        let length_s = stream.t_s[i - 1] - stream.t_s[from];
        if length_s > FROZEN_S.value {
            count += 1;
            seconds += length_s;
            keep[from + 1..i].fill(false);
        }
        from = i;
    }
    // A sensor that is dead as a whole has been told already.
    if count == 0 || keep.iter().filter(|k| **k).count() < FEWEST_TO_INSPECT.count() {
        return;
    }
    let code = match sensor {
        Sensor::Gyro => "imu-gyro-frozen",
        Sensor::Accel => "imu-accel-frozen",
        Sensor::Mag => "imu-mag-frozen",
    };
    let message =
        || format!("the {} repeated itself for {seconds:.0} s in all ({count} times); left out", sensor.word());
    problems.add(code, Severity::Warning, None, message, "the logger may have lost the sensor");
    let mut kept = keep.iter();
    stream.t_s.retain(|_| *kept.next().unwrap_or(&true));
    let mut kept = keep.iter();
    stream.xyz.retain(|_| *kept.next().unwrap_or(&true));
}

/// Runs at the very largest or smallest value of an axis.
fn saturation(sensor: Sensor, stream: &Stream, problems: &mut Problems) {
    let mut clipped = 0_usize;
    let mut limit = 0.0_f32;
    for axis in 0..3 {
        let (low, high) = stream
            .xyz
            .iter()
            .fold((f32::INFINITY, f32::NEG_INFINITY), |(low, high), v| (low.min(v[axis]), high.max(v[axis])));
        let middle = 0.5 * (low + high);
        for end in [low, high] {
            let count = longest_and_count(stream, axis, end);
            // At the end of the scale means far from the middle of what was seen, too.
            if count >= SATURATED_SAMPLES.count() && (end - middle).abs() > 0.25 * end.abs() {
                clipped += count;
                limit = limit.max(end.abs());
            }
        }
    }
    if clipped == 0 {
        return;
    }
    let (code, shown) = match sensor {
        Sensor::Gyro => ("imu-gyro-saturated", format!("{:.0} °/s", f64::from(limit).to_degrees())),
        Sensor::Accel => ("imu-accel-saturated", format!("{limit:.0} m/s²")),
        Sensor::Mag => ("imu-mag-saturated", format!("{limit:.0} µT")),
    };
    let message = || format!("the {} is at the end of its scale ({shown}) in {clipped} samples", sensor.word());
    problems.add(code, Severity::Warning, None, message, "set a wider range; heading is lost while it is saturated");
}

/// Samples at `end` that stand in runs of at least [`SATURATED_RUN`].
fn longest_and_count(stream: &Stream, axis: usize, end: f32) -> usize {
    let (mut count, mut run) = (0, 0);
    for value in stream.xyz.iter().map(|v| v[axis]).chain([f32::NAN]) {
        if value == end {
            run += 1;
            continue;
        }
        if run >= SATURATED_RUN.count() {
            count += run;
        }
        run = 0;
    }
    count
}
