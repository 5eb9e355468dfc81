//! Units of display, chosen with `--units`.

use super::{NOT_KNOWN, Zone, fixed, plus_minus, significant};
use driftless_units::Estimate;
use std::fmt;
use std::str::FromStr;

/// Metres in an international foot (exact, by the agreement of 1959).
const FOOT_M: f64 = 0.3048;
/// Metres in a nautical mile (exact, First International Extraordinary Hydrographic Conference, 1929).
const NAUTICAL_MILE_M: f64 = 1852.0;

/// Unit of speeds: airspeed, ground speed, wind and climb.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SpeedUnit {
    /// m/s.
    #[default]
    MetresPerSecond,
    /// km/h.
    KilometresPerHour,
    /// Knots.
    Knots,
}

/// Unit of altitudes, heights and turn radii.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum HeightUnit {
    /// m.
    #[default]
    Metres,
    /// ft.
    Feet,
}

/// Unit of turn rates.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum TurnUnit {
    /// °/s.
    #[default]
    DegreesPerSecond,
    /// °/min.
    DegreesPerMinute,
    /// Seconds for a quarter turn, as a stopwatch gives it. Axes of charts then stay in °/s, because "no turn at all"
    /// has no place on a scale of seconds.
    SecondsPer90,
}

/// How a report is shown: units, time zone, places.
///
/// Parsed from names separated by commas, later ones win; `si`, `kmh` and `kt` are whole sets:
///
/// ```
/// use driftless_display::{DisplayUnits, HeightUnit, SpeedUnit, TurnUnit};
/// let units: DisplayUnits = "kt,m,°/min".parse().unwrap();
/// assert_eq!(units.speed, SpeedUnit::Knots);
/// assert_eq!(units.height, HeightUnit::Metres);
/// assert_eq!(units.turn, TurnUnit::DegreesPerMinute);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct DisplayUnits {
    /// Unit of speeds.
    pub speed: SpeedUnit,
    /// Unit of altitudes and radii.
    pub height: HeightUnit,
    /// Unit of turn rates.
    pub turn: TurnUnit,
    /// Zone of times.
    pub zone: Zone,
    /// How much is told of places.
    pub places: Places,
}

/// How much a report tells of where it was flown: pages are passed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Places {
    /// To a hundredth of a degree, about a kilometre.
    #[default]
    Rounded,
    /// As the log has them.
    Exact,
    /// Nothing.
    LeftOut,
}

/// A unit that is not known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnitsError {
    /// The word that was not understood.
    pub unknown: String,
}

impl fmt::Display for UnitsError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "unknown unit \"{}\": use si, kmh or kt, or a list such as km/h,m,deg/s (speeds m/s, km/h, kt; heights \
             m, ft; turn rates deg/s, deg/min, s/90)",
            self.unknown
        )
    }
}

impl std::error::Error for UnitsError {}

impl FromStr for DisplayUnits {
    type Err = UnitsError;

    fn from_str(text: &str) -> Result<Self, UnitsError> {
        let mut units = Self::default();
        for (place, word) in text.split(',').enumerate() {
            let plain: String =
                word.to_lowercase().replace("deg", "°").replace("per", "/").split_whitespace().collect();
            match plain.as_str() {
                "si" => units = Self::default(),
                "kt" => {
                    units.speed = SpeedUnit::Knots;
                    // Standing first it names the whole set, and knots go with feet; further on it is only a speed.
                    if place == 0 {
                        units.height = HeightUnit::Feet;
                    }
                }
                "kmh" | "km/h" => units.speed = SpeedUnit::KilometresPerHour,
                "m/s" => units.speed = SpeedUnit::MetresPerSecond,
                "m" => units.height = HeightUnit::Metres,
                "ft" => units.height = HeightUnit::Feet,
                "°/s" => units.turn = TurnUnit::DegreesPerSecond,
                "°/min" => units.turn = TurnUnit::DegreesPerMinute,
                "s/90" | "s/90°" => units.turn = TurnUnit::SecondsPer90,
                _ => return Err(UnitsError { unknown: word.trim().to_owned() }),
            }
        }
        Ok(units)
    }
}

impl SpeedUnit {
    /// How many of this unit make 1 m/s.
    pub const fn per_mps(self) -> f64 {
        match self {
            Self::MetresPerSecond => 1.0,
            Self::KilometresPerHour => 3.6,
            Self::Knots => 3600.0 / NAUTICAL_MILE_M,
        }
    }
    /// Its sign.
    pub const fn sign(self) -> &'static str {
        match self {
            Self::MetresPerSecond => "m/s",
            Self::KilometresPerHour => "km/h",
            Self::Knots => "kt",
        }
    }
}

impl HeightUnit {
    /// How many of this unit make 1 m.
    pub const fn per_m(self) -> f64 {
        match self {
            Self::Metres => 1.0,
            Self::Feet => 1.0 / FOOT_M,
        }
    }
    /// Its sign.
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Metres => "m",
            Self::Feet => "ft",
        }
    }
    /// The unit for long ways over the ground that goes with it: metres in one, and its sign.
    pub const fn long(self) -> (f64, &'static str) {
        match self {
            Self::Metres => (1000.0, "km"),
            Self::Feet => (NAUTICAL_MILE_M, "NM"),
        }
    }
}

impl TurnUnit {
    /// How many of this unit make 1 °/s; seconds per 90° are shown as °/s wherever a scale is needed.
    pub const fn per_deg_s(self) -> f64 {
        match self {
            Self::DegreesPerSecond | Self::SecondsPer90 => 1.0,
            Self::DegreesPerMinute => 60.0,
        }
    }
    /// The sign of the unit on axes.
    pub const fn sign(self) -> &'static str {
        match self {
            Self::DegreesPerSecond | Self::SecondsPer90 => "°/s",
            Self::DegreesPerMinute => "°/min",
        }
    }
}

impl DisplayUnits {
    /// "12.3 m/s": a speed without uncertainty.
    pub fn speed(&self, mps: f64) -> String {
        with_unit(fixed(mps * self.speed.per_mps(), 1), self.speed.sign())
    }
    /// "10.4 ± 0.2 m/s": a speed with the half-width of its 95 % interval.
    pub fn speed_estimate(&self, mps: &Estimate<f64>) -> String {
        with_unit(self.speed_number(mps), self.speed.sign())
    }
    /// The same without the unit, for tables that carry it in the head.
    pub(crate) fn speed_number(&self, mps: &Estimate<f64>) -> String {
        let interval = mps.interval(0.95);
        let factor = self.speed.per_mps();
        plus_minus(mps.value * factor, 0.5 * (interval.high - interval.low) * factor, 1)
    }
    /// "512 m": an altitude, height or radius.
    pub fn height(&self, m: f64) -> String {
        with_unit(self.height_number(m), self.height.sign())
    }
    /// The same without the unit.
    pub fn height_number(&self, m: f64) -> String {
        fixed(m * self.height.per_m(), 0)
    }
    /// "850 m" or "2.4 km": a way over the ground.
    pub fn distance(&self, m: f64) -> String {
        let (long_m, long_sign) = self.height.long();
        if m.abs() < long_m { self.height(m) } else { with_unit(significant(m / long_m, 2), long_sign) }
    }
}

/// A number and its unit, joined by a blank that does not break over lines; no unit behind a missing number.
fn with_unit(number: String, sign: &str) -> String {
    if number == NOT_KNOWN { number } else { format!("{number}\u{a0}{sign}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sets_and_lists_are_understood() {
        let si = DisplayUnits::default();
        assert_eq!("si".parse(), Ok(si));
        assert_eq!("m/s,m,°/s".parse(), Ok(si));
        assert_eq!("KMH".parse(), Ok(DisplayUnits { speed: SpeedUnit::KilometresPerHour, ..si }));
        let kt: DisplayUnits = "kt".parse().unwrap();
        assert_eq!((kt.speed, kt.height), (SpeedUnit::Knots, HeightUnit::Feet));
        let mixed: DisplayUnits = "m, kt, s per 90°".parse().unwrap();
        assert_eq!(
            (mixed.speed, mixed.height, mixed.turn),
            (SpeedUnit::Knots, HeightUnit::Metres, TurnUnit::SecondsPer90)
        );
        assert_eq!("deg/min".parse::<DisplayUnits>().unwrap().turn, TurnUnit::DegreesPerMinute);
    }

    #[test]
    fn an_unknown_unit_is_named() {
        let error = "m/s,furlong".parse::<DisplayUnits>().unwrap_err();
        assert!(error.to_string().contains("\"furlong\""));
        assert!("".parse::<DisplayUnits>().is_err());
    }

    /// 10 m/s is 36 km/h exactly; in knots 10·3600/1852 = 19.438; 100 m = 328.08 ft.
    #[test]
    fn derived_conversions() {
        assert_eq!("kmh".parse::<DisplayUnits>().unwrap().speed(10.0), "36.0\u{a0}km/h");
        let kt: DisplayUnits = "kt".parse().unwrap();
        assert_eq!(kt.speed(10.0), "19.4\u{a0}kt");
        assert_eq!(kt.height(100.0), "328\u{a0}ft");
        assert_eq!(kt.distance(1852.0 * 3.0), "3.0\u{a0}NM");
        assert_eq!(DisplayUnits::default().distance(999.0), "999\u{a0}m");
    }

    /// Half-width 1.96 · 0.1 m/s = 0.196 m/s, two digits because it begins below 3.55.
    #[test]
    fn derived_estimate_with_interval() {
        let units = DisplayUnits::default();
        assert_eq!(units.speed_estimate(&Estimate::new(10.437, 0.1)), "10.44\u{a0}±\u{a0}0.20\u{a0}m/s");
        assert_eq!(
            units.speed_estimate(&Estimate::with_dof(10.437, 0.1, f64::NAN)),
            "10.4\u{a0}±\u{a0}not known\u{a0}m/s"
        );
        assert_eq!(units.speed(f64::NAN), "not known");
    }
}
