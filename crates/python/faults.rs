//! Refusals as the exceptions of `driftless._errors`: the program's words, the place, and what to do.

use driftless_analysis::Refusal;
use driftless_analysis::RefusalFault;
use driftless_analysis::campaign::file::CampaignFileError;
use driftless_display::UnitsError;
use driftless_files::FileError;
use driftless_wind::circle::CircleError;
use driftless_wind::drift::DriftError;
use pyo3::prelude::*;
use pyo3::types::PyDict;

/// The module that defines the exceptions.
const MODULE: &str = "driftless._errors";

/// Why a call gives no result.
pub(crate) enum Fault {
    File(FileError),
    Refusal(Refusal),
    Campaign(CampaignFileError),
    Circle(CircleError),
    Drift(DriftError),
    Units(UnitsError),
    /// A limit that there is not.
    Limit(String),
    /// Something about the call itself, in words.
    Call(String),
    /// The serializer's words.
    Document(String),
    /// A panic, which is a defect of ours: the log it happened on, and its words.
    Defect {
        file: String,
        words: String,
    },
}

impl From<FileError> for Fault {
    fn from(error: FileError) -> Self {
        Self::File(error)
    }
}

impl From<Refusal> for Fault {
    fn from(refusal: Refusal) -> Self {
        Self::Refusal(refusal)
    }
}

impl Fault {
    /// Name of the exception.
    fn class(&self) -> &'static str {
        match self {
            Self::File(_) => "FileError",
            Self::Refusal(refusal) => match refusal.fault {
                RefusalFault::Log(_) | RefusalFault::Date(_) => "LogError",
                RefusalFault::Track(_) => "NoTrackError",
                RefusalFault::Mapping(_) => "MappingError",
                RefusalFault::Marks(_) => "MarksError",
            },
            Self::Campaign(_) => "CampaignError",
            Self::Circle(_) | Self::Drift(_) => "FitError",
            Self::Units(_) | Self::Limit(_) | Self::Call(_) => "OptionError",
            Self::Document(_) | Self::Defect { .. } => "DriftlessError",
        }
    }

    /// Stable name of the kind.
    fn code(&self) -> &'static str {
        match self {
            Self::File(error) => error.code(),
            Self::Refusal(refusal) => match &refusal.fault {
                RefusalFault::Log(error) => error.code(),
                other => other.code(),
            },
            Self::Campaign(_) => "campaign-unusable",
            Self::Circle(_) => "no-circle",
            Self::Drift(_) => "no-drift-fit",
            Self::Units(_) => "unknown-unit",
            Self::Limit(_) => "unknown-limit",
            Self::Call(_) => "bad-call",
            Self::Document(_) => "no-document",
            Self::Defect { .. } => "defect",
        }
    }

    /// The words of the program.
    fn words(&self) -> String {
        match self {
            Self::File(error) => error.words(),
            Self::Refusal(refusal) => refusal.to_string(),
            Self::Campaign(error) => format!("the campaign file cannot be used\n{error}"),
            Self::Circle(error) => error.to_string(),
            Self::Drift(error) => error.to_string(),
            Self::Units(error) => error.to_string(),
            Self::Limit(name) => {
                let names: Vec<_> = driftless_analysis::InputLimit::ALL.iter().map(|limit| limit.name()).collect();
                format!("there is no limit {name:?}; limits are {}", names.join(", "))
            }
            Self::Call(words) | Self::Document(words) => words.clone(),
            Self::Defect { file, words } => {
                let file = driftless_units::printable(file);
                format!("{file}: driftless itself failed on this log ({words}); please report it with the log")
            }
        }
    }

    /// File and line, where they are known.
    fn place(&self) -> Option<(String, Option<u64>)> {
        match self {
            Self::File(error) => Some((error.name().to_owned(), None)),
            Self::Refusal(refusal) => Some((refusal.file.clone(), refusal.fault.line())),
            Self::Campaign(error) => error.faults.first().map(|fault| (fault.file.clone(), Some(fault.line as u64))),
            Self::Defect { file, .. } => Some((file.clone(), None)),
            _ => None,
        }
    }

    /// What to do: a fault of a campaign file has it apart; in a sentence of the program it stands behind the last semicolon.
    fn help(&self, words: &str) -> Option<String> {
        match self {
            Self::Campaign(error) => error.faults.iter().find_map(|fault| fault.help.clone()),
            Self::Units(_) => words.split_once(": ").map(|(_, help)| help.to_owned()),
            _ => words.rsplit_once("; ").map(|(_, help)| for_python(help)),
        }
    }

    /// As the exception.
    pub(crate) fn into_exception(self, py: Python<'_>) -> PyErr {
        self.exception(py).map_or_else(|error| error, PyErr::from_value)
    }

    fn exception<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        let words = self.words();
        let named = PyDict::new(py);
        named.set_item("code", self.code())?;
        named.set_item("place", self.place())?;
        named.set_item("help", self.help(&words))?;
        py.import(MODULE)?.getattr(self.class())?.call((words,), Some(&named))
    }
}

/// A limit is set by an argument here, and not by a flag.
fn for_python(help: &str) -> String {
    match help.split_once("--limit ") {
        Some((before, setting)) => {
            let name = setting.split('=').next().unwrap_or_default();
            format!("{before}limits={{\"{name}\": N}}")
        }
        None => help.to_owned(),
    }
}
