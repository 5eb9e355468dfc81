//! A file where another command wants one: the message names the command, once.

use crate::campaign::SMALL;
use crate::run::Place;

#[test]
fn a_file_in_the_wrong_place_names_the_right_command() {
    let place = Place::new();
    place.with("club.toml", SMALL);
    let log = "demo-tracks/ridge-five-metres.igc";
    for (arguments, advice) in [
        (vec!["report", "club.toml"], "driftless compare club.toml"),
        (vec!["compare", log], "driftless report demo-tracks/ridge-five-metres.igc"),
        (vec!["plan", log], "driftless report demo-tracks/ridge-five-metres.igc"),
        (vec![log], "driftless report demo-tracks/ridge-five-metres.igc"),
        (vec!["club.toml"], "driftless compare club.toml"),
        (vec!["absent.igc"], "driftless report absent.igc"),
    ] {
        let ran = place.run(&arguments).expect_code(2);
        assert!(ran.stderr.contains(advice), "{arguments:?}: {}", ran.stderr);
        assert_eq!(ran.stderr.matches("error:").count(), 1, "{arguments:?}: {}", ran.stderr);
        assert_eq!(ran.stdout, "", "{arguments:?}");
    }
    let ran = place.run(&["reprot", log]).expect_code(2);
    assert!(ran.stderr.contains("report") && !ran.stderr.contains("no command"), "a misspelt command: {}", ran.stderr);
}

#[test]
fn a_fault_is_told_once_and_by_the_name_that_was_given() {
    let place = Place::new();
    place.with("broken.igc", "this is no log\n");
    place.with("some.toml", format!("{SMALL}[[flights]]\nlog = \"broken.igc\"\nsetup = \"bare\"\n"));
    let ran = place.run(&["compare", "some.toml"]).expect_code(2);
    let said = format!("{}{}", ran.stdout, ran.stderr);
    assert_eq!(said.matches("not a flight log").count(), 1, "{said}");
    place.with("file", "");
    place.with("small.toml", SMALL);
    let ran = place.run(&["compare", "small.toml", "-o", "file/page.html"]).expect_code(2);
    assert!(ran.stderr.contains("file/page.html") && !ran.stderr.contains(".driftless-"), "{}", ran.stderr);
    assert_eq!(ran.stderr.matches("error:").count(), 1, "{}", ran.stderr);
}
