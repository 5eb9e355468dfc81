//! Log against stopwatch on the same runs.

use super::runs::DoublyTimed;
use driftless_statistics::agreement::{Agreement, agreement};

/// How far log and stopwatch agree.
#[derive(Debug, Clone, PartialEq)]
pub struct LogAgainstStopwatch {
    /// The runs that were measured both ways.
    pub runs: Vec<DoublyTimed>,
    /// Log less stopwatch, °/s, by size of turn; `None` with a single run.
    pub result: Option<Agreement>,
}

/// Compares them; `None` when no run was measured both ways.
pub(super) fn log_against_stopwatch(runs: Vec<DoublyTimed>) -> Option<LogAgainstStopwatch> {
    if runs.is_empty() {
        return None;
    }
    // By size: a watch that is read late makes left and right turns alike too slow.
    let sized = |run: &DoublyTimed| {
        let mut pair = (run.log_deg_s, run.stopwatch_deg_s);
        if pair.1.value < 0.0 {
            pair.0.value = -pair.0.value;
            pair.1.value = -pair.1.value;
        }
        pair
    };
    let pairs: Vec<_> = runs.iter().map(sized).collect();
    Some(LogAgainstStopwatch { result: agreement(&pairs).ok(), runs })
}
