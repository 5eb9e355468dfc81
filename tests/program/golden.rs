//! The text report of a demo flight, as a person read and accepted it.

use crate::run::Place;

/// Figures are left out, words and layout stay: a better estimator may move a digit, and that is checked against the
/// truth elsewhere.
#[test]
fn regression_text_report_of_a_demo_flight() {
    let ran = Place::new().run(&["report", "demo-tracks/meadow-light-wind.gpx", "--format", "text"]).expect_code(0);
    for line in ran.stdout.lines() {
        assert!(line.chars().count() <= 80, "wider than the terminal: {line}");
    }
    // One line for each section and row, with runs of digits as "#" and layout that depends on their width removed.
    let mut filtered = String::new();
    for line in ran.stdout.lines() {
        let mut in_number = false;
        let mut blank = false;
        for letter in line.chars() {
            let digit = letter.is_ascii_digit() || (in_number && letter == '.');
            if digit && !in_number {
                filtered.push('#');
            } else if !(digit || blank && letter == ' ' || letter == '−') {
                filtered.push(letter);
            }
            in_number = digit;
            blank = letter == ' ';
        }
        filtered.push('\n');
    }
    let headings: Vec<&str> =
        filtered.lines().filter(|line| line.starts_with("Windows:") || line.starts_with("Cautions")).collect();
    assert_eq!(headings.len(), 2);
    let from_windows = filtered.split_once("Windows:").expect("windows").1;
    let table = from_windows.split_once("\n\n").expect("an end").0;
    insta::assert_snapshot!("windows_of_a_demo_flight", format!("Windows:{table}"));
    insta::assert_snapshot!(
        "cautions",
        filtered.split_once("Cautions\n").expect("cautions").1.split_once("\n\n").expect("an end").0
    );
}
