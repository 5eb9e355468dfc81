//! The windows of many logs as one table, the logs analysed side by side.

use crate::faults::Fault;
use crate::flight::analyse_one;
use crate::given::{Beside, BesideFiles, Given, asked};
use crate::table::{ArrowTable, Cells, Column};
use crate::threads::{interruptible, pool};
use driftless_analysis::Asked;
use driftless_report::{Cell, ColumnKind, WINDOW_COLUMNS, WindowColumn, WindowRow, window_rows};
use pyo3::prelude::*;
use rayon::prelude::*;
use std::any::Any;
use std::collections::HashMap;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::Ordering;

/// A log, the name it goes by, and its marks.
type GivenLog = (Given, Option<String>, Option<Given>);

/// What became of a log: `None` where it was not begun, because nobody wants the result any more.
type Outcome = Option<Result<Vec<WindowRow>, Fault>>;

/// A log that gave no rows: which, its name, and why.
type Failure = (usize, String, PyErr);

/// A row for each window of each log, in their order, and the logs that failed.
#[pyfunction]
#[pyo3(signature = (logs, *, csv_map, jobs, on_error, limits))]
pub(crate) fn windows(
    py: Python<'_>,
    logs: Vec<GivenLog>,
    csv_map: Option<Given>,
    jobs: Option<usize>,
    on_error: &str,
    limits: Option<HashMap<String, usize>>,
) -> PyResult<(ArrowTable, Vec<Failure>)> {
    let raised = |fault: Fault| fault.into_exception(py);
    let asked = asked(limits, "driftless.windows".to_owned()).map_err(raised)?;
    let pool = pool(jobs).map_err(raised)?;
    let mapping = Beside { csv_map, ..Beside::default() };
    let mapping = py.detach(|| mapping.read(&asked.config.input)).map_err(|error| raised(error.into()))?;
    let names: Vec<String> =
        logs.iter().map(|(log, name, _)| name.clone().unwrap_or_else(|| log.name("log"))).collect();
    let ends_at_a_failure = on_error == "raise";
    let outcomes: Vec<Outcome> = interruptible(py, &pool, |stop| {
        let all = logs.into_par_iter().zip(&names).with_max_len(1);
        let one = |((log, _, marks), name): (GivenLog, &String)| {
            if stop.load(Ordering::Relaxed) {
                return None;
            }
            // One log of thousands that we have a defect for does not take the others with it.
            let outcome = catch_unwind(AssertUnwindSafe(|| rows(&log, name, marks, &mapping, &asked)))
                .unwrap_or_else(|panic| Err(Fault::Defect { file: name.clone(), words: words_of(&*panic) }));
            if outcome.is_err() && ends_at_a_failure {
                stop.store(true, Ordering::Relaxed);
            }
            Some(outcome)
        };
        all.map(one).collect()
    })?;
    let (mut rows, mut failures) = (Vec::new(), Vec::new());
    for ((index, name), outcome) in names.into_iter().enumerate().zip(outcomes) {
        match outcome {
            Some(Ok(of_log)) => rows.extend(of_log),
            Some(Err(fault)) if ends_at_a_failure => return Err(raised(fault)),
            Some(Err(fault)) => failures.push((index, name, raised(fault))),
            None => {}
        }
    }
    let table = py.detach(|| ArrowTable::new(WINDOW_COLUMNS.iter().enumerate().map(|of| column(of, &rows)).collect()));
    Ok((table.map_err(raised)?, failures))
}

/// The rows of one log; the analysis itself is given up again.
fn rows(
    log: &Given,
    name: &str,
    marks: Option<Given>,
    mapping: &BesideFiles,
    asked: &Asked,
) -> Result<Vec<WindowRow>, Fault> {
    let marks = Beside { marks, ..Beside::default() }.read(&asked.config.input)?;
    let analysis = analyse_one(log, name.to_owned(), marks.and(mapping), asked)?;
    window_rows(&analysis).map_err(|error| Fault::Document(error.to_string()))
}

/// What a panic says.
fn words_of(panic: &(dyn Any + Send)) -> String {
    let text = panic.downcast_ref::<&str>().map(|text| (*text).to_owned());
    text.or_else(|| panic.downcast_ref::<String>().cloned()).unwrap_or_else(|| "without a word".to_owned())
}

fn column((at, of): (usize, &WindowColumn), rows: &[WindowRow]) -> Column {
    let cells = || rows.iter().map(move |row| row.get(at).unwrap_or(&Cell::Empty));
    let cells = match of.kind {
        ColumnKind::Number => {
            Cells::Real(cells().map(|c| if let Cell::Number(n) = c { Some(*n) } else { None }).collect())
        }
        ColumnKind::Count => {
            Cells::Whole(cells().map(|c| if let Cell::Count(n) = c { Some(*n) } else { None }).collect())
        }
        ColumnKind::Flag => {
            Cells::Truth(cells().map(|c| if let Cell::Flag(b) = c { Some(*b) } else { None }).collect())
        }
        ColumnKind::Time => {
            Cells::Moment(cells().map(|c| if let Cell::Time(t) = c { Some(*t) } else { None }).collect())
        }
        ColumnKind::Text => {
            Cells::Words(cells().map(|c| if let Cell::Text(t) = c { Some(t.clone()) } else { None }).collect())
        }
    };
    Column { name: of.name, doc: of.meaning, cells }
}
