//! Units as loggers write them, and what a number in each is in SI.

use driftless_units::GRAVITY_MPS2;
use std::f64::consts::PI;

/// A linear scale: SI value = (number - zero) * factor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// The number at which the SI value is zero.
    pub zero: f64,
    /// SI units for each unit of the scale.
    pub factor: f64,
}

impl Scale {
    /// Of a unit that is SI already.
    pub const SI: Self = Self::times(1.0);

    /// Of a unit with the same zero as SI.
    pub const fn times(factor: f64) -> Self {
        Self { zero: 0.0, factor }
    }

    /// The value in SI (temperatures: °C; magnetic fields: µT; angles: degrees; see [`Dimension`]).
    pub fn si(self, number: f64) -> f64 {
        (number - self.zero) * self.factor
    }
}

/// What a unit is a unit of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dimension {
    /// Seconds.
    Time,
    /// Metres.
    Length,
    /// m/s.
    Speed,
    /// Degrees.
    Angle,
    /// rad/s.
    AngularRate,
    /// m/s².
    Acceleration,
    /// µT.
    MagneticField,
    /// °C.
    Temperature,
    /// Revolutions per minute.
    Revolutions,
    /// A number, word or date: whatever unit the name gives it is none.
    Unitless,
}

impl Dimension {
    /// The scale of a unit, written in lower case; `None` when it is none of this dimension.
    pub fn scale(self, unit: &str) -> Option<Scale> {
        match self {
            Self::Time => time_s(unit).map(Scale::times),
            Self::Length => length_m(unit).map(Scale::times),
            Self::Speed => speed_mps(unit).map(Scale::times),
            Self::Angle => angle_deg(unit).map(Scale::times),
            Self::AngularRate => rate_rad_s(unit).map(Scale::times),
            Self::Acceleration => acceleration_mps2(unit).map(Scale::times),
            Self::MagneticField => field_ut(unit).map(Scale::times),
            Self::Temperature => temperature_c(unit),
            Self::Revolutions => matches!(unit, "rpm" | "1/min" | "min").then_some(Scale::SI),
            Self::Unitless => Some(Scale::SI),
        }
    }
}

/// `utc` and the like name a kind of time stamp; a number there counts seconds.
fn time_s(unit: &str) -> Option<f64> {
    Some(match unit {
        "utc" | "z" | "iso" | "gmt" | "s" | "sec" | "secs" | "seconds" => 1.0,
        "ms" | "msec" | "millis" | "milliseconds" => 1e-3,
        "us" | "µs" | "usec" | "micros" | "microseconds" => 1e-6,
        "ns" | "nsec" | "nanos" | "nanoseconds" => 1e-9,
        "min" | "minutes" => 60.0,
        _ => return None,
    })
}

/// 1 ft = 0.3048 m (international yard and pound agreement, 1959).
fn length_m(unit: &str) -> Option<f64> {
    Some(match unit {
        "m" | "meter" | "meters" | "metre" | "metres" | "msl" => 1.0,
        "km" => 1000.0,
        "ft" | "feet" => 0.3048,
        "cm" => 0.01,
        "mm" => 0.001,
        _ => return None,
    })
}

/// 1 kt = 1852 m/h, 1 mile = 1609.344 m (SI Brochure, 9th edition, table 8; the agreement of 1959).
fn speed_mps(unit: &str) -> Option<f64> {
    Some(match unit {
        "m/s" | "m_s" | "mps" | "ms" | "ms-1" | "m/sec" => 1.0,
        "km/h" | "km_h" | "kmh" | "kph" | "kmph" => 1.0 / 3.6,
        "kt" | "kts" | "kn" | "knot" | "knots" => 1852.0 / 3600.0,
        "mph" => 0.44704,
        "fps" | "ft/s" | "ft_s" => 0.3048,
        "fpm" | "ft/min" | "ft_min" => 0.3048 / 60.0,
        "cm/s" | "cm_s" | "cmps" => 0.01,
        _ => return None,
    })
}

fn angle_deg(unit: &str) -> Option<f64> {
    Some(match unit {
        "deg" | "degrees" | "degree" | "°" | "degt" => 1.0,
        "rad" => 180.0 / PI,
        "e7" | "dege7" => 1e-7,
        _ => return None,
    })
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

fn acceleration_mps2(unit: &str) -> Option<f64> {
    Some(match unit {
        "m/s2" | "m/s^2" | "m/s²" | "m/s/s" | "mps2" | "ms2" | "m_s2" | "ms-2" | "m_s_2" | "m/s^-2" | "m/sec2" => 1.0,
        "g" | "gs" | "gee" => GRAVITY_MPS2,
        "mg" => GRAVITY_MPS2 / 1000.0,
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

/// 0 °C is 273.15 K and 32 °F; a degree Fahrenheit is 5/9 K (SI Brochure, 9th edition, 2.3.1; NIST SP 811, appendix B.8).
fn temperature_c(unit: &str) -> Option<Scale> {
    Some(match unit {
        "c" | "°c" | "ºc" | "degc" | "deg_c" | "deg c" | "celsius" => Scale::SI,
        "f" | "°f" | "ºf" | "degf" | "deg_f" | "deg f" | "fahrenheit" => Scale { zero: 32.0, factor: 5.0 / 9.0 },
        "k" | "kelvin" => Scale { zero: 273.15, factor: 1.0 },
        _ => return None,
    })
}
