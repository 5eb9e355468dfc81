//! A flight analysis as JSON, schema `driftless/flight-report/1`.
//!
//! Other programs rely on it: keys may be added, those there stay, a key with a unit says it, and `null` stands
//! where a thing is not known. An object whose numbers are not known keeps its keys, so that a reader may always
//! write `window["turn_rate"]["value_deg_s"]`. Times are UTC (RFC 3339) with milliseconds; right turns are positive.
//! Numbers are not rounded here: whoever reads them rounds them once, at display.

mod flight;
mod made_by;
mod rate;
#[cfg(test)]
mod tests;
mod window;

pub(crate) use flight::utc;
pub(crate) use made_by::MadeByEntry;
pub(crate) use rate::RateEntry;

use crate::outlet::finished_json;
use driftless_analysis::FlightAnalysis;

/// Name and version of the schema.
pub const FLIGHT_REPORT_SCHEMA: &str = "driftless/flight-report/1";

/// How the document is laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum JsonLayout {
    /// Indented, for one log.
    Pretty,
    /// On one line, for several logs (JSON lines).
    Line,
}

/// The document of one flight, ending in a newline.
///
/// # Errors
/// None that an analysis can cause; the serializer's own error type is passed on rather than hidden.
pub fn json(analysis: &FlightAnalysis, layout: JsonLayout) -> Result<String, serde_json::Error> {
    let report = document(analysis);
    let mut text = match layout {
        JsonLayout::Pretty => serde_json::to_string_pretty(&report)?,
        JsonLayout::Line => serde_json::to_string(&report)?,
    };
    text.push('\n');
    Ok(finished_json(text))
}

/// The document before it is written out.
pub(crate) fn document(analysis: &FlightAnalysis) -> impl serde::Serialize {
    flight::FlightReport::of(analysis)
}
