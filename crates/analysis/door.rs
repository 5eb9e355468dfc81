//! The one door: the bytes of a flight's files go in, an analysis or a located refusal comes out.
//!
//! Whoever has a flight's bytes comes in here, for one report, a campaign or anything else, so that all of them read,
//! judge dates and refuse alike. No file is touched and no clock is looked at.

use crate::dates::{DateError, judge_dates};
use crate::{
    AnalysisError, FlightAnalysis, FlightConfig, FlightInput, InertialFile, Stage, TrackError, analyse_flight,
};
use chrono::{DateTime, Utc};
use driftless_formats::{CsvMapping, ReadError, ReadHint, read};
use driftless_segment::marks_file::MarksError;
use driftless_track::FlightLog;
use sha2::{Digest, Sha256};
use std::fmt;

/// The files of one flight, as they are.
#[derive(Debug, Clone, Default)]
pub struct FlightFiles<'a> {
    /// Name of the log as given.
    pub name: String,
    /// Its bytes.
    pub log: &'a [u8],
    /// The marks file, if there is one.
    pub marks: Option<TextFile>,
    /// Inertial files recorded beside it; faults in them are problems of the analysis, never refusals.
    pub inertial: Vec<InertialFile>,
    /// The column mapping of a CSV log, if there is one.
    pub csv_mapping: Option<TextFile>,
}

/// A text that somebody wrote.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TextFile {
    /// Its name as given.
    pub name: String,
    /// What stands in it.
    pub text: String,
}

/// How flights are to be analysed, the same for all of a run.
#[derive(Debug, Clone, Default)]
pub struct Asked {
    /// Version of the program.
    pub version: String,
    /// Command line as typed.
    pub command: String,
    /// Limits of reading and analysis.
    pub config: FlightConfig,
    /// What the clock says, to judge the dates of logs by; `None` where there is no clock to trust.
    pub now: Option<DateTime<Utc>>,
}

/// Why a flight gives no analysis: which file, and what is wrong in it.
#[derive(Debug, Clone, PartialEq)]
pub struct Refusal {
    /// Name of the file as given.
    pub file: String,
    /// What is wrong.
    pub fault: RefusalFault,
}

/// What is wrong with a file of a flight.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RefusalFault {
    /// The log cannot be read.
    #[error(transparent)]
    Log(ReadError),
    /// The log is dated so that its times cannot be trusted.
    #[error(transparent)]
    Date(#[from] DateError),
    /// The log was read and holds no track.
    #[error(transparent)]
    Track(#[from] TrackError),
    /// The column mapping cannot be used.
    #[error(transparent)]
    Mapping(ReadError),
    /// The marks file cannot be used.
    #[error(transparent)]
    Marks(#[from] MarksError),
}

impl RefusalFault {
    /// Stable name of the kind, in kebab-case.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Log(_) => "log-unusable",
            Self::Date(_) => "log-misdated",
            Self::Track(_) => "no-track",
            Self::Mapping(_) => "mapping-unusable",
            Self::Marks(_) => "marks-unusable",
        }
    }

    /// The line at fault, from 1, where one is.
    pub fn line(&self) -> Option<u64> {
        match self {
            Self::Log(error) | Self::Mapping(error) => error.line().map(u64::from),
            Self::Marks(error) => Some(error.line),
            Self::Date(_) | Self::Track(_) => None,
        }
    }
}

impl Refusal {
    /// Whether the files were read, and hold no usable result; else one of them is at fault.
    pub const fn nothing_usable(&self) -> bool {
        matches!(self.fault, RefusalFault::Track(_))
    }
}

impl std::error::Error for Refusal {}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let nothing = if self.nothing_usable() { "no usable result: " } else { "" };
        write!(f, "{}: {nothing}{}", driftless_units::printable(&self.file), self.fault)
    }
}

/// Analyses one flight from its files. `progress` is told of each stage as it begins.
///
/// # Errors
/// [`Refusal`] when the log, its mapping or its marks cannot be used.
pub fn analyse_files(
    files: FlightFiles<'_>,
    asked: &Asked,
    progress: &mut dyn FnMut(Stage),
) -> Result<FlightAnalysis, Refusal> {
    let log = read_log(&files, asked)?;
    let marks_file = files.marks.as_ref().map(|marks| marks.name.clone()).unwrap_or_default();
    let file = files.name.clone();
    let input = FlightInput {
        file: files.name,
        marks_text: files.marks.map(|marks| marks.text),
        inertial: files.inertial,
        version: asked.version.clone(),
        command: asked.command.clone(),
        input_sha256: sha256(files.log),
        config: asked.config.clone(),
    };
    analyse_flight(log, input, progress).map_err(|error| match error {
        AnalysisError::Track(error) => Refusal { file, fault: error.into() },
        AnalysisError::Marks(error) => Refusal { file: marks_file, fault: error.into() },
    })
}

/// The first step of it alone: the log, read and its dates judged.
///
/// # Errors
/// [`Refusal`] when the log or its mapping cannot be used.
pub fn read_log(files: &FlightFiles<'_>, asked: &Asked) -> Result<FlightLog, Refusal> {
    let refused = |file: &str, fault: RefusalFault| Refusal { file: file.to_owned(), fault };
    let mut hint = ReadHint { limits: asked.config.input, ..ReadHint::default() };
    if let Some(mapping) = &files.csv_mapping {
        let fault = |error| refused(&mapping.name, RefusalFault::Mapping(error));
        hint.csv_mapping = Some(CsvMapping::from_toml(&mapping.text).map_err(fault)?);
    }
    let mut log = read(files.log, &hint).map_err(|error| refused(&files.name, RefusalFault::Log(error)))?;
    if let Some(now) = asked.now {
        judge_dates(&mut log, now).map_err(|error| refused(&files.name, error.into()))?;
    }
    Ok(log)
}

/// SHA-256 of a file as given, in lower-case hex.
pub fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FIPS 180-2, appendix B.1: the one-block message "abc".
    #[test]
    fn published_sha256_of_abc() {
        assert_eq!(sha256(b"abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    }

    fn refusal(files: FlightFiles<'_>) -> Refusal {
        analyse_files(files, &Asked::default(), &mut |_| ()).expect_err("must be refused")
    }

    #[test]
    fn a_refusal_knows_the_line_at_fault_where_there_is_one() {
        let marks = |text: &str| Some(TextFile { name: "marks".to_owned(), text: text.to_owned() });
        let log = b"time,lat,lon\n2026-05-01T06:00:00Z,47,11\n2026-05-01T06:00:01Z,47.001,11\n".to_vec();
        let rows = (0..60).map(|s| format!("2026-05-01T06:01:{s:02}Z,{:.5},11\n", 47.0 + 1e-4 * f64::from(s)));
        let whole: String = String::from_utf8_lossy(&log).into_owned() + &rows.collect::<String>();
        let of = |log, marks| FlightFiles { name: "log".into(), log, marks, ..Default::default() };
        for (files, line) in [
            (of(b"time,speed\n1,2\n".as_slice(), None), Some(1)),
            (of(b"", None), None),
            (of(whole.as_bytes(), marks("let_go,take_over\n5,no time\n")), Some(2)),
        ] {
            let refusal = refusal(files);
            assert_eq!(refusal.fault.line(), line, "{refusal}");
        }
    }

    #[test]
    fn a_refusal_names_the_file_that_is_at_fault() {
        let log = b"time,lat,lon\n2026-05-01T06:00:00Z,47,11\n2026-05-01T06:00:01Z,47,11\n".as_slice();
        let text = |text: &str| Some(TextFile { name: "beside".to_owned(), text: text.to_owned() });
        let of =
            |log, marks, csv_mapping| FlightFiles { name: "log".into(), log, marks, csv_mapping, ..Default::default() };
        for (files, file, nothing_usable) in [
            (of(b"", None, None), "log", false),
            (of(log, None, None), "log", true),
            (of(log, None, text("no mapping")), "beside", false),
        ] {
            let refusal = refusal(files);
            assert_eq!((refusal.file.as_str(), refusal.nothing_usable()), (file, nothing_usable), "{refusal}");
        }
    }
}
