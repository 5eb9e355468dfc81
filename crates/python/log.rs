//! A log as it was read, and what is wrong with it.

#![expect(clippy::needless_pass_by_value, reason = "Python hands its arguments over")]

use crate::faults::Fault;
use crate::given::{Beside, Given, asked};
use crate::table::{ArrowTable, Cells, Column};
use chrono::{DateTime, Utc};
use driftless_analysis::{
    Fix, FixQuality, FlightLog, MarkKind, Problem, Severity, Track, TrackConfig, prepare_or_tell, read_log as read,
    sha256,
};
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyList};
use std::collections::HashMap;

/// A log, read.
#[pyclass(frozen, module = "driftless._native")]
pub(crate) struct Log {
    /// Name as given.
    #[pyo3(get)]
    file: String,
    /// SHA-256 of the log, lower-case hex.
    #[pyo3(get)]
    sha256: String,
    log: FlightLog,
    config: TrackConfig,
}

/// Reads a log.
#[pyfunction]
#[pyo3(name = "read_log", signature = (log, *, name, csv_map, limits))]
pub(crate) fn read_log(
    py: Python<'_>,
    log: Given,
    name: Option<String>,
    csv_map: Option<Given>,
    limits: Option<HashMap<String, usize>>,
) -> PyResult<Log> {
    py.detach(|| {
        let asked = asked(limits, String::new())?;
        let beside = Beside { csv_map, ..Beside::default() }.read(&asked.config.input)?;
        let file = name.unwrap_or_else(|| log.name("log"));
        let bytes = log.log_bytes(&file, &asked.config.input)?;
        let read = read(&beside.with_log(file.clone(), &bytes), &asked)?;
        Ok(Log { file, sha256: sha256(&bytes), log: read, config: asked.config.track })
    })
    .map_err(|fault: Fault| fault.into_exception(py))
}

#[pymethods]
impl Log {
    /// Name of the format.
    #[getter]
    fn format(&self) -> &'static str {
        self.log.format.name()
    }

    fn __len__(&self) -> usize {
        self.log.fixes.len()
    }

    /// The fixes, a row each, in the order of the file.
    #[getter]
    fn fixes(&self, py: Python<'_>) -> PyResult<ArrowTable> {
        py.detach(|| ArrowTable::new(columns(&self.log.fixes))).map_err(|fault| fault.into_exception(py))
    }

    /// The moments that the pilot or the logger marked, in the order of the file.
    #[getter]
    fn marks<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyList>> {
        let marks = PyList::empty(py);
        for mark in &self.log.marks {
            let row = PyDict::new(py);
            let kind = match mark.kind {
                MarkKind::LetGo => "let-go",
                MarkKind::TakeOver => "take-over",
                MarkKind::Other => "other",
            };
            row.set_item("time_utc", utc(mark.time))?;
            row.set_item("kind", kind)?;
            row.set_item("scenario", mark.scenario.map(|scenario| scenario.name()))?;
            row.set_item("text", &mark.text)?;
            row.set_item("line", mark.source.line_number())?;
            marks.append(row)?;
        }
        Ok(marks)
    }

    /// What was dropped or odd while reading.
    #[getter]
    fn problems<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyList>> {
        listed(py, &self.log.problems)
    }

    /// What `driftless check` tells: the log read and its track cleaned, nothing estimated.
    fn check<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let cleaned = py.detach(|| prepare_or_tell(&self.log, &self.config));
        let (track, reason, found): (Option<&Track>, _, _) = match &cleaned {
            Ok(track) => (Some(track), None, &track.problems),
            Err(none) => (None, Some(none.reason.to_string()), &none.problems),
        };
        let told = PyDict::new(py);
        told.set_item("file", &self.file)?;
        told.set_item("format", self.format())?;
        told.set_item("sha256", &self.sha256)?;
        told.set_item("usable", track.is_some())?;
        told.set_item("reason", reason)?;
        told.set_item("fixes_read", self.log.fixes.len())?;
        told.set_item("fixes_used", track.map_or(0, |track| track.points.len()))?;
        told.set_item("marks", self.log.marks.len())?;
        told.set_item("start_utc", track.map(|track| utc(track.epoch)))?;
        told.set_item("end_utc", track.map(|track| utc(track.time_at(track.duration_s()))))?;
        told.set_item("median_interval_s", track.map(|track| track.median_interval_s))?;
        told.set_item("gaps", track.map(|track| track.gaps.len()))?;
        let problems: Vec<Problem> = self.log.problems.iter().chain(found).cloned().collect();
        told.set_item("problems", listed(py, &problems)?)?;
        Ok(told)
    }

    fn __repr__(&self) -> String {
        format!("<driftless.Log {:?}: {}, {} fixes>", self.file, self.format(), self.log.fixes.len())
    }
}

/// As in the documents: RFC 3339, UTC, milliseconds.
fn utc(time: DateTime<Utc>) -> String {
    time.to_rfc3339_opts(chrono::SecondsFormat::Millis, true)
}

/// Problems with the keys that they have in the documents.
fn listed<'py>(py: Python<'py>, problems: &[Problem]) -> PyResult<Bound<'py, PyList>> {
    let list = PyList::empty(py);
    for problem in problems {
        let row = PyDict::new(py);
        let severity = match problem.severity {
            Severity::Note => "note",
            Severity::Warning => "warning",
            Severity::Error => "error",
        };
        row.set_item("code", problem.code)?;
        row.set_item("severity", severity)?;
        row.set_item("message", &problem.message)?;
        row.set_item("line", problem.line)?;
        row.set_item("byte", problem.byte)?;
        row.set_item("count", problem.count)?;
        row.set_item("help", &problem.help)?;
        list.append(row)?;
    }
    Ok(list)
}

/// Everything that a fix may hold.
fn columns(fixes: &[Fix]) -> Vec<Column> {
    let known = |of: fn(&Fix) -> f64| Cells::Real(fixes.iter().map(|fix| Some(of(fix))).collect());
    let recorded = |of: fn(&Fix) -> Option<f64>| Cells::Real(fixes.iter().map(of).collect());
    let quality = |fix: &Fix| match fix.quality {
        FixQuality::Unstated => None,
        FixQuality::ThreeD => Some("3d".to_owned()),
        FixQuality::TwoD => Some("2d".to_owned()),
    };
    let column = |name, doc, cells| Column { name, doc, cells };
    vec![
        column(
            "time_utc",
            "time of the fix",
            Cells::Moment(fixes.iter().map(|fix| Some(fix.time.timestamp_millis())).collect()),
        ),
        column("lat_deg", "WGS-84 latitude, north positive", known(|fix| fix.lat_deg)),
        column("lon_deg", "WGS-84 longitude, east positive", known(|fix| fix.lon_deg)),
        column("gnss_altitude_m", "altitude of the satellites, as recorded", recorded(|fix| fix.gnss_altitude_m.get())),
        column(
            "pressure_altitude_m",
            "altitude in the standard atmosphere",
            recorded(|fix| fix.pressure_altitude_m.get()),
        ),
        column("ground_speed_mps", "recorded speed over ground", recorded(|fix| fix.ground_speed_mps.get())),
        column("course_deg", "recorded true course over ground", recorded(|fix| fix.course_deg.get())),
        column("climb_mps", "recorded climb, up positive", recorded(|fix| fix.climb_mps.get())),
        column("heading_true_deg", "recorded true heading", recorded(|fix| fix.heading_true_deg.get())),
        column("heading_magnetic_deg", "recorded magnetic heading", recorded(|fix| fix.heading_magnetic_deg.get())),
        column("true_airspeed_mps", "recorded true airspeed", recorded(|fix| fix.true_airspeed_mps.get())),
        column(
            "indicated_airspeed_mps",
            "recorded indicated airspeed",
            recorded(|fix| fix.indicated_airspeed_mps.get()),
        ),
        column("engine_rpm", "engine speed, revolutions per minute", recorded(|fix| fix.engine_rpm.get())),
        column("engine_noise", "engine noise level, 0 to 999", recorded(|fix| fix.engine_noise.get())),
        column("hdop", "horizontal dilution of precision", recorded(|fix| fix.hdop.get())),
        column(
            "horizontal_error_m",
            "recorded horizontal error, one standard deviation where the format says so",
            recorded(|fix| fix.horizontal_error_m.get()),
        ),
        column("quality", "3d or 2d, where the receiver says", Cells::Words(fixes.iter().map(quality).collect())),
        column(
            "line",
            "line of the file, where it has lines",
            Cells::Whole(fixes.iter().map(|fix| fix.source.line_number().map(i64::from)).collect()),
        ),
        column(
            "byte",
            "byte of the unpacked file, from 0",
            Cells::Whole(fixes.iter().map(|fix| i64::try_from(fix.source.byte).ok()).collect()),
        ),
    ]
}
