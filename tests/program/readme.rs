//! The commands in README.md do what README.md says.

use crate::run::{Place, repository};

/// Command lines in the code blocks of README.md.
fn commands() -> Vec<String> {
    let readme = std::fs::read_to_string(repository().join("README.md")).expect("README.md");
    let mut inside = false;
    let mut commands = Vec::new();
    for line in readme.lines() {
        if line.starts_with("```") {
            inside = !inside;
        } else if inside && line.starts_with("cargo ") {
            commands.push(line.trim().to_owned());
        }
    }
    commands
}

#[test]
fn there_are_three_commands_the_second_is_the_test_and_the_third_the_page() {
    let commands = commands();
    assert_eq!(commands.len(), 3, "{commands:?}");
    assert_eq!(commands[1], "cargo test --workspace");
    assert_eq!(commands[2], "cargo run --release -- serve");
}

/// The command as written but for `cargo run --release --`, which `.ci/run` runs as it stands.
#[test]
fn the_first_command_reports_a_demo_track_and_says_where() {
    let command = commands().remove(0);
    let arguments = command.strip_prefix("cargo run --release -- ").expect("a cargo run command");
    let place = Place::new();
    let ran = place.run(&arguments.split_whitespace().collect::<Vec<_>>()).expect_code(0);
    let path = ran.stdout.lines().find_map(|line| line.strip_prefix("Report with charts: ")).expect("the path");
    assert!(place.read(path).contains("<html"), "{path}");
}

/// The chart in README.md is that of its first command. To make it anew:
/// `cargo run --release -- report demo-tracks/ridge-five-metres.igc --charts docs/images` and keep that file alone.
#[test]
fn the_picture_shows_what_the_first_command_reports() {
    let place = Place::new();
    place.run(&["report", "demo-tracks/ridge-five-metres.igc", "--charts", "charts"]).expect_code(0);
    let picture = std::fs::read_to_string(repository().join("docs/images/turn-rates.svg")).expect("the picture");
    for part in ["title", "desc"] {
        let of = |svg: &str| {
            let from = svg.split_once(&format!("<{part} ")).expect("its start").1;
            from.split_once(&format!("</{part}>")).expect("its end").0.to_owned()
        };
        assert_eq!(
            of(&place.read("charts/turn-rates.svg")),
            of(&picture),
            "docs/images/turn-rates.svg is not of today"
        );
    }
}
