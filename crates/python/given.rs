//! What a caller hands in: a path, or the bytes themselves with a name to go by.

use crate::faults::Fault;
use chrono::Utc;
use driftless_analysis::{Asked, FlightConfig, FlightFiles, InertialFile, InputLimit, InputLimits, TextFile};
use driftless_display::DisplayUnits;
use driftless_files::FileError;
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::pybacked::PyBackedBytes;
use std::borrow::Cow;
use std::collections::HashMap;
use std::path::PathBuf;

/// A file, or what would stand in it.
pub(crate) enum Given {
    Path(PathBuf),
    Bytes(PyBackedBytes),
}

impl<'py> FromPyObject<'_, 'py> for Given {
    type Error = PyErr;

    /// `bytes` and whatever hands out bytes (`memoryview`, an open file) are contents; anything else is a path.
    fn extract(given: Borrowed<'_, 'py, PyAny>) -> PyResult<Self> {
        if let Ok(bytes) = given.extract::<PyBackedBytes>() {
            return Ok(Self::Bytes(bytes));
        }
        let py = given.py();
        if given.is_instance_of::<pyo3::types::PyMemoryView>() {
            return Ok(Self::Bytes(py.get_type::<pyo3::types::PyBytes>().call1((given,))?.extract()?));
        }
        if given.hasattr("read")? {
            let read = given.call_method0("read")?;
            return read.extract().map(Self::Bytes).map_err(|_| {
                PyTypeError::new_err("the file is open as text; open it with mode \"rb\", or give its path")
            });
        }
        let path = given.extract::<PathBuf>();
        let wanted = |_| {
            let kind = given.get_type().name().map_or_else(|_| "this".to_owned(), |name| name.to_string());
            PyTypeError::new_err(format!("a path, bytes or a file that is open for bytes is needed, not {kind}"))
        };
        path.map(Self::Path).map_err(wanted)
    }
}

impl Given {
    /// The name that it goes by in reports and messages.
    pub(crate) fn name(&self, otherwise: &str) -> String {
        match self {
            Self::Path(path) => driftless_files::given_name(path),
            Self::Bytes(_) => otherwise.to_owned(),
        }
    }

    /// The bytes of a log.
    pub(crate) fn log_bytes(&self, name: &str, limits: &InputLimits) -> Result<Cow<'_, [u8]>, FileError> {
        match self {
            Self::Path(path) => driftless_files::bytes(path, limits).map(Cow::Owned),
            Self::Bytes(bytes) => {
                let over = |source| FileError::OverLimit { name: name.to_owned(), source };
                limits.hold(InputLimit::Bytes, bytes.len(), None).map_err(over)?;
                Ok(Cow::Borrowed(bytes))
            }
        }
    }

    /// A text that somebody wrote.
    fn text_file(&self, name: &str, limits: &InputLimits) -> Result<TextFile, FileError> {
        match self {
            Self::Path(path) => driftless_files::text_file(path, limits),
            Self::Bytes(bytes) => {
                let text = driftless_files::text_of(name, &mut &bytes[..], limits)?;
                Ok(TextFile { name: name.to_owned(), text })
            }
        }
    }

    fn inertial_file(&self, name: &str, limits: &InputLimits) -> Result<InertialFile, FileError> {
        match self {
            Self::Path(path) => driftless_files::inertial_file(path, limits),
            Self::Bytes(_) => Ok(InertialFile::new(name.to_owned(), self.log_bytes(name, limits)?.into_owned(), None)),
        }
    }
}

/// One inertial file, or several.
#[derive(FromPyObject)]
pub(crate) enum GivenInertial {
    One(Given),
    #[pyo3(transparent)]
    Several(Vec<Given>),
}

impl GivenInertial {
    fn all(&self) -> &[Given] {
        match self {
            Self::One(one) => std::slice::from_ref(one),
            Self::Several(all) => all,
        }
    }
}

/// What is given beside a log.
#[derive(Default)]
pub(crate) struct Beside {
    pub(crate) marks: Option<Given>,
    pub(crate) inertial: Option<GivenInertial>,
    pub(crate) csv_map: Option<Given>,
}

/// The same, read.
#[derive(Clone, Default)]
pub(crate) struct BesideFiles {
    marks: Option<TextFile>,
    inertial: Vec<InertialFile>,
    csv_mapping: Option<TextFile>,
}

impl Beside {
    pub(crate) fn read(&self, limits: &InputLimits) -> Result<BesideFiles, FileError> {
        let text = |given: &Option<Given>, name| given.as_ref().map(|of| of.text_file(name, limits)).transpose();
        let inertial = self.inertial.as_ref().map_or(&[][..], GivenInertial::all);
        let one = |(index, of): (usize, &Given)| of.inertial_file(&format!("imu[{index}]"), limits);
        Ok(BesideFiles {
            marks: text(&self.marks, "marks")?,
            inertial: inertial.iter().enumerate().map(one).collect::<Result<_, _>>()?,
            csv_mapping: text(&self.csv_map, "csv_map")?,
        })
    }
}

impl BesideFiles {
    /// These with the column mapping of the others.
    pub(crate) fn and(self, mapping: &Self) -> Self {
        Self { csv_mapping: mapping.csv_mapping.clone(), ..self }
    }

    /// With a log, what goes through the door of the analysis.
    pub(crate) fn with_log(self, name: String, log: &[u8]) -> FlightFiles<'_> {
        let Self { marks, inertial, csv_mapping } = self;
        FlightFiles { name, log, marks, inertial, csv_mapping }
    }
}

/// How analyses of this call are made: limits by name as the program's `--limit`, and the call as it is told in documents.
pub(crate) fn asked(limits: Option<HashMap<String, usize>>, command: String) -> Result<Asked, Fault> {
    let mut input = InputLimits::default();
    for (name, value) in limits.into_iter().flatten() {
        let known = InputLimit::ALL.into_iter().find(|limit| limit.name() == name);
        input = input.with(known.ok_or(Fault::Limit(name))?, value);
    }
    Ok(Asked {
        version: env!("CARGO_PKG_VERSION").to_owned(),
        command,
        config: FlightConfig { input, ..FlightConfig::default() },
        now: Some(Utc::now()),
    })
}

/// Units of pages, charts and text.
pub(crate) fn units(given: Option<&str>) -> Result<DisplayUnits, Fault> {
    given.map_or(Ok(DisplayUnits::default()), |text| text.parse().map_err(Fault::Units))
}
