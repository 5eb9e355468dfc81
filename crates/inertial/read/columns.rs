//! The columns of an inertial table.

use driftless_formats::table::{ColumnSet, Dimension, MappingKey};

/// A three-axis sensor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum Sensor {
    Gyro,
    Accel,
    Mag,
}

impl Sensor {
    /// The word for it.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Gyro => "gyro",
            Self::Accel => "accelerometer",
            Self::Mag => "magnetometer",
        }
    }
}

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Quantity {
    Time,
    /// Beside times of day.
    Date,
    /// One axis, 0 to 2.
    Axis(Sensor, usize),
    Temperature,
}

/// What measures the temperature that counts: that of the sensor itself, not that of the air.
const WARM_THINGS: &[&str] =
    &["", "imu", "sensor", "gyro", "gyroscope", "accel", "acc", "accelerometer", "chip", "die", "board", "device"];

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

/// Acceleration with gravity taken off, gravity alone, and fields not yet calibrated are of no use: the first two are
/// products of a filter, not of a sensor.
const OF_NO_USE: [&str; 4] = ["linear", "user", "gravity", "uncal"];

impl ColumnSet for Quantity {
    const KEYS: &'static [MappingKey<Self>] = &[
        MappingKey { key: "time", needed: true, quantities: &[Self::Time] },
        MappingKey { key: "date", needed: false, quantities: &[Self::Date] },
        MappingKey { key: "gyro", needed: false, quantities: &axes(Sensor::Gyro) },
        MappingKey { key: "accel", needed: false, quantities: &axes(Sensor::Accel) },
        MappingKey { key: "mag", needed: false, quantities: &axes(Sensor::Mag) },
        MappingKey { key: "temperature", needed: false, quantities: &[Self::Temperature] },
    ];
    const DIMENSIONS: &'static [Dimension] = &[
        Dimension::AngularRate,
        Dimension::Acceleration,
        Dimension::MagneticField,
        Dimension::Time,
        Dimension::Temperature,
    ];

    fn named(letters: &str) -> Option<Self> {
        if OF_NO_USE.iter().any(|word| letters.contains(word)) {
            return None;
        }
        match letters {
            "time" | "t" | "ts" | "timestamp" | "secondselapsed" | "elapsed" | "elapsedtime" | "timeutc" | "utc"
            | "timez" | "utcz" | "epoch" | "datetime" | "unixtime" | "loggingtime" | "timesincestart"
            | "timesincestartin" | "sensortime" | "utctime" | "systemtime" => return Some(Self::Time),
            "date" | "utcdate" | "dateutc" => return Some(Self::Date),
            _ => {}
        }
        let thing = letters.strip_suffix("temperature").or_else(|| letters.strip_suffix("temp"));
        let thing = thing.or_else(|| letters.strip_prefix("temperature"));
        if thing.is_some_and(|thing| WARM_THINGS.contains(&thing)) {
            return Some(Self::Temperature);
        }
        for &(word, sensor) in SENSOR_WORDS {
            let axis = letters.strip_prefix(word).or_else(|| letters.strip_suffix(word)).and_then(axis);
            if let Some(axis) = axis {
                return Some(Self::Axis(sensor, axis));
            }
        }
        let mut chars = letters.chars();
        let (Some(first), Some(second), None) = (chars.next(), chars.next(), chars.next()) else { return None };
        let sensor = SHORT.iter().find(|(c, _)| *c == first)?.1;
        Some(Self::Axis(sensor, axis(second.encode_utf8(&mut [0; 4]))?))
    }

    fn dimension(self) -> Dimension {
        match self {
            Self::Time => Dimension::Time,
            Self::Date => Dimension::Unitless,
            Self::Axis(Sensor::Gyro, _) => Dimension::AngularRate,
            Self::Axis(Sensor::Accel, _) => Dimension::Acceleration,
            Self::Axis(Sensor::Mag, _) => Dimension::MagneticField,
            Self::Temperature => Dimension::Temperature,
        }
    }
}

const fn axes(sensor: Sensor) -> [Quantity; 3] {
    [Quantity::Axis(sensor, 0), Quantity::Axis(sensor, 1), Quantity::Axis(sensor, 2)]
}

fn axis(word: &str) -> Option<usize> {
    Some(match word {
        "x" | "xaxis" | "0" => 0,
        "y" | "yaxis" | "1" => 1,
        "z" | "zaxis" | "2" => 2,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use Quantity as Q;
    use Sensor as S;
    use driftless_formats::table::Scale;

    #[test]
    fn names_of_loggers_are_recognised() {
        let deg = std::f64::consts::PI / 180.0;
        let g = driftless_units::GRAVITY_MPS2;
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
            ("gyro_z", Q::Axis(S::Gyro, 2), None),
            ("ay_mps2", Q::Axis(S::Accel, 1), Some(1.0)),
            ("Accelerometer Z (g)", Q::Axis(S::Accel, 2), Some(g)),
            ("Acceleration x (m/s^2)", Q::Axis(S::Accel, 0), Some(1.0)),
            ("accel_x_m_s2", Q::Axis(S::Accel, 0), Some(1.0)),
            ("gFx", Q::Axis(S::Accel, 0), None),
            ("Magnetometer X (uT)", Q::Axis(S::Mag, 0), Some(1.0)),
            ("Magnetic field z (µT)", Q::Axis(S::Mag, 2), Some(1.0)),
            ("mag_y_G", Q::Axis(S::Mag, 1), Some(100.0)),
            ("temperature", Q::Temperature, None),
        ] {
            let found = Q::recognise(name).map(|(quantity, scale)| (quantity, scale.map(|s| s.factor)));
            assert_eq!(found, Some((quantity, factor)), "{name}");
        }
    }

    /// 0 °C and 100 °C on each scale: SI Brochure, 9th edition, 2.3.1, and NIST SP 811, appendix B.8.
    #[test]
    fn published_scales_of_temperature() {
        for (name, freezing, boiling) in
            [("temperature_c", 0.0, 100.0), ("Gyro Temp (°F)", 32.0, 212.0), ("imu_temp_K", 273.15, 373.15)]
        {
            let Some((Q::Temperature, Some(scale))) = Q::recognise(name) else { panic!("{name}") };
            assert!(scale.si(freezing).abs() < 1e-12 && (scale.si(boiling) - 100.0).abs() < 1e-9, "{name}");
        }
        assert_eq!(Q::recognise("temperature_c"), Some((Q::Temperature, Some(Scale::SI))));
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
            assert_eq!(Q::recognise(name), None, "{name}");
        }
    }
}
