//! `driftless campaign new`, and faults of a campaign file as a person sees them.

use crate::campaign::SMALL;
use crate::run::Place;

#[test]
fn a_new_file_is_written_once_and_reads() {
    let place = Place::new();
    let ran = place.run(&["campaign", "new", "club.toml"]).expect_code(0);
    assert_eq!(ran.stdout, "club.toml\n");
    assert!(place.read("club.toml").contains("[setups.bare]"));
    place.with("club.toml", "hours of writing");
    let again = place.run(&["campaign", "new", "club.toml"]).expect_code(2);
    assert!(again.stderr.contains("is there already"), "{}", again.stderr);
    assert_eq!(place.read("club.toml"), "hours of writing");
    assert!(place.run(&["campaign", "new", "-"]).expect_code(0).stdout.starts_with("# A campaign file"));
}

#[test]
fn every_fault_is_shown_at_its_line_with_excerpt_and_advice() {
    let place = Place::new();
    let faulty = SMALL.replacen("reduction_ratio", "reduction", 1).replacen("setup = \"bare\"", "setup = \"bear\"", 1);
    place.with("faulty.toml", faulty);
    let ran = place.run(&["compare", "faulty.toml"]).expect_code(2);
    assert_eq!(ran.stdout, "");
    for words in [
        "faulty.toml:3:1: unknown key `reduction` in power unit \"tarn\"",
        "3 | reduction = 2.87",
        "did you mean `reduction_ratio`?",
        "there is no set-up \"bear\"",
        "did you mean `bare`?",
    ] {
        assert!(ran.stderr.contains(words), "{words}\n{}", ran.stderr);
    }
    assert!(!ran.stderr.contains("panicked"));
}

#[test]
fn a_missing_log_is_a_fault_of_the_file() {
    let place = Place::new();
    place.with("flight-one.igc", "x");
    place.with("missing.toml", format!("{SMALL}[[flights]]\nlog = \"flight-on.igc\"\nsetup = \"bare\"\n"));
    let ran = place.run(&["compare", "missing.toml"]).expect_code(2);
    assert!(ran.stderr.contains("there is no file flight-on.igc"), "{}", ran.stderr);
    assert!(ran.stderr.contains("did you mean `flight-one.igc`?"), "{}", ran.stderr);
}

#[test]
fn the_campaign_file_is_never_written_over() {
    let place = Place::new();
    place.with("small.toml", SMALL);
    place.run(&["compare", "small.toml", "--format", "json", "-o", "small.toml"]).expect_code(2);
    place.run(&["plan", "small.toml", "-o", "small.toml"]).expect_code(2);
    assert_eq!(place.read("small.toml"), SMALL);
}

#[test]
fn a_campaign_is_read_from_standard_input() {
    let place = Place::new();
    let ran = place.run_with_stdin(&["compare", "-", "--format", "json"], SMALL.into()).expect_code(0);
    assert!(ran.stdout.contains("driftless/campaign-report/1"));
}
