//! Campaigns as they come: a useful answer or a clear refusal each time.

use crate::campaign::{SMALL, with_demo_campaign};
use crate::run::Place;
use serde_json::Value;

fn document(place: &Place, name: &str, code: i32) -> Value {
    let ran = place.run(&["compare", name, "--format", "json"]).expect_code(code);
    serde_json::from_str(&ran.stdout).expect("a document")
}

fn has_alert(document: &Value, code: &str) -> bool {
    document["alerts"].as_array().expect("alerts").iter().any(|alert| alert["code"] == code)
}

/// The common practice that a full turn cut to a third is 66 to 67 %, by stopwatch: 18 s and 54 s for a quarter turn.
#[test]
fn common_practice_two_thirds_by_stopwatch() {
    let place = Place::new();
    place.with("small.toml", SMALL);
    let document = document(&place, "small.toml", 0);
    let of = &document["compensation"][0];
    let (percent, low, high) = (of["percent"].as_f64(), of["low95"].as_f64(), of["high95"].as_f64());
    assert!(percent.is_some_and(|percent| (65.5..67.5).contains(&percent)), "{of}");
    assert!(low.is_some_and(|low| low < 66.0) && high.is_some_and(|high| high > 67.0), "{of}");
}

#[test]
fn one_run_per_cell() {
    let place = Place::new();
    with_demo_campaign(&place);
    let text = place.read("campaign/campaign.toml");
    let (head, _) = text.split_once("[[flights]]").expect("flights");
    let head = head.replace("sheets = [\"stopwatch.csv\"]\n", "");
    let flight = |name: &str, setup: &str| {
        format!("[[flights]]\nlog = \"logs/{name}.igc\"\nsetup = \"{setup}\"\nwing = \"fenlark\"\n")
    };
    let file = "campaign/single.toml";
    place.with(file, head + &flight("bare-fenlark-1", "bare") + &flight("vanes-fenlark-1", "vanes"));
    let document = document(&place, file, 0);
    assert!(has_alert(&document, "single-runs"), "{}", document["alerts"]);
    for cell in document["cells"].as_array().expect("cells") {
        assert_eq!(cell["runs"], 1);
        assert!(cell["between_run_sd_deg_s"].is_null());
    }
    let trim = &document["compensation"][0];
    assert!(trim["resolvable"] == true && trim["low95"].is_number(), "{trim}");
}

#[test]
fn a_missing_baseline_is_a_fault_with_advice_or_a_wish() {
    let place = Place::new();
    place.with("gone.toml", SMALL.replace("baseline = \"bare\"\n", ""));
    let ran = place.run(&["compare", "gone.toml"]).expect_code(2);
    assert!(ran.stderr.contains("gone.toml:9:9: set-up \"vanes\" has no baseline"), "{}", ran.stderr);
    assert!(ran.stderr.contains("add a line baseline = \"bare\""), "{}", ran.stderr);
    assert!(!place.path("gone.report.html").exists());

    place.with("none.toml", SMALL.replace("baseline = \"bare\"", "baseline = \"none\""));
    let document = document(&place, "none.toml", 0);
    assert!(has_alert(&document, "no-baseline"), "{}", document["alerts"]);
    assert_eq!(document["compensation"].as_array().map(Vec::len), Some(0));
    assert_eq!(document["cells"].as_array().map(Vec::len), Some(2), "the residual turns are there");
}

#[test]
fn a_baseline_that_was_not_flown() {
    let place = Place::new();
    let (head, runs) = SMALL.split_once("[[stopwatch]]").expect("runs");
    let with_device: Vec<&str> = runs.split("[[stopwatch]]").filter(|run| run.contains("\"vanes\"")).collect();
    place.with("unflown.toml", format!("{head}[[stopwatch]]{}", with_device.join("[[stopwatch]]")));
    let document = document(&place, "unflown.toml", 0);
    assert!(has_alert(&document, "baseline-not-flown"), "{}", document["alerts"]);
    assert_eq!(document["cells"].as_array().map(Vec::len), Some(1));
}

#[test]
fn a_baseline_near_zero() {
    let place = Place::new();
    // 10° in about a minute, 0.17 °/s, once this way and once that; and the landmark is good to 5°.
    let still = SMALL
        .replace("setup = \"bare\"\nscenario", "setup = \"bare\"\ndegrees = 10\nscenario")
        .replace("18.1", "60")
        .replace("17.6\nturned = \"left\"", "45\nturned = \"right\"")
        .replace("18.4", "80");
    place.with("still.toml", still);
    let document = document(&place, "still.toml", 0);
    let of = &document["compensation"][0];
    assert!(of["resolvable"] == false && of["percent"].is_null() && of["low95"].is_null(), "{of}");
    assert!(of["statement"].as_str().is_some_and(|words| words.contains("no percentage can be given")), "{of}");
    assert!(of["residual"]["value_deg_s"].as_f64().is_some_and(|turn| (turn + 1.66).abs() < 0.05), "{of}");
}

#[test]
fn contradictory_repeats() {
    let place = Place::new();
    place.with("torn.toml", SMALL.replace("17.6", "40"));
    let document = document(&place, "torn.toml", 0);
    assert!(has_alert(&document, "repeats-differ"), "{}", document["alerts"]);
    let turn = &document["cells"][0]["turn_rate"];
    let width = turn["high95_deg_s"].as_f64().expect("high") - turn["low95_deg_s"].as_f64().expect("low");
    // Two runs of -5.1 and -2.3 °/s, and hardly anything else to go by: days that differ so much are rare, and believed.
    assert!(width > 2.0, "as wide as the repeats demand: {turn}");
}

#[test]
fn no_runs_at_all() {
    let place = Place::new();
    place.run(&["campaign", "new"]).expect_code(0);
    let ran = place.run(&["compare", "campaign.toml", "--format", "text"]).expect_code(1);
    assert!(ran.stdout.contains("Nothing can be compared"), "{}", ran.stdout);
}

/// A log that is no log: the rest is compared, the page says so, and the exit code tells.
#[test]
fn a_broken_log_among_good_runs() {
    let place = Place::new();
    place.with("broken.igc", "this is no log\n");
    place.with("some.toml", format!("{SMALL}[[flights]]\nlog = \"broken.igc\"\nsetup = \"bare\"\n"));
    let ran = place.run(&["compare", "some.toml", "--format", "json"]).expect_code(2);
    assert!(ran.stderr.contains("broken.igc"), "{}", ran.stderr);
    let document: Value = serde_json::from_str(&ran.stdout).expect("a document all the same");
    assert!(has_alert(&document, "flight-not-usable"), "{}", document["alerts"]);
    assert_eq!(document["compensation"].as_array().map(Vec::len), Some(1));
}

#[test]
fn the_same_log_twice_is_an_error_in_the_report() {
    let place = Place::new();
    with_demo_campaign(&place);
    std::fs::copy(place.path("campaign/logs/bare-fenlark-1.igc"), place.path("again.igc")).expect("a copy");
    let flight = |log: &str| format!("[[flights]]\nlog = \"{log}\"\nsetup = \"bare\"\n");
    place.with("twice.toml", format!("{SMALL}{}{}", flight("campaign/logs/bare-fenlark-1.igc"), flight("again.igc")));
    assert!(has_alert(&document(&place, "twice.toml", 0), "log-twice"));
}
