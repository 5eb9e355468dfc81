use super::*;
use crate::testing::{mark, track};

fn paired(marks: Vec<Mark>) -> (Vec<HandsOffSpan>, Vec<&'static str>) {
    let track = Track { marks, ..track(600) };
    let mut problems = Problems::default();
    let spans = pair_marks(&track, &mut problems);
    (spans, problems.into_vec().into_iter().map(|p| p.code).collect())
}

fn times(spans: &[HandsOffSpan]) -> Vec<(f64, f64)> {
    spans.iter().map(|s| (s.let_go_s, s.take_over_s)).collect()
}

#[test]
fn let_go_and_take_over_make_a_span_with_the_scenario_of_either() {
    let (spans, codes) = paired(vec![
        mark(100, "Let go trim-level"),
        mark(130, "photo"),
        mark(160, "take over"),
        mark(300, "LET-GO"),
        mark(350, "take_over power-off glide"),
    ]);
    assert_eq!(times(&spans), [(100.0, 160.0), (300.0, 350.0)]);
    assert_eq!(spans[0].scenario, Some(Scenario::TrimLevel));
    assert_eq!(spans[1].scenario, Some(Scenario::PowerOffGlide));
    assert_eq!(spans[0].origin, Origin::Marked);
    assert!(codes.is_empty(), "{codes:?}");
}

#[test]
fn of_two_let_gos_in_a_row_the_later_counts_and_a_word_is_said() {
    let (spans, codes) = paired(vec![mark(100, "let go"), mark(200, "let go"), mark(260, "take over")]);
    assert_eq!(times(&spans), [(200.0, 260.0)]);
    assert_eq!(codes, ["mark-doubled-let-go"]);
}

#[test]
fn one_press_written_twice_is_one_mark() {
    let (spans, codes) =
        paired(vec![mark(100, "let go"), mark(101, "let go"), mark(160, "take over"), mark(161, "take over")]);
    assert_eq!(times(&spans), [(100.0, 160.0)]);
    assert!(codes.is_empty(), "{codes:?}");
}

#[test]
fn unpaired_marks_are_reported_and_make_no_span() {
    let (spans, codes) = paired(vec![mark(100, "take over"), mark(200, "let go"), mark(260, "take over")]);
    assert_eq!((times(&spans), codes), (vec![(200.0, 260.0)], vec!["mark-unpaired-take-over"]));
    let (spans, codes) = paired(vec![mark(500, "let go")]);
    assert_eq!((times(&spans), codes), (vec![], vec!["mark-unpaired-let-go"]));
}

#[test]
fn swapped_marks_are_reported_as_such() {
    let (spans, codes) = paired(vec![mark(100, "take over"), mark(160, "let go")]);
    assert!(spans.is_empty());
    assert!(codes.contains(&"mark-reversed"), "{codes:?}");
}

#[test]
fn spans_outside_the_log_are_left_out_and_those_over_its_edge_are_cut() {
    let (spans, codes) =
        paired(vec![mark(-50, "let go"), mark(30, "take over"), mark(900, "let go"), mark(960, "take over")]);
    assert_eq!(times(&spans), [(0.0, 30.0)]);
    assert_eq!(codes, ["mark-outside-log"]);
}

#[test]
fn a_scenario_nobody_knows_is_noted() {
    let (spans, codes) = paired(vec![mark(100, "let go aerobatics"), mark(160, "take over")]);
    assert_eq!(spans[0].scenario, None);
    assert_eq!(codes, ["mark-unknown-scenario"]);
}

/// A mark of the right time on the wrong day reads as if it lay inside, unless the day is said.
#[test]
fn regression_a_window_outside_the_log_is_told_with_its_date() {
    const DAY_S: i64 = 86_400;
    let track = Track { marks: vec![mark(100 - DAY_S, "let go"), mark(160 - DAY_S, "take over")], ..track(600) };
    let mut problems = Problems::default();
    assert!(pair_marks(&track, &mut problems).is_empty());
    // Second 1 780 000 000 of Unix time is 2026-05-28 20:26:40 UTC.
    assert_eq!(
        problems.into_vec()[0].message,
        "the marked window from 2026-05-27 20:28:20 UTC lies outside the log, which runs from 2026-05-28 20:26:40 UTC to \
         2026-05-28 20:36:40 UTC"
    );
}
