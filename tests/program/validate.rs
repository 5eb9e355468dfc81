//! `driftless validate`: tables on standard output, a page with charts where asked for.

use crate::run::Place;

const SMALL: [&str; 8] = ["validate", "--seeds", "tuning", "--windows", "8", "--classes", "light", "--studies"];

fn with<'a>(more: &[&'a str]) -> Vec<&'a str> {
    SMALL.iter().copied().chain(more.iter().copied()).collect()
}

#[test]
fn tables_are_printed_and_no_file_is_written() {
    let place = Place::new();
    let before = place.names();
    let ran = place.run(&with(&["reference,published", "--jobs", "1"])).expect_code(0);
    assert!(ran.stdout.contains("rms error, °/s") && ran.stdout.contains("light"), "{}", ran.stdout);
    assert!(ran.stdout.contains("figures met"), "{}", ran.stdout);
    assert!(!ran.stdout.contains("moderate  |"), "only the class asked for");
    assert_eq!(place.names(), before);
    let again = place.run(&with(&["reference,published", "--jobs", "2"])).expect_code(0);
    assert_eq!(ran.stdout, again.stdout, "threads change nothing");
}

#[test]
fn a_page_keeps_its_words_and_gets_its_tables_and_charts() {
    let place = Place::new();
    std::fs::create_dir(place.path("docs")).expect("a folder");
    place.with(
        "docs/validation.md",
        "# Words\n\n<!-- made: published -->\nold\n<!-- end: published -->\n\nMore words.\n",
    );
    place.run(&with(&["reference,published", "--out", "docs"])).expect_code(0);
    let page = place.read("docs/validation.md");
    assert!(page.starts_with("# Words\n") && page.contains("\nMore words.\n") && !page.contains("\nold\n"));
    assert!(page.contains("Gray") && page.contains("TUNING seeds"));
    let chart = "images/validation-coverage-turn.svg";
    assert!(page.contains(chart) && place.read(&format!("docs/{chart}")).starts_with("<svg"));

    place.with("docs/validation.md", "<!-- made: reference -->\n");
    let ran = place.run(&with(&["reference", "--out", "docs"])).expect_code(2);
    assert!(ran.stderr.contains("validation.md") && ran.stderr.contains("<!-- end: reference -->"), "{}", ran.stderr);
}

/// A run of one part fills its own places and leaves the others, with what made them, as they are.
#[test]
fn the_inertial_part_of_a_page_says_how_it_was_made() {
    let place = Place::new();
    std::fs::create_dir(place.path("docs")).expect("a folder");
    place.with(
        "docs/validation.md",
        "<!-- made: made-by -->\nearlier\n<!-- end: made-by -->\n\n<!-- made: inertial-lengths -->\n<!-- end: inertial-lengths -->\n",
    );
    let ran = place.run(&with(&["inertial", "--inertial-flights", "2", "--out", "docs"])).expect_code(0);
    assert!(ran.stdout.contains("GPS alone") && ran.stdout.contains("clock offset"), "{}", ran.stdout);
    let page = place.read("docs/validation.md");
    assert!(page.starts_with(
        "<!-- made: made-by -->\nearlier\n<!-- end: made-by -->\n\n<!-- made: inertial-lengths -->\n| window"
    ));
    assert!(page.contains("2 flights in each class of air for windows of 10 s and of 60 s, TUNING seeds"), "{page}");
    assert!(page.contains("| verdict"), "{page}");
    let chart = "images/validation-inertial-lengths.svg";
    assert!(page.contains(chart) && place.read(&format!("docs/{chart}")).starts_with("<svg"));
}
