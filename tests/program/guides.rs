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
