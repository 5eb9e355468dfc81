//! The figures as tables: Markdown that reads well as plain text too.

mod found;
mod reference;
mod varied;

use crate::run::StudyScore;
use crate::score::{FlightScore, Judged, WindowScore};
use crate::statistics::{Figure, mean, rms, rms_ratio, share};
use crate::study::Variant;
use driftless_sim::reference::AirClass;
use std::fmt::Write;

/// A table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// Name of its place on the page.
    pub name: &'static str,
    /// What it shows.
    pub title: String,
    /// Column heads.
    pub head: Vec<String>,
    /// Rows, as wide as the head.
    pub rows: Vec<Vec<String>>,
}

impl Table {
    /// As Markdown, columns aligned.
    pub fn markdown(&self) -> String {
        let widths: Vec<usize> = (0..self.head.len())
            .map(|c| std::iter::once(&self.head).chain(&self.rows).map(|r| r[c].chars().count()).max().unwrap_or(0))
            .collect();
        let mut out = String::new();
        let mut line = |cells: &[String]| {
            let padded = cells.iter().zip(&widths).map(|(cell, width)| format!("{cell:<width$}"));
            // Writing into a String cannot fail.
            let _ = writeln!(out, "| {} |", padded.collect::<Vec<_>>().join(" | "));
        };
        line(&self.head);
        line(&widths.iter().map(|w| "-".repeat(*w)).collect::<Vec<_>>());
        for row in &self.rows {
            line(row);
        }
        out
    }
}

/// All tables of a run; those without data are left out.
pub fn tables(scores: &[StudyScore]) -> Vec<Table> {
    [
        reference::reference(scores),
        varied::variants(scores),
        varied::compared(scores),
        varied::lengths(scores),
        found::unmarked(scores),
        found::refusals(scores),
    ]
    .into_iter()
    .filter(|t| !t.rows.is_empty())
    .collect()
}

/// Values of the accepted windows, flight by flight.
pub(crate) fn by_flight<T>(flights: &[FlightScore], value: impl Fn(&WindowScore) -> Option<T>) -> Vec<Vec<T>> {
    flights.iter().map(|f| f.accepted().filter_map(&value).collect()).collect()
}

/// Errors of an estimate over the accepted windows.
pub(crate) fn error_rms(flights: &[FlightScore], pick: impl Fn(&WindowScore) -> Option<Judged>) -> Figure {
    rms(&by_flight(flights, |w| pick(w).map(|j| j.error)))
}

/// The rms error of a rate over the rms of its bound.
pub(crate) fn over_bound(
    flights: &[FlightScore],
    pick: impl Fn(&WindowScore) -> Option<Judged>,
    bound: impl Fn(&WindowScore) -> Option<f64>,
) -> Figure {
    rms_ratio(&by_flight(flights, |w| Some((pick(w)?.error, bound(w)?))))
}

fn covered(flights: &[FlightScore], pick: fn(&WindowScore) -> Option<Judged>) -> [Figure; 2] {
    [0.95, 0.68].map(|level| share(&by_flight(flights, |w| pick(w).map(|j| j.covered(level)))))
}

/// Mean square of errors over stated uncertainties: 1 when those are honest.
fn normalised(flights: &[FlightScore], pick: impl Fn(&WindowScore) -> Option<Judged>) -> Figure {
    mean(&by_flight(flights, |w| pick(w).map(|j| (j.error / j.std_u).powi(2))))
}

/// A figure with its standard error, to so many places; a single flight has no standard error.
pub(crate) fn with_error(figure: Figure, places: usize) -> String {
    let Figure { value, std_error, .. } = figure;
    match (value.is_finite(), std_error.is_finite()) {
        (true, true) => format!("{value:.places$} ± {std_error:.places$}"),
        (true, false) => format!("{value:.places$}"),
        _ => "-".to_owned(),
    }
}

pub(crate) fn percent(figure: Figure) -> String {
    with_error(Figure { value: 100.0 * figure.value, std_error: 100.0 * figure.std_error, ..figure }, 1)
}

/// The rms error of `turn_rate` that the project wants, °/s.
pub const fn wanted_rms_deg_s(class: AirClass) -> f64 {
    match class {
        AirClass::Still => 0.040,
        AirClass::Light => 0.070,
        AirClass::Moderate => 0.110,
    }
}

fn of_variant(scores: &[StudyScore], variant: Variant) -> Vec<&StudyScore> {
    scores.iter().filter(|s| s.study.variant == variant).collect()
}

pub(crate) fn strings<const N: usize>(cells: [&str; N]) -> Vec<String> {
    cells.map(str::to_owned).to_vec()
}
