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
    /// On a scale, if the name tells one.
    Temperature(Option<TemperatureScale>),
}

impl Quantity {
    /// Whether both are the same thing, whatever the scale.
    pub(crate) fn is_like(self, other: Self) -> bool {
        self == other || matches!((self, other), (Self::Temperature(_), Self::Temperature(_)))
    }
}

/// A scale of temperature.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum TemperatureScale {
    Celsius,
    Fahrenheit,
    Kelvin,
}

impl TemperatureScale {
    /// °C of a value on this scale (0 °C is 273.15 K and 32 °F; a degree Fahrenheit is 5/9 K: SI Brochure, 9th edition,
    /// 2.3.1, and NIST SP 811, appendix B.8).
    pub(crate) fn celsius(self, value: f64) -> f64 {
        match self {
            Self::Celsius => value,
            Self::Fahrenheit => (value - 32.0) / 1.8,
            Self::Kelvin => value - 273.15,
        }
    }
}

/// What measures the temperature that counts: that of the sensor itself, not that of the air.
const WARM_THINGS: &[&str] =
    &["", "imu", "sensor", "gyro", "gyroscope", "accel", "acc", "accelerometer", "chip", "die", "board", "device"];

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
        Some(unit) if matches!(quantity, Quantity::Temperature(_)) => {
            Some((Quantity::Temperature(Some(temperature_scale(&unit)?)), Some(1.0)))
        }
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
        || temperature_scale(unit).is_some()
}

fn quantity(letters: &str) -> Option<Quantity> {
    match letters {
        "time" | "t" | "ts" | "timestamp" | "secondselapsed" | "elapsed" | "elapsedtime" | "timeutc" | "utc"
        | "epoch" | "datetime" | "unixtime" | "loggingtime" | "timesincestart" | "timesincestartin" | "sensortime"
        | "utctime" | "systemtime" => {
            return Some(Quantity::Time);
        }
        _ => {}
    }
    let thing = letters.strip_suffix("temperature").or_else(|| letters.strip_suffix("temp"));
    let thing = thing.or_else(|| letters.strip_prefix("temperature"));
    if thing.is_some_and(|thing| WARM_THINGS.contains(&thing)) {
        return Some(Quantity::Temperature(None));
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
        Quantity::Temperature(_) => temperature_scale(unit).map(|_| 1.0),
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

pub(super) fn temperature_scale(unit: &str) -> Option<TemperatureScale> {
    Some(match unit {
        "c" | "°c" | "ºc" | "degc" | "deg_c" | "deg c" | "celsius" => TemperatureScale::Celsius,
        "f" | "°f" | "ºf" | "degf" | "deg_f" | "deg f" | "fahrenheit" => TemperatureScale::Fahrenheit,
        "k" | "kelvin" => TemperatureScale::Kelvin,
        _ => return None,
    })
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
            ("temperature_c", Q::Temperature(Some(TemperatureScale::Celsius)), Some(1.0)),
            ("Gyro Temp (°F)", Q::Temperature(Some(TemperatureScale::Fahrenheit)), Some(1.0)),
            ("imu_temp_K", Q::Temperature(Some(TemperatureScale::Kelvin)), Some(1.0)),
            ("temperature", Q::Temperature(None), None),
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
            "air_temperature_c",
            "temperature_m",
            "gyro_x_furlongs (mi)",
            "Absolute (rad/s)",
            "",
        ] {
            assert_eq!(recognise(name), None, "{name}");
        }
    }
}
