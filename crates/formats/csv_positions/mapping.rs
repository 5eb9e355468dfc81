//! A small TOML file that tells which column is what, for tables whose names do not.

use super::columns::{Quantity, factor};
use super::header::shortened;
use crate::ReadError;
use chrono::{DateTime, Utc};
use serde::Deserialize;

/// Which column holds what. Columns are named, or numbered from 1.
///
/// ```
/// use driftless_formats::CsvMapping;
/// let mapping = CsvMapping::from_toml(r#"
///     delimiter = ";"
///     decimal_comma = true
///     time = "Zeit"
///     latitude = "Breite"
///     longitude = "Länge"
///     ground_speed = { column = "v", unit = "km/h" }
/// "#)?;
/// # Ok::<(), driftless_formats::ReadError>(())
/// ```
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CsvMapping {
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
    /// RFC 3339, seconds or milliseconds since 1970, or seconds from the start.
    pub time: ColumnChoice,
    /// `YYYY-MM-DD`, when `time` holds only a time of day.
    #[serde(default)]
    pub date: Option<ColumnChoice>,
    /// WGS-84, degrees.
    pub latitude: ColumnChoice,
    /// WGS-84, degrees.
    pub longitude: ColumnChoice,
    /// GNSS altitude; metres unless a unit is given.
    #[serde(default)]
    pub altitude: Option<ColumnChoice>,
    /// Pressure altitude; metres unless a unit is given.
    #[serde(default)]
    pub pressure_altitude: Option<ColumnChoice>,
    /// Speed over ground; m/s unless a unit is given.
    #[serde(default)]
    pub ground_speed: Option<ColumnChoice>,
    /// True course over ground, degrees.
    #[serde(default)]
    pub course: Option<ColumnChoice>,
    /// Climb, up positive; m/s unless a unit is given.
    #[serde(default)]
    pub climb: Option<ColumnChoice>,
    /// True heading, degrees.
    #[serde(default)]
    pub heading_true: Option<ColumnChoice>,
    /// Magnetic heading, degrees.
    #[serde(default)]
    pub heading_magnetic: Option<ColumnChoice>,
    /// True airspeed; m/s unless a unit is given.
    #[serde(default)]
    pub true_airspeed: Option<ColumnChoice>,
    /// Indicated airspeed; m/s unless a unit is given.
    #[serde(default)]
    pub indicated_airspeed: Option<ColumnChoice>,
    /// Engine speed, revolutions per minute.
    #[serde(default)]
    pub engine_rpm: Option<ColumnChoice>,
    /// Horizontal dilution of precision.
    #[serde(default)]
    pub hdop: Option<ColumnChoice>,
    /// Words of marks ("let go", "take over").
    #[serde(default)]
    pub mark: Option<ColumnChoice>,
}

fn yes() -> bool {
    true
}

/// One column: `"name"`, a number from 1, or either with a unit: `{ column = "v", unit = "km/h" }`.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged)]
pub enum ColumnChoice {
    /// By number, from 1.
    Number(usize),
    /// By its name in the header, exactly as written there (any case).
    Name(String),
    /// With a unit.
    WithUnit {
        /// Name or number.
        column: Box<ColumnChoice>,
        /// `m`, `ft`, `m/s`, `km/h`, `kt`, `deg`, `rad`, `s`, `ms`, …
        unit: String,
    },
}

impl ColumnChoice {
    /// The column's index from 0 among `names`, or the words for why not.
    fn index(&self, names: &[String]) -> Result<usize, String> {
        match self {
            Self::Number(0) => Err("columns are numbered from 1, not from 0".to_owned()),
            Self::Number(number) => Ok(number - 1),
            Self::WithUnit { column, .. } => column.index(names),
            Self::Name(wanted) => names
                .iter()
                .position(|name| name.trim().to_lowercase() == wanted.trim().to_lowercase())
                .ok_or_else(|| not_there(wanted, names)),
        }
    }

    fn unit(&self) -> Option<&str> {
        match self {
            Self::WithUnit { unit, .. } => Some(unit),
            _ => None,
        }
    }
}

fn not_there(wanted: &str, names: &[String]) -> String {
    if names.is_empty() {
        return format!("there is no column \"{wanted}\": with header = false columns are numbered from 1");
    }
    format!("there is no column \"{wanted}\"; found: {}", shortened(names).join(", "))
}

impl CsvMapping {
    /// Reads a mapping from TOML text.
    ///
    /// # Errors
    /// [`ReadError::Mapping`] with the place and the words of the TOML reader.
    pub fn from_toml(text: &str) -> Result<Self, ReadError> {
        toml::from_str(text).map_err(|error| ReadError::Mapping { reason: error.to_string().trim_end().to_owned() })
    }

    /// Index, quantity and factor of every chosen column.
    pub(super) fn resolve(&self, names: &[String]) -> Result<Vec<(usize, Quantity, Option<f64>)>, ReadError> {
        use Quantity as Q;
        let optional = [
            (Q::Date, &self.date),
            (Q::GnssAltitude, &self.altitude),
            (Q::PressureAltitude, &self.pressure_altitude),
            (Q::GroundSpeed, &self.ground_speed),
            (Q::Course, &self.course),
            (Q::Climb, &self.climb),
            (Q::HeadingTrue, &self.heading_true),
            (Q::HeadingMagnetic, &self.heading_magnetic),
            (Q::TrueAirspeed, &self.true_airspeed),
            (Q::IndicatedAirspeed, &self.indicated_airspeed),
            (Q::EngineRpm, &self.engine_rpm),
            (Q::Hdop, &self.hdop),
            (Q::Mark, &self.mark),
        ];
        let needed = [(Q::Time, &self.time), (Q::Latitude, &self.latitude), (Q::Longitude, &self.longitude)];
        let chosen = optional.into_iter().filter_map(|(quantity, choice)| Some((quantity, choice.as_ref()?)));
        needed
            .into_iter()
            .chain(chosen)
            .map(|(quantity, choice)| {
                let index = choice.index(names).map_err(|reason| ReadError::Mapping { reason })?;
                // A unit that was left out is SI (of times: told by the size of the numbers).
                let si = (quantity != Q::Time).then_some(1.0);
                let Some(unit) = choice.unit() else { return Ok((index, quantity, si)) };
                match factor(quantity, &unit.trim().to_lowercase()) {
                    Some(factor) => Ok((index, quantity, Some(factor))),
                    None => {
                        Err(ReadError::Mapping { reason: format!("the unit \"{unit}\" does not fit this quantity") })
                    }
                }
            })
            .collect()
    }
}
