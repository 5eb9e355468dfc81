//! What one log came to, ready to be told and put where it belongs.

use crate::outcome::Outcome;
use driftless_report::WindowRow;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::path::PathBuf;

/// One log, done. It is told in the order of the logs, however many were worked on at a time, and may be kept for a later run.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(super) struct Done {
    pub(super) outcome: Outcome,
    pub(super) messages: Vec<Message>,
    /// The report for the place that several logs share.
    pub(super) content: Option<Content>,
    /// Of a log that was analysed: each kind of fault of the files beside it, in words.
    pub(super) beside: Option<BTreeMap<String, String>>,
    /// The files that were written for it alone.
    pub(super) files: Vec<PathBuf>,
    /// A file in a folder that may be something else than a log, and is.
    #[serde(default)]
    pub(super) passed_over: bool,
}

/// Something to say on standard error.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) enum Message {
    Error(String),
    Note(String),
}

/// A report, whole.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(super) enum Content {
    Text(String),
    Rows(Vec<WindowRow>),
}

impl Done {
    /// Of a log about which there is nothing yet.
    pub(super) const fn of(outcome: Outcome) -> Self {
        Self { outcome, messages: Vec::new(), content: None, beside: None, files: Vec::new(), passed_over: false }
    }

    /// Of a log that gave no report.
    pub(super) fn without_report(outcome: Outcome, why: String) -> Self {
        Self { messages: vec![Message::Error(why)], ..Self::of(outcome) }
    }
}
