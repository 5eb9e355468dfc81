//! Analyses that were made a moment ago, so that a correction, a chart and a download do not make them anew. Nothing of it
//! is kept: it can all be computed.

use driftless_analysis::FlightAnalysis;
use driftless_analysis::campaign::FlightSummary;
use std::collections::{HashMap, VecDeque};
use std::sync::Arc;

/// Whole analyses kept: that of the flight looked at, with and without its marks, and those before corrections. One of four
/// hours at ten fixes a second takes some 150 MB.
const ANALYSES: usize = 3;
/// Windows of flights kept for comparing; a few kilobytes each.
const SUMMARIES: usize = 4096;

/// What an analysis was made from, as one word.
pub(crate) type MadeFrom = String;

/// What is remembered.
#[derive(Debug, Default)]
pub(crate) struct Memory {
    analyses: VecDeque<(MadeFrom, Arc<FlightAnalysis>)>,
    summaries: HashMap<MadeFrom, FlightSummary>,
}

impl Memory {
    /// The analysis of these files, if it is there still.
    pub(crate) fn analysis(&mut self, from: &str) -> Option<Arc<FlightAnalysis>> {
        let at = self.analyses.iter().position(|(made_from, _)| made_from == from)?;
        let found = self.analyses.remove(at)?;
        let analysis = Arc::clone(&found.1);
        self.analyses.push_back(found);
        Some(analysis)
    }

    pub(crate) fn keep(&mut self, from: MadeFrom, analysis: Arc<FlightAnalysis>) {
        if self.analyses.len() >= ANALYSES {
            self.analyses.pop_front();
        }
        self.analyses.push_back((from, analysis));
    }

    /// The windows of these files, if they are there still.
    pub(crate) fn summary(&self, from: &str) -> Option<FlightSummary> {
        self.summaries.get(from).cloned()
    }

    pub(crate) fn keep_summary(&mut self, from: MadeFrom, summary: FlightSummary) {
        if self.summaries.len() >= SUMMARIES {
            self.summaries.clear();
        }
        self.summaries.insert(from, summary);
    }
}
