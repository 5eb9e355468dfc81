//! A small TOML file that tells which column is what, for tables whose names do not.

use super::columns::{Column, ColumnSet, MappingKey};
use super::layout::shortened;
use super::name::plain;
use super::units::{Dimension, Scale};
use chrono::{DateTime, Utc};
use serde::Deserialize;
use serde::de::{DeserializeSeed, Deserializer, Error as _, MapAccess, Visitor};
use std::fmt;
use std::marker::PhantomData;

/// Which column holds what.
#[derive(Debug, Clone, PartialEq)]
pub struct Mapping<Q> {
    pub(super) delimiter: Option<char>,
    pub(super) decimal_comma: bool,
    /// Whether the first row names the columns.
    pub(super) header: bool,
    /// Moment of second 0, for times that count from a start.
    pub start_utc: Option<DateTime<Utc>>,
    columns: Vec<(Q, ColumnRef, Option<String>)>,
}

/// Why a mapping is none, or does not fit its table.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("column mapping: {reason}")]
pub struct MappingError {
    /// What is wrong, with the values.
    pub reason: String,
}

impl<Q: ColumnSet> Mapping<Q> {
    /// Reads a mapping from TOML text.
    ///
    /// # Errors
    /// With the place and the words of the TOML reader.
    pub fn from_toml(text: &str) -> Result<Self, MappingError> {
        let wrong = |error: toml::de::Error| MappingError { reason: error.to_string().trim_end().to_owned() };
        let file = toml::Deserializer::parse(text).map_err(wrong)?;
        file.deserialize_map(File(PhantomData)).map_err(wrong)
    }

    /// The columns, found among the cells of the first row.
    pub(super) fn resolve(&self, names: &[String]) -> Result<Vec<Column<Q>>, MappingError> {
        let wrong = |reason| MappingError { reason };
        self.columns
            .iter()
            .map(|(quantity, column, unit)| {
                let scale = match unit {
                    Some(unit) => Some(
                        quantity
                            .dimension()
                            .scale(&plain(unit))
                            .ok_or_else(|| wrong(format!("the unit \"{unit}\" does not fit this quantity")))?,
                    ),
                    // A unit that was left out is SI (of times: told by the step between rows, or the size).
                    None => (quantity.dimension() != Dimension::Time).then_some(Scale::SI),
                };
                let index = column.index(names, self.header).map_err(wrong)?;
                Ok(Column { index, quantity: *quantity, scale })
            })
            .collect()
    }
}

/// A column by name (any case) or by number from 1.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged)]
enum ColumnRef {
    Number(usize),
    Name(String),
}

impl ColumnRef {
    /// The index from 0, or the words for why there is none.
    fn index(&self, names: &[String], header: bool) -> Result<usize, String> {
        match self {
            Self::Number(0) => Err("columns are numbered from 1, not from 0".to_owned()),
            Self::Number(number) if *number > names.len() => {
                let row = if header { "the header names" } else { "the first row has" };
                let found = shortened(names).join(", ");
                Err(format!("there is no column {number}; {row} {} columns: {found}", names.len()))
            }
            Self::Number(number) => Ok(number - 1),
            Self::Name(wanted) if !header => {
                Err(format!("there is no column \"{wanted}\": with header = false columns are numbered from 1"))
            }
            Self::Name(wanted) => names
                .iter()
                .position(|name| plain(name) == plain(wanted))
                .ok_or_else(|| format!("there is no column \"{wanted}\"; found: {}", shortened(names).join(", "))),
        }
    }
}

/// What may stand behind a key of one column, and of several.
const ONE: &str = "a column by name or by number from 1, or { column = ..., unit = \"...\" }";
const SEVERAL: &str = "{ columns = [..., ..., ...], unit = \"...\" }, each a name or a number from 1";

#[derive(Deserialize)]
#[serde(untagged)]
enum Written {
    Plain(ColumnRef),
    One(WithUnit),
    Several(Axes),
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WithUnit {
    column: ColumnRef,
    #[serde(default)]
    unit: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Axes {
    columns: Vec<ColumnRef>,
    #[serde(default)]
    unit: Option<String>,
}

/// Keys that every mapping can have.
const SETTINGS: [&str; 4] = ["delimiter", "decimal_comma", "header", "start_utc"];

/// A key of the file.
enum Key<Q: 'static> {
    Setting(&'static str),
    Column(&'static MappingKey<Q>),
}

/// Reads a key, so that the TOML reader can tell the place of one that nothing has.
struct KeyName<Q>(PhantomData<Q>);

impl<'de, Q: ColumnSet> DeserializeSeed<'de> for KeyName<Q> {
    type Value = Key<Q>;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Key<Q>, D::Error> {
        deserializer.deserialize_identifier(self)
    }
}

impl<Q: ColumnSet> Visitor<'_> for KeyName<Q> {
    type Value = Key<Q>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a key of a column mapping")
    }

    fn visit_str<E: serde::de::Error>(self, name: &str) -> Result<Key<Q>, E> {
        if let Some(key) = Q::KEYS.iter().find(|key| key.key == name) {
            return Ok(Key::Column(key));
        }
        let known = || Q::KEYS.iter().map(|key| key.key).chain(SETTINGS).collect::<Vec<_>>().join(", ");
        let setting = SETTINGS.into_iter().find(|setting| *setting == name);
        setting.map(Key::Setting).ok_or_else(|| E::custom(format!("unknown key `{name}`; the keys are {}", known())))
    }
}

/// Reads what stands behind the key of a column.
struct ColumnValue<Q: 'static>(&'static MappingKey<Q>);

impl<'de, Q: ColumnSet> DeserializeSeed<'de> for ColumnValue<Q> {
    type Value = Vec<(Q, ColumnRef, Option<String>)>;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Self::Value, D::Error> {
        let Self(MappingKey { key, quantities, .. }) = self;
        let expected = if quantities.len() == 1 { ONE } else { SEVERAL };
        let wrong = || D::Error::custom(format!("`{key}` is {expected}"));
        let (columns, unit) = match Written::deserialize(deserializer).map_err(|_| wrong())? {
            Written::Plain(column) => (vec![column], None),
            Written::One(WithUnit { column, unit }) => (vec![column], unit),
            Written::Several(Axes { columns, unit }) => (columns, unit),
        };
        if columns.len() != quantities.len() {
            return Err(wrong());
        }
        Ok(quantities.iter().zip(columns).map(|(quantity, column)| (*quantity, column, unit.clone())).collect())
    }
}

/// Reads the whole file.
struct File<Q>(PhantomData<Q>);

impl<'de, Q: ColumnSet> Visitor<'de> for File<Q> {
    type Value = Mapping<Q>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a column mapping")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Mapping<Q>, A::Error> {
        let columns = Vec::new();
        let mut mapping = Mapping { delimiter: None, decimal_comma: false, header: true, start_utc: None, columns };
        while let Some(key) = map.next_key_seed(KeyName(PhantomData))? {
            match key {
                Key::Column(key) => mapping.columns.extend(map.next_value_seed(ColumnValue(key))?),
                Key::Setting("delimiter") => mapping.delimiter = map.next_value()?,
                Key::Setting("decimal_comma") => mapping.decimal_comma = map.next_value()?,
                Key::Setting("header") => mapping.header = map.next_value()?,
                Key::Setting(_) => mapping.start_utc = map.next_value()?,
            }
        }
        // In the order of the description, whatever that of the file.
        let has = |quantity: &Q| mapping.columns.iter().any(|(q, ..)| q == quantity);
        let missing = Q::KEYS.iter().find(|key| key.needed && !key.quantities.iter().all(has));
        match missing {
            Some(key) => Err(A::Error::custom(format!("missing key `{}`", key.key))),
            None => Ok(mapping),
        }
    }
}
