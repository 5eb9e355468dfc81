//! The demo campaign is made from its description: every scenario, log and timed run remade here, byte for byte.

use driftless_sim::campaign::Description;
use driftless_sim::{Scenario, render};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../demo-tracks/campaign")
}

fn text(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

fn names(folder: &Path) -> BTreeSet<String> {
    let entries = std::fs::read_dir(folder).unwrap();
    entries.map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned()).collect()
}

#[test]
fn the_campaign_is_what_its_description_makes() {
    let folder = folder();
    let description = Description::from_toml(&text(&folder.join("description.toml"))).unwrap();
    let files = description.files().unwrap();
    assert!(files.scenarios.len() >= 20);
    for (inside, made) in [("scenarios", &files.scenarios), ("logs", &files.logs)] {
        for (name, content) in made {
            assert!(text(&folder.join(inside).join(name)) == *content, "{name} is not what the description makes");
        }
        let made: BTreeSet<String> = made.iter().map(|(name, _)| name.clone()).collect();
        assert_eq!(names(&folder.join(inside)), made, "nothing else stands in {inside}");
    }
    assert_eq!(text(&folder.join(&files.sheet.0)), files.sheet.1);
    let bytes: usize = files.logs.iter().chain(&files.scenarios).map(|(_, content)| content.len()).sum();
    assert!(bytes < 6_000_000, "{bytes} bytes are too many to keep");
}

/// The scenario files alone make the logs too: `driftless simulate` on any of them gives the same bytes.
#[test]
fn a_scenario_file_makes_its_log() {
    let folder = folder();
    let name = "vanes-sedgewren-2";
    let scenario = Scenario::from_toml(&text(&folder.join(format!("scenarios/{name}.toml")))).unwrap();
    let files = render(&scenario, scenario.seed).unwrap().files;
    assert_eq!(files.len(), 2);
    for (name, content) in files {
        assert!(text(&folder.join("logs").join(&name)).into_bytes() == content, "{name}");
    }
}

/// Common practice, no source: an uncompensated beginner wing turns about 100, 129 and 245 degrees a minute (trim,
/// accelerated, full power), an advanced one 180 and 360; a full turn cut to a third is 66 to 67 %; a fixed offset takes
/// about 35 % at full power. Ten per cent, for they are round figures.
#[test]
fn derived_demo_turns_are_those_of_the_trade() {
    use driftless_track::Scenario::{AcceleratedLevel, FullPowerClimb, PowerOffGlide, TrimLevel};
    let description = Description::from_toml(&text(&folder().join("description.toml"))).unwrap();
    let turn = |setup, wing, scenario| description.true_turn(setup, wing, scenario).unwrap().deg_min();
    for (wing, scenario, deg_min) in [
        ("fenlark", TrimLevel, 100.0),
        ("fenlark", AcceleratedLevel, 129.0),
        ("fenlark", FullPowerClimb, 245.0),
        ("sedgewren", TrimLevel, 180.0),
        ("sedgewren", AcceleratedLevel, 360.0),
        ("sedgewren", FullPowerClimb, 360.0),
    ] {
        let bare = turn("bare", wing, scenario);
        assert!((bare / -deg_min - 1.0).abs() < 0.1, "{wing} {scenario:?}: {bare}");
        let taken = 100.0 * (1.0 - turn("vanes", wing, scenario) / bare);
        assert!((66.0..67.0).contains(&taken), "{taken}");
    }
    let at_full_power = 1.0 - turn("offset-15", "fenlark", FullPowerClimb) / turn("bare", "fenlark", FullPowerClimb);
    assert!((0.31..0.39).contains(&at_full_power), "{at_full_power}");
    assert_eq!(turn("bare", "sedgewren", PowerOffGlide), 0.0);
    assert!(turn("offset-15", "sedgewren", PowerOffGlide) > 180.0);
}

#[test]
fn a_description_that_does_not_hang_together_names_the_sortie() {
    let good = text(&folder().join("description.toml"));
    for (from, to, words) in [
        ("wing = \"fenlark\"\ntimed_by", "wing = \"fen\"\ntimed_by", "sorties[0].wing"),
        ("day = \"thursday\"", "day = \"monday\"", "sorties[0].day"),
        ("setup = \"bare\"\n", "setup = \"bear\"\n", "sorties[0].setup"),
        ("setup = \"bare\"\nwing = \"fenlark\"\nweight", "setup = \"vanes\"\nwing = \"fenlark\"\nweight", "weight"),
    ] {
        let broken = good.replacen(from, to, 1);
        assert_ne!(broken, good, "{from}");
        let error = Description::from_toml(&broken).unwrap().scenarios().unwrap_err().to_string();
        assert!(error.contains(words), "{error}");
    }
}
