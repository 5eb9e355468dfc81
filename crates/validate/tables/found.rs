//! What was found without marks, and what was refused.

use super::{Table, covered, error_rms, of_variant, percent, strings, with_error};
use crate::run::StudyScore;
use crate::statistics::{median, share};
use crate::study::Variant;
use crate::unmarked::Candidate;
use driftless_display::reasons::heading;

/// Flights without marks.
pub(super) fn unmarked(scores: &[StudyScore]) -> Table {
    let head = strings([
        "air",
        "windows of 40 s and more",
        "found, %",
        "let-go edge: median distance, s",
        "signed, s",
        "take-over edge: median distance, s",
        "signed, s",
        "candidates accepted",
        "hands off",
        "straight flight, hands on",
        "with a piloted turn",
        "rms error, °/s",
        "in 95 %, %",
    ]);
    let rows = of_variant(scores, Variant::Unmarked)
        .iter()
        .map(|s| {
            let f = s.flights.as_slice();
            let unmarked = || f.iter().filter_map(|f| f.unmarked.as_ref());
            let found: Vec<Vec<bool>> = unmarked().map(|u| u.windows.iter().map(Option::is_some).collect()).collect();
            let edges = || unmarked().flat_map(|u| u.windows.iter().flatten());
            let accepted = |kind| unmarked().flat_map(|u| &u.accepted).filter(|c| **c == kind).count();
            let found = share(&found);
            vec![
                s.study.class.name().to_owned(),
                found.count.to_string(),
                percent(found),
                with_error(median(edges().map(|e| e.let_go_s.abs())), 1),
                with_error(median(edges().map(|e| e.let_go_s)), 1),
                with_error(median(edges().map(|e| e.take_over_s.abs())), 1),
                with_error(median(edges().map(|e| e.take_over_s)), 1),
                unmarked().map(|u| u.accepted.len()).sum::<usize>().to_string(),
                accepted(Candidate::HandsOff).to_string(),
                accepted(Candidate::Straight).to_string(),
                accepted(Candidate::PilotedTurn).to_string(),
                with_error(error_rms(f, |w| w.turn), 4),
                percent(covered(f, |w| w.turn)[0]),
            ]
        })
        .collect();
    Table { name: "unmarked", title: "Flights without marks".to_owned(), head, rows }
}

/// Why windows were refused, most frequent first.
pub(super) fn refusals(scores: &[StudyScore]) -> Table {
    let mut counts: Vec<(String, String, usize)> = Vec::new();
    for s in scores.iter().filter(|s| s.study.variant != Variant::Unmarked) {
        let refused = s.flights.iter().flat_map(|f| &f.windows).filter(|w| !w.accepted);
        for window in refused {
            // Only the first is counted.
            let reason = window.findings.first().map_or("", heading).to_owned();
            let flights = format!("{}, {}", s.study.variant.name(), s.study.class.name());
            match counts.iter_mut().find(|c| c.0 == flights && c.1 == reason) {
                Some(known) => known.2 += 1,
                None => counts.push((flights, reason, 1)),
            }
        }
    }
    let rows = counts.into_iter().map(|(flights, reason, count)| vec![flights, reason, count.to_string()]).collect();
    let head = strings(["flights", "first reason", "windows refused"]);
    Table { name: "refusals", title: "Why windows were refused".to_owned(), head, rows }
}
