//! The native half of the Python package `driftless`: what is computed. What a Python user touches (the documents as
//! dictionaries, the exceptions, the job for a season) is written in Python, in `package/driftless`.
//!
//! * `flight`, `campaign`: an analysis as an object that gives its document, page, charts and text.
//! * `windows`: a row for each window of many logs, analysed side by side; `table`: rows as Arrow columns.
//! * `log`: a log as it was read, and what is wrong with it. `fits`: the fits of the wind, by themselves.
//! * `given`: what a caller hands in, a path or bytes; `faults`: refusals as Python exceptions; `threads`: work on other threads
//!   while the caller may press Ctrl-C.
//!
//! Whatever computes runs detached from the interpreter, so that other Python threads go on.

mod campaign;
mod faults;
mod fits;
mod flight;
mod given;
mod log;
mod table;
mod threads;
mod windows;

use pyo3::prelude::*;
use pyo3::types::PyTuple;

/// The module `driftless._native`.
#[pymodule]
#[pyo3(name = "_native")]
mod native {
    #[pymodule_export]
    use super::campaign::{Campaign, compare};
    #[pymodule_export]
    use super::fits::{fit_circle, fit_drift};
    #[pymodule_export]
    use super::flight::{Flight, analyse};
    #[pymodule_export]
    use super::log::{Log, read_log};
    #[pymodule_export]
    use super::table::ArrowTable;
    #[pymodule_export]
    use super::windows::windows;
    use super::*;

    #[pymodule_init]
    fn init(module: &Bound<'_, PyModule>) -> PyResult<()> {
        let endings: Vec<String> =
            driftless_files::LOG_ENDINGS.iter().map(|(ending, _)| format!(".{ending}")).collect();
        module.add("LOG_ENDINGS", PyTuple::new(module.py(), endings)?)?;
        module.add("__version__", env!("CARGO_PKG_VERSION"))
    }
}
