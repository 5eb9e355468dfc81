//! A small TOML file that tells which column of an inertial table is what.

use super::ImuError;
use super::columns::{Quantity, Sensor, TemperatureScale, factor, temperature_scale};
use chrono::{DateTime, Utc};
use serde::Deserialize;

/// Which columns hold what. Columns are named, or numbered from 1.
///
/// ```
/// use driftless_inertial::ImuMapping;
/// let mapping = ImuMapping::from_toml(r#"
///     time = { column = "Zeit", unit = "ms" }
///     gyro = { columns = ["Drehung x", "Drehung y", "Drehung z"], unit = "deg/s" }
///     accel = { columns = [5, 6, 7], unit = "g" }
/// "#)?;
/// # Ok::<(), driftless_inertial::ImuError>(())
/// ```
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ImuMapping {
    /// Character between fields; found by itself when not given.
    #[serde(default)]
    pub delimiter: Option<char>,
    /// Whether numbers are written with a comma.
    #[serde(default)]
    pub decimal_comma: bool,
    /// Whether the first row names the columns; without one, number them.
    #[serde(default = "yes")]
    pub header: bool,
    /// Moment of second 0, for times that count from a start (RFC 3339 text).
    #[serde(default)]
    pub start_utc: Option<DateTime<Utc>>,
    /// RFC 3339, or a number in s, ms, µs or ns.
    pub time: TimeChoice,
    /// Angular rates; rad/s unless a unit is given.
    #[serde(default)]
    pub gyro: Option<AxesChoice>,
    /// Specific force with gravity in it; m/s² unless a unit is given.
    #[serde(default)]
    pub accel: Option<AxesChoice>,
    /// Magnetic field; µT unless a unit is given.
    #[serde(default)]
    pub mag: Option<AxesChoice>,
    /// Temperature of the sensor; °C unless a unit is given.
    #[serde(default)]
    pub temperature: Option<TemperatureChoice>,
}

fn yes() -> bool {
    true
}

/// A column by name or by number from 1.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged)]
pub enum ColumnRef {
    /// By number, from 1.
    Number(usize),
    /// By its name in the header (any case).
    Name(String),
}

/// The time column.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged)]
pub enum TimeChoice {
    /// The unit is told by the step between rows.
    Plain(ColumnRef),
    /// With a unit.
    WithUnit {
        /// Name or number.
        column: ColumnRef,
        /// `s`, `ms`, `us` or `ns`.
        unit: String,
    },
}

/// The temperature column.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged)]
pub enum TemperatureChoice {
    /// In °C.
    Plain(ColumnRef),
    /// With a unit.
    WithUnit {
        /// Name or number.
        column: ColumnRef,
        /// `C`, `F` or `K`.
        unit: String,
    },
}

/// The three columns of a sensor.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AxesChoice {
    /// x, y and z.
    pub columns: [ColumnRef; 3],
    /// `rad/s`, `deg/s`; `m/s2`, `g`; `uT`, `G`. SI (µT) when not given.
    #[serde(default)]
    pub unit: Option<String>,
}

/// Index, quantity and factor of a column.
pub(super) type Resolved = (usize, Quantity, Option<f64>);

impl ColumnRef {
    fn index(&self, names: &[String]) -> Result<usize, ImuError> {
        let wrong = |reason| Err(ImuError::Mapping { reason });
        match self {
            Self::Number(0) => wrong("columns are numbered from 1, not from 0".to_owned()),
            Self::Number(number) => Ok(number - 1),
            Self::Name(wanted) => {
                let same = |name: &String| name.trim().to_lowercase() == wanted.trim().to_lowercase();
                match names.iter().position(same) {
                    Some(index) => Ok(index),
                    None => wrong(format!("there is no column \"{wanted}\"; found: {}", names.join(", "))),
                }
            }
        }
    }
}

impl ImuMapping {
    /// Reads a mapping from TOML text.
    ///
    /// # Errors
    /// [`ImuError::Mapping`] with the place and the words of the TOML reader.
    pub fn from_toml(text: &str) -> Result<Self, ImuError> {
        toml::from_str(text).map_err(|error| ImuError::Mapping { reason: error.to_string().trim_end().to_owned() })
    }

    pub(super) fn resolve(&self, names: &[String]) -> Result<Vec<Resolved>, ImuError> {
        let (time, unit) = match &self.time {
            TimeChoice::Plain(column) => (column, None),
            TimeChoice::WithUnit { column, unit } => (column, Some(unit.as_str())),
        };
        let mut resolved = vec![(time.index(names)?, Quantity::Time, known(Quantity::Time, unit)?)];
        for (sensor, choice) in [(Sensor::Gyro, &self.gyro), (Sensor::Accel, &self.accel), (Sensor::Mag, &self.mag)] {
            let Some(choice) = choice else { continue };
            for (axis, column) in choice.columns.iter().enumerate() {
                let quantity = Quantity::Axis(sensor, axis);
                let factor = known(quantity, choice.unit.as_deref())?.unwrap_or(1.0);
                resolved.push((column.index(names)?, quantity, Some(factor)));
            }
        }
        if let Some(choice) = &self.temperature {
            let (column, scale) = match choice {
                TemperatureChoice::Plain(column) => (column, TemperatureScale::Celsius),
                TemperatureChoice::WithUnit { column, unit } => {
                    (column, temperature_scale(&plain(unit)).ok_or_else(|| unfit(unit))?)
                }
            };
            resolved.push((column.index(names)?, Quantity::Temperature(Some(scale)), Some(1.0)));
        }
        Ok(resolved)
    }
}

fn known(quantity: Quantity, unit: Option<&str>) -> Result<Option<f64>, ImuError> {
    let Some(unit) = unit else { return Ok(None) };
    factor(quantity, &plain(unit)).map(Some).ok_or_else(|| unfit(unit))
}

fn plain(unit: &str) -> String {
    unit.trim().to_lowercase().replace('μ', "µ")
}

fn unfit(unit: &str) -> ImuError {
    ImuError::Mapping { reason: format!("the unit \"{unit}\" does not fit this quantity") }
}
