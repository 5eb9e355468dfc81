//! What a column of an inertial table is, told by its name: sensor, axis and unit.

use std::f64::consts::PI;

/// A three-axis sensor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum Sensor {
    Gyro,
    Accel,
    Mag,
}

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Quantity {
    /// Seconds after the factor; a stamp needs none.
    Time,
    /// One axis, 0 to 2.
    Axis(Sensor, usize),
    /// °C.
    Temperature,
}

/// What `value * factor` is in SI (µT for the magnetometer); `None` when the name tells no unit.
pub(crate) type Factor = Option<f64>;

/// Standard gravity, m/s² (CGPM 1901).
const G: f64 = driftless_units::GRAVITY_MPS2;

/// Words by which a sensor is called, longest first. The rest of the name must be an axis.
const SENSOR_WORDS: &[(&str, Sensor)] = &[
    ("motionrotationrate", Sensor::Gyro),
    ("angularvelocity", Sensor::Gyro),
    ("angularrate", Sensor::Gyro),
    ("rotationrate", Sensor::Gyro),
    ("gyrorotation", Sensor::Gyro),
    ("gyroscope", Sensor::Gyro),
    ("omega", Sensor::Gyro),
    ("gyro", Sensor::Gyro),
    ("gyr", Sensor::Gyro),
    ("accelerometeracceleration", Sensor::Accel),
    ("accelerometer", Sensor::Accel),
    ("acceleration", Sensor::Accel),
    ("specificforce", Sensor::Accel),
    ("accel", Sensor::Accel),
    ("acc", Sensor::Accel),
    ("gforce", Sensor::Accel),
    ("gf", Sensor::Accel),
    ("magneticfield", Sensor::Mag),
    ("magnetometer", Sensor::Mag),
    ("magnetic", Sensor::Mag),
    ("mag", Sensor::Mag),
];

/// One letter and an axis: short names of loggers.
const SHORT: &[(char, Sensor)] = &[
    ('g', Sensor::Gyro),
    ('w', Sensor::Gyro),
    ('a', Sensor::Accel),
    ('f', Sensor::Accel),
    ('m', Sensor::Mag),
    ('b', Sensor::Mag),
];

/// The quantity and factor of a column; `None` for one that is of no use here (linear acceleration, attitude, …).
pub(crate) fn recognise(name: &str) -> Option<(Quantity, Factor)> {
    let lower = name.trim().trim_matches('"').trim().to_lowercase().replace('μ', "µ");
    // Acceleration with gravity taken off, and gravity alone, are products of a filter, not of a sensor.
    if lower.contains("linear") || lower.contains("user") || lower.contains("gravity") || lower.contains("uncal") {
        return None;
    }
    let (words, unit) = split_unit(&lower);
    let letters: String = words.chars().filter(char::is_ascii_alphanumeric).collect();
    let quantity = quantity(&letters)?;
    match unit {
        None => Some((quantity, None)),
        Some(unit) => Some((quantity, Some(factor(quantity, &unit)?))),
    }
}

/// `Gyroscope X (deg/s)`, `gx_rps`, `accel_x_m_s2`: the unit stands in brackets, or is what follows the last axis or
/// word if it is a unit.
fn split_unit(lower: &str) -> (String, Option<String>) {
    if let Some((words, unit)) = lower.split_once(['(', '[']) {
        let unit = unit.trim_end_matches([')', ']', ' ']).trim();
        // `loggingTime(txt)` and the like name a kind, not a unit.
        return (words.to_owned(), (!unit.is_empty() && unit != "txt").then(|| unit.to_owned()));
    }
    let parts: Vec<&str> = lower.split(['_', ' ', '-', '.']).filter(|p| !p.is_empty()).collect();
    for at in 1..parts.len() {
        let unit = parts[at..].join("_");
        if is_unit(&unit) {
            return (parts[..at].concat(), Some(unit));
        }
    }
    (lower.to_owned(), None)
}

fn is_unit(unit: &str) -> bool {
    rate_rad_s(unit).is_some()
        || accel_mps2(unit).is_some()
        || field_ut(unit).is_some()
        || time_s(unit).is_some()
        || celsius(unit).is_some()
}

fn quantity(letters: &str) -> Option<Quantity> {
    match letters {
        "time" | "t" | "ts" | "timestamp" | "secondselapsed" | "elapsed" | "elapsedtime" | "timeutc" | "utc"
        | "epoch" | "datetime" | "unixtime" | "loggingtime" | "timesincestart" | "timesincestartin" | "sensortime"
        | "utctime" | "systemtime" => {
            return Some(Quantity::Time);
        }
        "temperature" | "temp" | "imutemperature" | "imutemp" | "sensortemperature" | "gyrotemperature" => {
            return Some(Quantity::Temperature);
        }
        _ => {}
    }
    for &(word, sensor) in SENSOR_WORDS {
        let axis = letters.strip_prefix(word).or_else(|| letters.strip_suffix(word)).and_then(axis);
        if let Some(axis) = axis {
            return Some(Quantity::Axis(sensor, axis));
        }
    }
    let mut chars = letters.chars();
    let (Some(first), Some(second), None) = (chars.next(), chars.next(), chars.next()) else { return None };
    let sensor = SHORT.iter().find(|(c, _)| *c == first)?.1;
    Some(Quantity::Axis(sensor, axis(second.encode_utf8(&mut [0; 4]))?))
}

fn axis(word: &str) -> Option<usize> {
    Some(match word {
        "x" | "xaxis" | "0" => 0,
        "y" | "yaxis" | "1" => 1,
        "z" | "zaxis" | "2" => 2,
        _ => return None,
    })
}

/// The factor of a unit for a quantity; `None` when it does not fit.
pub(crate) fn factor(quantity: Quantity, unit: &str) -> Option<f64> {
    match quantity {
        Quantity::Time => time_s(unit),
        Quantity::Axis(Sensor::Gyro, _) => rate_rad_s(unit),
        Quantity::Axis(Sensor::Accel, _) => accel_mps2(unit),
        Quantity::Axis(Sensor::Mag, _) => field_ut(unit),
        Quantity::Temperature => celsius(unit),
    }
}

fn rate_rad_s(unit: &str) -> Option<f64> {
    Some(match unit {
        "rad/s" | "rad_s" | "rps" | "radps" | "rad_per_s" | "rad/sec" | "rads" | "rad_s-1" | "rad_s1" => 1.0,
        "mrad/s" | "mrad_s" => 1e-3,
        "deg/s" | "deg_s" | "dps" | "degps" | "deg_per_s" | "°/s" | "deg/sec" | "degs" | "degrees/s" => PI / 180.0,
        "mdps" | "mdeg/s" => PI / 180_000.0,
        _ => return None,
    })
}

fn accel_mps2(unit: &str) -> Option<f64> {
    Some(match unit {
        "m/s2" | "m/s^2" | "m/s²" | "m/s/s" | "mps2" | "ms2" | "m_s2" | "ms-2" | "m_s_2" | "m/s^-2" | "m/sec2" => 1.0,
        "g" | "gs" | "gee" => G,
        "mg" => G / 1000.0,
        _ => return None,
    })
}

fn field_ut(unit: &str) -> Option<f64> {
    Some(match unit {
        "ut" | "µt" | "microtesla" | "utesla" => 1.0,
        "nt" => 1e-3,
        "mt" => 1e3,
        "t" | "tesla" => 1e6,
        // 1 G = 100 µT.
        "g" | "gauss" | "ga" => 100.0,
        "mg" | "mgauss" | "mga" => 0.1,
        _ => return None,
    })
}

fn celsius(unit: &str) -> Option<f64> {
    matches!(unit, "c" | "°c" | "degc" | "celsius").then_some(1.0)
}

fn time_s(unit: &str) -> Option<f64> {
    Some(match unit {
        "s" | "sec" | "secs" | "seconds" | "utc" => 1.0,
        "ms" | "msec" | "millis" | "milliseconds" => 1e-3,
        "us" | "µs" | "usec" | "micros" | "microseconds" => 1e-6,
        "ns" | "nsec" | "nanos" | "nanoseconds" => 1e-9,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use Quantity as Q;
    use Sensor as S;

    #[test]
    fn names_of_loggers_are_recognised() {
        let deg = PI / 180.0;
        for (name, quantity, factor) in [
            ("t_s", Q::Time, Some(1.0)),
            ("Time (s)", Q::Time, Some(1.0)),
            ("seconds_elapsed", Q::Time, None),
            ("timestamp_ns", Q::Time, Some(1e-9)),
            ("time_utc", Q::Time, Some(1.0)),
            ("Time since start in ms", Q::Time, Some(1e-3)),
            ("gx_rps", Q::Axis(S::Gyro, 0), Some(1.0)),
            ("gyro_z_deg_s", Q::Axis(S::Gyro, 2), Some(deg)),
            ("Gyroscope Y (deg/s)", Q::Axis(S::Gyro, 1), Some(deg)),
            ("GYROSCOPE X (rad/s)", Q::Axis(S::Gyro, 0), Some(1.0)),
            ("wz", Q::Axis(S::Gyro, 2), None),
            ("ay_mps2", Q::Axis(S::Accel, 1), Some(1.0)),
            ("Accelerometer Z (g)", Q::Axis(S::Accel, 2), Some(G)),
            ("Acceleration x (m/s^2)", Q::Axis(S::Accel, 0), Some(1.0)),
            ("accel_x_m_s2", Q::Axis(S::Accel, 0), Some(1.0)),
            ("gFx", Q::Axis(S::Accel, 0), None),
            ("Magnetometer X (uT)", Q::Axis(S::Mag, 0), Some(1.0)),
            ("Magnetic field z (µT)", Q::Axis(S::Mag, 2), Some(1.0)),
            ("mag_y_G", Q::Axis(S::Mag, 1), Some(100.0)),
            ("temperature_c", Q::Temperature, Some(1.0)),
        ] {
            assert_eq!(recognise(name), Some((quantity, factor)), "{name}");
        }
    }

    #[test]
    fn what_is_no_sensor_is_left_alone() {
        for name in [
            "roll_deg",
            "yaw_deg",
            "LINEAR ACCELERATION X (m/s²)",
            "gravity_x",
            "lat_deg",
            "x",
            "gyro_x_furlongs (mi)",
            "Absolute (rad/s)",
            "",
        ] {
            assert_eq!(recognise(name), None, "{name}");
        }
    }
}
