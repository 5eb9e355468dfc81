//! The analysis of a flight, and what is made of it.

#![expect(clippy::needless_pass_by_value, reason = "Python hands its arguments over")]

use crate::faults::Fault;
use crate::given::{Beside, BesideFiles, Given, GivenInertial, asked, units};
use driftless_analysis::{Asked, FlightAnalysis, analyse_files};
use driftless_charts::charts;
use driftless_display::DisplayUnits;
use driftless_report::{JsonLayout, first_screen, html, html_piece, json, text};
use pyo3::prelude::*;
use std::collections::HashMap;

/// Under the first screen: it is a flight test, and where the rest is.
const LAST_WORDS: [&str; 2] = [
    "Letting go of the brakes is a flight test: read the cautions in the report.",
    "All figures: .text(). The page with charts: .save(\"report.html\").",
];

/// A flight, analysed.
#[pyclass(frozen, module = "driftless._native")]
pub(crate) struct Flight {
    analysis: FlightAnalysis,
    units: DisplayUnits,
}

/// Analyses one log.
#[pyfunction]
#[pyo3(signature = (log, *, name, marks, imu, csv_map, units, limits, command))]
#[expect(clippy::too_many_arguments, reason = "the arguments of a Python function, by name")]
pub(crate) fn analyse(
    py: Python<'_>,
    log: Given,
    name: Option<String>,
    marks: Option<Given>,
    imu: Option<GivenInertial>,
    csv_map: Option<Given>,
    units: Option<&str>,
    limits: Option<HashMap<String, usize>>,
    command: String,
) -> PyResult<Flight> {
    let beside = Beside { marks, inertial: imu, csv_map };
    py.detach(|| {
        let units = self::units(units)?;
        let asked = asked(limits, command)?;
        let files = beside.read(&asked.config.input)?;
        let name = name.unwrap_or_else(|| log.name("log"));
        Ok(Flight { analysis: analyse_one(&log, name, files, &asked)?, units })
    })
    .map_err(|fault: Fault| fault.into_exception(py))
}

/// One log through the door of the analysis.
pub(crate) fn analyse_one(
    log: &Given,
    name: String,
    beside: BesideFiles,
    asked: &Asked,
) -> Result<FlightAnalysis, Fault> {
    let bytes = log.log_bytes(&name, &asked.config.input)?;
    Ok(analyse_files(beside.with_log(name, &bytes), asked, &mut |_| ())?)
}

#[pymethods]
impl Flight {
    /// The document as JSON text.
    fn json(&self, py: Python<'_>) -> PyResult<String> {
        py.detach(|| json(&self.analysis, JsonLayout::Line))
            .map_err(|error| Fault::Document(error.to_string()).into_exception(py))
    }

    /// The page.
    fn html(&self, py: Python<'_>) -> String {
        py.detach(|| html(&self.analysis, &self.units))
    }

    /// What a notebook shows.
    fn piece(&self, py: Python<'_>) -> String {
        py.detach(|| html_piece(&self.analysis, &self.units))
    }

    /// All figures in words.
    fn text(&self, py: Python<'_>) -> String {
        py.detach(|| text(&self.analysis, &self.units))
    }

    /// The first screen in words.
    fn brief(&self, py: Python<'_>, width: usize) -> String {
        py.detach(|| first_screen(&self.analysis, &self.units, width, &LAST_WORDS))
    }

    /// Id and SVG file of each chart, in the order of the page.
    fn charts(&self, py: Python<'_>) -> Vec<(String, String)> {
        py.detach(|| {
            let charts = charts(&self.analysis, &self.units);
            charts.into_iter().map(|chart| (chart.id.clone(), chart.standalone())).collect()
        })
    }
}
