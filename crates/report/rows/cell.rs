//! What stands in one place of the table.

use super::ColumnKind;
use chrono::DateTime;
use driftless_units::printable_lines;
use serde::{Deserialize, Serialize};
use serde_json::Value;

/// A value, or nothing where a thing is not known.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Cell {
    /// Not known.
    Empty,
    /// Words; what would act on a terminal is made visible.
    Text(String),
    /// Yes or no.
    Flag(bool),
    /// A count or a number of order.
    Count(i64),
    /// A measured figure.
    Number(f64),
    /// Milliseconds since 1970-01-01 in UTC.
    Time(i64),
}

impl Cell {
    /// What the document holds there, as the column wants it.
    pub(super) fn of(value: &Value, kind: ColumnKind) -> Self {
        let known = match kind {
            ColumnKind::Text => words(value).map(Self::Text),
            ColumnKind::Flag => value.as_bool().map(Self::Flag),
            ColumnKind::Count => value.as_i64().map(Self::Count),
            ColumnKind::Number => value.as_f64().map(Self::Number),
            ColumnKind::Time => value
                .as_str()
                .and_then(|text| DateTime::parse_from_rfc3339(text).ok())
                .map(|time| Self::Time(time.timestamp_millis())),
        };
        known.unwrap_or(Self::Empty)
    }
}

/// A word, or several of a list in one cell.
fn words(value: &Value) -> Option<String> {
    match value {
        Value::String(text) => Some(printable_lines(text).into_owned()),
        Value::Array(list) => Some(list.iter().filter_map(words).collect::<Vec<_>>().join("; ")),
        _ => None,
    }
}
