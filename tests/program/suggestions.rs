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
