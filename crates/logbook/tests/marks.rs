//! Corrections of marks: a tree that only grows.

mod common;

use common::{add, logbook, mark, now, text};
use driftless_analysis::{InputLimits, marks_file};
use driftless_logbook::{FlightId, Logbook};

fn at(logbook: &Logbook, flight: FlightId) -> Option<String> {
    let history = logbook.history(flight).expect("there");
    let current: Vec<_> = history.into_iter().filter(|correction| correction.current).collect();
    assert!(current.len() <= 1);
    current.into_iter().next().map(|correction| correction.what)
}

#[test]
fn undoing_goes_to_the_parent_and_redoing_to_the_newest_child() {
    let (mut logbook, id) = logbook();
    let flight = add(&mut logbook, id, "evening.igc");
    assert_eq!((logbook.undo(flight), logbook.redo(flight), logbook.marks(flight)), (Ok(false), Ok(false), Ok(None)));
    logbook.correct(flight, &[mark(0)], "a", now()).expect("corrected");
    logbook.correct(flight, &[mark(0), mark(100)], "a b", now()).expect("corrected");
    logbook.correct(flight, &[], "a b c", now()).expect("corrected");
    assert_eq!(logbook.marks(flight), Ok(Some(Vec::new())), "no windows at all is something that can be said");
    assert_eq!(logbook.undo(flight), Ok(true));
    assert_eq!(logbook.marks(flight), Ok(Some(vec![mark(0), mark(100)])));
    assert_eq!(logbook.undo(flight), Ok(true));
    // Another branch; the first is kept.
    logbook.correct(flight, &[mark(7)], "a d", now()).expect("corrected");
    assert_eq!(logbook.redo(flight), Ok(false));
    let steps = [("undo", Some("a")), ("undo", None), ("redo", Some("a")), ("redo", Some("a d"))];
    for (step, what) in steps {
        let done = if step == "undo" { logbook.undo(flight) } else { logbook.redo(flight) };
        assert_eq!((done, at(&logbook, flight).as_deref()), (Ok(true), what), "{step}");
    }
    let history = logbook.history(flight).expect("there");
    let whats: Vec<&str> = history.iter().map(|correction| correction.what.as_str()).collect();
    assert_eq!(whats, ["a", "a b", "a b c", "a d"], "nothing is deleted");
    let parents: Vec<_> = history.iter().map(|correction| correction.parent).collect();
    assert_eq!(parents, [None, Some(history[0].id), Some(history[1].id), Some(history[0].id)]);
    assert_eq!(history[0].at, now());
    assert_eq!(logbook.check(), Ok(Vec::new()));
}

#[test]
fn corrected_marks_stand_in_for_those_given_and_go_again() {
    let (mut logbook, id) = logbook();
    let mut files = common::log("evening.igc", b"evening");
    files.marks = text("given.csv", "let_go,take_over\n10,80\n");
    let flight = logbook.add_flight(id, &files, now()).expect("added").flight;
    let marks = |logbook: &Logbook| logbook.flight_files(flight).expect("files").marks;
    assert_eq!(marks(&logbook), files.marks);
    logbook.correct(flight, &[mark(0), mark(61)], "by hand", now()).expect("corrected");
    let text = marks(&logbook).expect("marks").text;
    let rows = marks_file::parse(&text, &InputLimits::default()).expect("a marks file");
    let times: Vec<_> = rows.iter().map(|row| (row.let_go, row.scenario, row.note.clone())).collect();
    let wanted = |mark: driftless_logbook::MarkRow| (marks_file::MarkTime::Utc(mark.let_go), mark.scenario, mark.note);
    assert_eq!(times, [wanted(mark(0)), wanted(mark(61))]);
    logbook.undo(flight).expect("undone");
    assert_eq!(marks(&logbook), files.marks);
}

#[test]
fn a_window_that_ends_before_it_begins_is_refused_and_nothing_is_kept_of_it() {
    let (mut logbook, id) = logbook();
    let flight = add(&mut logbook, id, "evening.igc");
    let mut wrong = mark(0);
    wrong.take_over = wrong.let_go;
    let refused = logbook.correct(flight, &[mark(-100), wrong], "wrong", now()).expect_err("refused").to_string();
    assert!(refused.contains("before it begins"), "{refused}");
    assert_eq!((logbook.history(flight), logbook.marks(flight)), (Ok(Vec::new()), Ok(None)));
}
