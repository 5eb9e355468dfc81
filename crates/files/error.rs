//! Why a file cannot be had.

use driftless_analysis::OverLimit;
use std::error::Error;

/// A file that cannot be read. Names are those given, made visible; each message says what is wrong and what to do.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum FileError {
    /// Nothing by that name.
    // The system's own words would say it a second time.
    #[error("there is no file {name}; check the spelling and the folder")]
    Missing {
        /// Name as given.
        name: String,
    },
    /// The system does not hand it out.
    #[error("cannot read {name}; check that you may read it")]
    Refused {
        /// Name as given.
        name: String,
        /// The system's words.
        source: std::io::Error,
    },
    /// It ended in an error.
    #[error("cannot read {name}")]
    Broken {
        /// Name as given.
        name: String,
        /// The system's words.
        source: std::io::Error,
    },
    /// Not a file.
    #[error("{name} is a folder; name a file in it")]
    Folder {
        /// Name as given.
        name: String,
    },
    /// A pipe whose other end nobody opens.
    #[error("{name} is a pipe that no program writes into; start the one that fills it first")]
    NobodyWrites {
        /// Name as given.
        name: String,
    },
    /// Larger than is read.
    #[error("{name}")]
    OverLimit {
        /// Name as given.
        name: String,
        /// The limit, and how it is raised.
        source: OverLimit,
    },
    /// Not text.
    #[error("{name}, byte {at}: not UTF-8 text; save the file as UTF-8")]
    NotText {
        /// Name as given.
        name: String,
        /// The first byte that is not text, from 0.
        at: usize,
    },
}

impl FileError {
    /// Name of the file as given, made visible.
    pub fn name(&self) -> &str {
        match self {
            Self::Missing { name }
            | Self::Refused { name, .. }
            | Self::Broken { name, .. }
            | Self::Folder { name }
            | Self::NobodyWrites { name }
            | Self::OverLimit { name, .. }
            | Self::NotText { name, .. } => name,
        }
    }

    /// Stable name of the kind, in kebab-case.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Missing { .. } => "file-missing",
            Self::Refused { .. } | Self::Broken { .. } => "file-not-read",
            Self::Folder { .. } => "folder",
            Self::NobodyWrites { .. } => "pipe-unfilled",
            Self::OverLimit { .. } => "over-limit",
            Self::NotText { .. } => "not-text",
        }
    }

    /// The message with what lies behind it, in one sentence.
    pub fn words(&self) -> String {
        match self.source() {
            Some(behind) => format!("{self}: {behind}"),
            None => self.to_string(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use driftless_analysis::{InputLimit, InputLimits};

    #[test]
    fn what_lies_behind_is_said_once() {
        let over = InputLimits::default().over(InputLimit::TextBytes, None);
        let error = FileError::OverLimit { name: "marks.csv".into(), source: over };
        let words = error.words();
        assert!(words.starts_with("marks.csv: more than ") && words.ends_with("--limit text-bytes=N"), "{words}");
        assert_eq!((error.name(), error.code()), ("marks.csv", "over-limit"));
        assert_eq!(words.matches("more than").count(), 1);
    }
}
