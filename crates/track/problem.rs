//! Problems found: data with advice, the same in terminal, JSON and HTML. Like problems are grouped with a count.

use crate::{InputLimit, InputLimits, SourceRef};
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

/// The code that stands for all kinds behind the limit.
const MORE: ProblemCode = "problems-not-kept";

/// Collects problems; repeats of one code are counted, and the first keeps its words and place.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Problems {
    found: Vec<Problem>,
    /// Kinds kept, where that is limited.
    most: Option<usize>,
}

impl Problems {
    /// A collection that keeps so many kinds of problems and counts the rest as one more.
    pub fn within(limits: &InputLimits) -> Self {
        Self { found: Vec::new(), most: Some(limits.of(InputLimit::Problems)) }
    }

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
        if self.most.is_some_and(|most| self.found.len() >= most) {
            return self.count_behind_limit(place);
        }
        self.found.push(Problem {
            code,
            severity,
            message: message(),
            line: place.and_then(SourceRef::line_number),
            byte: place.map(|p| p.byte),
            count: 1,
            help: (!help.is_empty()).then(|| help.to_owned()),
        });
    }

    fn count_behind_limit(&mut self, place: Option<SourceRef>) {
        if let Some(known) = self.found.iter_mut().find(|p| p.code == MORE) {
            known.count = known.count.saturating_add(1);
            return;
        }
        self.found.push(Problem {
            code: MORE,
            severity: Severity::Warning,
            message: "there are more kinds of problems than are kept".to_owned(),
            line: place.and_then(SourceRef::line_number),
            byte: place.map(|p| p.byte),
            count: 1,
            help: Some("raise the limit with --limit problems=N".to_owned()),
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kinds_behind_the_limit_are_counted_as_one() {
        let limits = InputLimits::default().with(InputLimit::Problems, 2);
        for (codes, kept) in [(["a", "b", "b"], vec!["a", "b"]), (["a", "b", "c"], vec!["a", "b", MORE])] {
            let mut problems = Problems::within(&limits);
            for code in codes {
                problems.add(code, Severity::Note, None, String::new, "");
            }
            let found = problems.into_vec();
            assert_eq!(found.iter().map(|p| p.code).collect::<Vec<_>>(), kept);
            assert_eq!(found.iter().map(|p| p.count).sum::<u32>(), 3, "nothing is lost from the count");
        }
    }
}
