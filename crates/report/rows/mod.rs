//! The windows of a flight as rows of a table with typed columns, for Parquet, Arrow and whatever else keeps columns.
//!
//! A row is made of the JSON document of the flight ([`json`](crate::json)), whose keys are flattened with underscores:
//! `turn_rate.value_deg_s` of a window is the column `turn_rate_value_deg_s`, and what the document says of the log stands in
//! each row (`log_file`, `made_by_input_sha256`). So the two cannot say different things.

mod cell;
mod columns;
#[cfg(test)]
mod tests;

pub use cell::Cell;
pub use columns::{ColumnKind, WINDOW_COLUMNS, WINDOW_ROWS_SCHEMA, WindowColumn};

use crate::json;
use driftless_analysis::FlightAnalysis;

/// One window: a cell for each of [`WINDOW_COLUMNS`], in their order.
pub type WindowRow = Vec<Cell>;

/// The rows of one flight, one for each window, in the order of the windows.
///
/// # Errors
/// None that an analysis can cause; the serializer's own error type is passed on rather than hidden.
pub fn window_rows(analysis: &FlightAnalysis) -> Result<Vec<WindowRow>, serde_json::Error> {
    let document = serde_json::to_value(json::document(analysis))?;
    let windows = document["windows"].as_array().map(Vec::as_slice).unwrap_or_default();
    Ok(windows.iter().map(|window| columns::row(&document, window)).collect())
}
