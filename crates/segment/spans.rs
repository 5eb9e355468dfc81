//! From marked spans, or from candidates where nothing is marked, to the spans of windows.

use crate::candidates::find_candidates;
use crate::constants::CANDIDATE_MARGIN_S;
use crate::transient::{steady_span, time_constant_s};
use crate::{HandsOffSpan, Limits, Origin, Signals, WindowSpan};

/// The spans of the windows of a flight, in time order. `free` is of the estimate that knows of no windows.
///
/// What somebody marked goes first; only a flight without any usable mark is searched for candidates.
pub fn window_spans(free: &Signals, marked: &[HandsOffSpan], limits: &Limits) -> Vec<WindowSpan> {
    if marked.is_empty() { found(free, limits) } else { confirmed(free, marked, limits) }
}

fn confirmed(signals: &Signals, marked: &[HandsOffSpan], limits: &Limits) -> Vec<WindowSpan> {
    let tau_s = time_constant_s(signals, marked, limits);
    marked
        .iter()
        .map(|span| {
            let (start_s, end_s) = steady_span(span.let_go_s, span.take_over_s, tau_s, limits);
            WindowSpan { whole: span.clone(), start_s, end_s }
        })
        .collect()
}

fn found(signals: &Signals, limits: &Limits) -> Vec<WindowSpan> {
    let mut free_from_s = f64::NEG_INFINITY;
    find_candidates(signals, limits)
        .into_iter()
        .map(|candidate| {
            let take_over_s = candidate.end_s;
            // The turn rate changes most where the change point lies, about one time constant after let-go.
            let let_go_s = (candidate.start_s - limits.default_time_constant_s).max(free_from_s);
            free_from_s = take_over_s;
            let (start_s, end_s) = steady_span(let_go_s, take_over_s, limits.default_time_constant_s, limits);
            WindowSpan {
                whole: HandsOffSpan {
                    let_go_s,
                    take_over_s,
                    origin: Origin::Found,
                    scenario: None,
                    setup: None,
                    note: None,
                },
                start_s: start_s.max(candidate.start_s + CANDIDATE_MARGIN_S.value),
                end_s: end_s.min(take_over_s - CANDIDATE_MARGIN_S.value),
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{signals, wiggle};

    /// Where the turn settles at once, a candidate still loses what the estimate smooths over, at either end.
    #[test]
    fn derived_a_candidate_loses_its_margin_at_either_end() {
        let flight = |t_s: f64| [if (60.0..160.0).contains(&t_s) { 3.0 } else { 10.0 } + 0.3 * wiggle(t_s), 10.5, 0.0];
        let limits = Limits { default_time_constant_s: 0.1, take_over_margin_s: 0.1, ..Limits::default() };
        let signals = signals(220, flight);
        let candidate = find_candidates(&signals, &limits)[0];
        let window = &window_spans(&signals, &[], &limits)[0];
        assert_eq!(window.start_s, candidate.start_s + CANDIDATE_MARGIN_S.value);
        assert_eq!(window.end_s, candidate.end_s - CANDIDATE_MARGIN_S.value);
    }
}
