//! Problems found: data with advice, the same in terminal, JSON and HTML. Like problems are grouped with a count.

use crate::SourceRef;
use serde::Serialize;

/// How bad a problem is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Worth knowing, changes nothing.
    Note,
    /// Data was left out or is doubtful.
    Warning,
    /// The result is missing or cannot be relied on.
    Error,
}

/// A short stable name for a kind of problem, in kebab-case (`bad-coordinate`).
pub type ProblemCode = &'static str;

/// Something found while reading or analysing a log.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Problem {
    /// Stable name of the kind.
    pub code: ProblemCode,
    /// How bad.
    pub severity: Severity,
    /// What was found, with the values.
    pub message: String,
    /// Line of the first one, from 1, if it has a place.
    pub line: Option<u32>,
    /// Byte offset of the first one, from 0, if it has a place.
    pub byte: Option<u64>,
    /// How many of this kind.
    pub count: u32,
    /// What to do about it.
    pub help: Option<String>,
}

/// Collects problems; repeats of one code are counted, and the first keeps its words and place.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Problems {
    found: Vec<Problem>,
}

impl Problems {
    /// Adds one, or counts it onto an earlier one of the same code. The message is only built when it is the first.
    pub fn add(
        &mut self,
        code: ProblemCode,
        severity: Severity,
        place: Option<SourceRef>,
        message: impl FnOnce() -> String,
        help: &str,
    ) {
        if let Some(known) = self.found.iter_mut().find(|p| p.code == code) {
            known.count = known.count.saturating_add(1);
            return;
        }
        self.found.push(Problem {
            code,
            severity,
            message: message(),
            line: place.map(|p| p.line),
            byte: place.map(|p| p.byte),
            count: 1,
            help: (!help.is_empty()).then(|| help.to_owned()),
        });
    }

    /// Whether nothing was found.
    pub fn is_empty(&self) -> bool {
        self.found.is_empty()
    }

    /// All of them, in the order first met.
    pub fn into_vec(self) -> Vec<Problem> {
        self.found
    }
}
