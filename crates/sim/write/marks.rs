//! The marks file.

use super::rfc3339;
use crate::SimulatedFlight;
use driftless_track::{Mark, MarkKind};
use std::fmt::Write;

pub(super) fn write(flight: &SimulatedFlight) -> String {
    let mut out = String::from("let_go,take_over,scenario,setup,note\n");
    let of_kind = |kind| flight.marks.iter().filter(move |mark: &&Mark| mark.kind == kind);
    for (let_go, take_over) in of_kind(MarkKind::LetGo).zip(of_kind(MarkKind::TakeOver)) {
        // Writing into a String cannot fail.
        let _ = writeln!(
            out,
            "{},{},{},{},",
            rfc3339(let_go.time),
            rfc3339(take_over.time),
            let_go.scenario.map(|s| s.name()).unwrap_or_default(),
            quoted(&flight.scenario.setup)
        );
    }
    out
}

/// A CSV field (RFC 4180): quoted where it holds a comma, a quote or a line end.
fn quoted(text: &str) -> String {
    if text.contains([',', '"', '\n', '\r']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text.to_owned() }
}
