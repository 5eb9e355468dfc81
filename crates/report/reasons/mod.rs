//! Findings and alerts as documents have them: sentences in fixed units, entries with code, figure and limit.

mod alerts;
mod entry;

pub(crate) use alerts::problems;
pub(crate) use entry::FindingEntry;

use driftless_analysis::Verdict;
use driftless_display::DisplayUnits;
use driftless_display::reasons::reasons;

/// All that speaks against a window, as clauses in the units of JSON and CSV.
pub(crate) fn plain_reasons(verdict: &Verdict) -> Vec<String> {
    reasons(verdict, &DisplayUnits::default()).iter().map(|words| words.replace('\u{a0}', " ")).collect()
}
