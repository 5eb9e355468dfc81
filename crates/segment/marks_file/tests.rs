use super::*;
use crate::testing::{epoch, track};
use proptest::prelude::*;

fn parsed(text: &str) -> Result<Vec<MarksRow>, MarksError> {
    parse(text, &InputLimits::default())
}

fn fault(text: &str) -> (u64, String) {
    let error = parsed(text).expect_err("must be refused");
    (error.line, error.to_string())
}

#[test]
fn rows_are_read_in_both_time_forms_and_any_column_order() {
    let rows = parsed(
        "\u{feff}# campaign of May\nscenario,Let go,take_over,note,setup\n\
         trim-level,2026-05-01T08:30:00+02:00,2026-05-01T06:31:00.5Z,\"calm, warm\",frame A\n\
         \n,,,,\nFull Power Climb, 120 ,185.5,,\n",
    )
    .expect("a good file");
    assert_eq!(rows.len(), 2);
    let MarkTime::Utc(let_go) = rows[0].let_go else { panic!("a moment") };
    assert_eq!(let_go.to_rfc3339(), "2026-05-01T06:30:00+00:00");
    assert_eq!(rows[0].scenario, Some(Scenario::TrimLevel));
    assert_eq!(rows[0].setup.as_deref(), Some("frame A"));
    assert_eq!(rows[0].note.as_deref(), Some("calm, warm"));
    assert_eq!((rows[1].let_go, rows[1].take_over), (MarkTime::FromFirstFix(120.0), MarkTime::FromFirstFix(185.5)));
    assert_eq!(rows[1].scenario, Some(Scenario::FullPowerClimb));
    assert_eq!((&rows[1].setup, &rows[1].note), (&None, &None));
}

#[test]
fn semicolons_and_missing_optional_columns_are_understood() {
    let rows = parsed("let_go;take_over\n10;70\n").expect("a good file");
    assert_eq!(rows[0].take_over, MarkTime::FromFirstFix(70.0));
}

#[test]
fn an_unknown_scenario_is_refused_with_its_line_and_the_names() {
    let (line, words) = fault("let_go,take_over,scenario\n10,70,trim-level\n100,170,loop\n");
    assert_eq!(line, 3);
    assert!(words.contains("\"loop\""), "{words}");
    for scenario in Scenario::ALL {
        assert!(words.contains(scenario.name()), "{words}");
    }
}

#[test]
fn faults_name_their_line_and_what_stands_there() {
    for (text, line, part) in [
        ("", 1, "empty"),
        ("let_go,scenario\n1,trim-level\n", 1, "\"take_over\""),
        ("let_go,take_over,pilot\n", 1, "\"pilot\""),
        ("let_go,take_over,let_go\n", 1, "twice"),
        ("let_go,take_over\n10,70\nnoon,80\n", 3, "\"noon\""),
        ("let_go,take_over\n10,\n", 2, "take_over \"\""),
        ("let_go,take_over\n10,NaN\n", 2, "\"NaN\""),
        ("let_go,take_over\n2026-05-01T06:30:00,2026-05-01T06:31:00\n", 2, "time with zone"),
        ("let_go,take_over\n70,10\n", 2, "not after"),
        ("let_go,take_over\n10,2026-05-01T06:31:00Z\n", 2, "both"),
    ] {
        let (at, words) = fault(text);
        assert_eq!(at, line, "{words}");
        assert!(words.contains(part), "{words}");
    }
}

#[test]
fn seconds_count_from_the_first_fix_and_moments_from_the_clock() {
    let rows = parsed(&format!(
        "let_go,take_over\n100,160\n{},{}\n",
        (epoch() + chrono::TimeDelta::seconds(300)).to_rfc3339(),
        (epoch() + chrono::TimeDelta::seconds(360)).to_rfc3339()
    ))
    .expect("a good file");
    // The first fix was dropped: the track begins four seconds later.
    let first_fix = epoch() - chrono::TimeDelta::seconds(4);
    let mut problems = Problems::default();
    let placed = place(&rows, first_fix, &track(600), &mut problems);
    let times: Vec<_> = placed.iter().map(|s| (s.let_go_s, s.take_over_s)).collect();
    assert_eq!(times, [(96.0, 156.0), (300.0, 360.0)]);
    assert!(problems.is_empty());
}

#[test]
fn overlapping_rows_are_reported_and_the_later_left_out() {
    let rows = parsed("let_go,take_over\n100,160\n150,220\n300,360\n").expect("a good file");
    let mut problems = Problems::default();
    let placed = place(&rows, epoch(), &track(600), &mut problems);
    assert_eq!(placed.len(), 2);
    let problems = problems.into_vec();
    assert_eq!(problems[0].code, "mark-overlap");
    assert!(problems[0].message.contains(" UTC begins before the one before it ends"), "{}", problems[0].message);
    assert!(problems[0].message.contains(':'), "the time of the window left out: {}", problems[0].message);
}

proptest! {
    #[test]
    fn any_text_is_read_or_refused_without_panic(text in "\\PC{0,200}") {
        let _ = parsed(&text);
        let _ = parsed(&format!("let_go,take_over,scenario,setup,note\n{text}\n1,2,,,"));
    }

    #[test]
    fn seconds_come_back_as_written(start in 0.0..1e5f64, length in 0.1..1e4f64) {
        let end = start + length;
        let rows = parsed(&format!("let_go,take_over\n{start},{end}\n")).expect("a good file");
        prop_assert_eq!(rows[0].let_go, MarkTime::FromFirstFix(start));
        prop_assert_eq!(rows[0].take_over, MarkTime::FromFirstFix(end));
    }
}

#[test]
fn regression_seconds_that_no_log_reaches_are_refused_with_their_place() {
    for (text, days) in [("1e13", "115740741 days"), ("1778737320", "20587 days"), ("-2600000", "30 days")] {
        let error = parsed(&format!("let_go,take_over\n1,2\n300,{text}\n")).unwrap_err();
        assert_eq!(error.line, 3);
        let words = error.to_string();
        assert!(words.contains(text) && words.contains(days) && words.contains("first fix"), "{words}");
    }
    assert!(parsed("let_go,take_over\n-5,90000\n").is_ok());
}

#[test]
fn limits_hold_to_the_last_row_and_character() {
    let text = format!("let_go,take_over,note\n1,2,{}\n3,4,x\n", "x".repeat(10));
    for (limit, at) in [(InputLimit::Runs, 2), (InputLimit::NameCharacters, 10)] {
        for (allowed, holds) in [(at - 1, false), (at, true), (at + 1, true)] {
            let read = parse(&text, &InputLimits::default().with(limit, allowed));
            assert_eq!(read.is_ok(), holds, "{limit:?} {allowed}: {read:?}");
        }
    }
    let over = parse(&text, &InputLimits::default().with(InputLimit::Runs, 1)).expect_err("a row too many");
    assert!(over.to_string().starts_with("marks file, line 3: more than 1 "), "{over}");
}
