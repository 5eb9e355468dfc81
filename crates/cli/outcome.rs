//! How a run ended.

use serde::{Deserialize, Serialize};
use std::process::ExitCode;

/// How a run, or the part of it that deals with one log, ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) enum Outcome {
    /// A result was made.
    Made,
    /// The input was read but holds no usable result.
    NothingUsable,
    /// A bad flag, or a file that cannot be read, used or written.
    Failed,
}

impl Outcome {
    /// The outcome of several logs: a failure counts most; else one result is a result.
    pub(crate) fn of_all(outcomes: &[Self]) -> Self {
        if outcomes.contains(&Self::Failed) {
            Self::Failed
        } else if outcomes.contains(&Self::Made) {
            Self::Made
        } else {
            Self::NothingUsable
        }
    }
}

impl From<Outcome> for ExitCode {
    fn from(outcome: Outcome) -> Self {
        Self::from(match outcome {
            Outcome::Made => 0,
            Outcome::NothingUsable => 1,
            Outcome::Failed => 2,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::Outcome::{self, Failed, Made, NothingUsable};

    #[test]
    fn a_failure_counts_most_and_one_result_is_a_result() {
        assert_eq!(Outcome::of_all(&[Made, Failed, NothingUsable]), Failed);
        assert_eq!(Outcome::of_all(&[NothingUsable, Made]), Made);
        assert_eq!(Outcome::of_all(&[NothingUsable]), NothingUsable);
    }
}
