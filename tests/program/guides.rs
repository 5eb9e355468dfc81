//! The commands in the guides do what they say.

use crate::campaign::copy;
use crate::run::{Place, repository};

/// Command lines in the code blocks of a guide.
fn commands(guide: &str) -> Vec<String> {
    let text = std::fs::read_to_string(repository().join("docs").join(guide)).expect("the guide");
    let mut inside = false;
    let mut commands = Vec::new();
    for line in text.lines() {
        if line.starts_with("```") {
            inside = !inside;
        } else if inside && line.starts_with("driftless ") {
            commands.push(line.trim().to_owned());
        }
    }
    commands
}

#[test]
fn every_command_of_the_guide_to_campaigns_runs() {
    let place = Place::new();
    copy(&repository().join("demo-tracks/campaign"), &place.path("demo-tracks/campaign"));
    let commands = commands("campaigns.md");
    assert_eq!(commands.len(), 5, "{commands:?}");
    for command in commands {
        let arguments: Vec<&str> = command.split_whitespace().skip(1).collect();
        let ran = place.run(&arguments).expect_code(0);
        assert!(!ran.stdout.is_empty() && ran.stderr.is_empty(), "{command}: {}", ran.stderr);
    }
    for made in
        ["question.toml", "demo-tracks/campaign/campaign.report.html", "demo-tracks/campaign/campaign.cards.html"]
    {
        assert!(place.path(made).is_file(), "{made}");
    }
}

/// The guides for a pilot's first flights: every command, in the order of the page.
#[test]
fn every_command_of_the_first_guides_runs() {
    let place = Place::new();
    copy(&repository().join("demo-tracks/campaign"), &place.path("demo-tracks/campaign"));
    for (guide, count) in [("first-ten-minutes.md", 6), ("test-flights.md", 2)] {
        let commands = commands(guide);
        assert_eq!(commands.len(), count, "{guide}: {commands:?}");
        for command in commands {
            let arguments: Vec<&str> = command.split_whitespace().skip(1).collect();
            let ran = place.run(&arguments).expect_code(0);
            assert!(!ran.stdout.is_empty() && ran.stderr.is_empty(), "{command}: {}", ran.stderr);
        }
    }
    for made in ["my-marks.csv", "pictures/turn-rates.svg"] {
        assert!(place.path(made).is_file(), "{made}");
    }
}

/// What the guide quotes from the terminal is what stands there.
#[test]
fn figures_quoted_in_the_first_guide_are_those_of_the_demo() {
    let guide = std::fs::read_to_string(repository().join("docs/first-ten-minutes.md")).expect("the guide");
    let quoted = guide.split_once("\"**").expect("a quotation").1.split_once("**\"").expect("its end").0.to_owned();
    let ran = Place::new().run(&["report", "demo-tracks/ridge-five-metres.igc"]).expect_code(0);
    assert!(ran.stdout.contains(&quoted), "{quoted}: {}", ran.stdout);
}

/// Every page that a guide leads to is there.
#[test]
fn links_between_the_documents_lead_somewhere() {
    let docs = repository().join("docs");
    let mut links = 0;
    for entry in std::fs::read_dir(&docs).expect("docs") {
        let path = entry.expect("an entry").path();
        if path.extension().is_none_or(|end| end != "md") {
            continue;
        }
        let text = std::fs::read_to_string(&path).expect("a page");
        for target in text.split("](").skip(1).filter_map(|rest| rest.split_once(')')).map(|(target, _)| target) {
            let file = target.split('#').next().unwrap_or_default();
            if file.is_empty() || file.contains("://") || file.contains(' ') {
                continue;
            }
            assert!(docs.join(file).exists(), "{}: {target}", path.display());
            links += 1;
        }
    }
    assert!(links > 20, "{links} links");
}

/// Errors by length in the guide to test flights are those of the validation, rounded.
#[test]
fn figures_of_the_guide_to_test_flights_are_those_of_the_validation() {
    let page = |name: &str| std::fs::read_to_string(repository().join("docs").join(name)).expect("a page");
    let cells = |line: &str| line.split('|').map(|cell| cell.trim().to_owned()).collect::<Vec<_>>();
    let lengths = page("validation.md");
    let lengths = lengths.split_once("<!-- made: lengths -->").expect("the table").1.to_owned();
    let rms = |seconds: &str, air: &str| -> f64 {
        let row = lengths.lines().map(cells).find(|row| row.len() > 5 && row[1] == seconds && row[2] == air);
        row.expect("a row")[5].split_whitespace().next().expect("a figure").parse().expect("a number")
    };
    let mut rows = 0;
    for row in page("test-flights.md").lines().map(cells).filter(|row| row.len() == 6 && row[1].ends_with(" s")) {
        let seconds = row[1].trim_end_matches(" s").to_owned();
        for (cell, air) in row[2..5].iter().zip(["still", "light", "moderate"]) {
            assert_eq!(*cell, format!("{:.2} °/s", rms(&seconds, air)), "{seconds} s, {air}");
        }
        rows += 1;
    }
    assert_eq!(rows, 4);
}
