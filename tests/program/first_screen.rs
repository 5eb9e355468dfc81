//! The first screen of a flight: what a terminal shows, and what goes out beside the page.

use crate::run::Place;
use std::fmt::Write;

const RIDGE: &str = "demo-tracks/ridge-five-metres.igc";
/// Positions without marks: the program finds candidates.
const LAKE: &str = "demo-tracks/lake-evening.csv";

/// A flight with so many windows of 45 s, one after the other, at trim and under full power by turns.
pub(crate) fn with_windows(place: &Place, count: usize) -> String {
    let scenario = place.read("demo-tracks/meadow-light-wind.toml");
    let (head, _) = scenario.split_once("[[flight]]").expect("legs");
    let mut flight = head.replace("meadow-light-wind", "windows");
    let mut leg = |lines: &str| write!(flight, "[[flight]]\n{lines}\n").expect("a string");
    leg("do = \"stand\"\nseconds = 40");
    leg("do = \"take-off\"\nseconds = 7");
    leg("do = \"to-height\"\nheight_m = 330\nsetting = \"full-power-climb\"\nrate_deg_s = 3.0");
    leg("do = \"orbit\"\nturns = 1\ndirection = \"left\"\nrate_deg_s = 9.0");
    for number in 0..count {
        leg("do = \"straight\"\nseconds = 15\nsetting = \"trim-level\"");
        let setting = if number % 2 == 0 { "trim-level" } else { "accelerated-level" };
        leg(&format!("do = \"hands-off\"\nseconds = 45\nsetting = \"{setting}\""));
    }
    leg("do = \"straight\"\nseconds = 20\nsetting = \"trim-level\"");
    leg("do = \"to-height\"\nheight_m = 30\nsetting = \"power-off-glide\"\nrate_deg_s = 3.0");
    leg("do = \"land\"\nseconds = 8");
    leg("do = \"stand\"\nseconds = 30");
    place.with("windows.toml", flight);
    place.run(&["simulate", "windows.toml"]).expect_code(0);
    "windows.gpx".to_owned()
}

#[test]
fn the_terminal_shows_the_answer_on_one_screen() {
    let place = Place::new();
    for log in [RIDGE, LAKE] {
        let ran = place.run(&["report", log]).expect_code(0);
        let lines: Vec<&str> = ran.stdout.lines().collect();
        assert!(lines.len() <= 25, "{}", ran.stdout);
        assert!(lines.iter().all(|line| line.chars().count() <= 81), "{}", ran.stdout);
        assert!(ran.stdout.contains("± 95 %") && ran.stdout.contains("Ground track says"), "{}", ran.stdout);
        assert!(lines.iter().any(|line| line.starts_with("Trim level ")), "{}", ran.stdout);
        assert!(ran.stdout.contains("flight test") && ran.stdout.contains("--format text"), "{}", ran.stdout);
    }
}

/// Every set-up and scenario has its line, however many windows it has.
#[test]
fn forty_windows_are_two_lines() {
    let place = Place::new();
    let log = with_windows(&place, 40);
    let ran = place.run(&["report", &log]).expect_code(0);
    assert!(ran.stdout.lines().count() <= 25, "{}", ran.stdout);
    let counted = |name: &str| {
        let line = ran.stdout.lines().find(|line| line.starts_with(name)).expect(name).to_owned();
        line.split_whitespace().filter_map(|word| word.parse::<usize>().ok()).next_back().expect("how many windows")
    };
    let (trim, accelerated) = (counted("Trim level"), counted("Accelerated level"));
    assert!(trim + accelerated >= 36, "{trim} and {accelerated} of 40: {}", ran.stdout);
}

#[test]
fn a_narrow_terminal_gets_narrow_lines() {
    let place = Place::new();
    let ran = place.run_with_environment(&["report", RIDGE], &[("COLUMNS", "40")]).expect_code(0);
    let words = ran.stdout.lines().take_while(|line| !line.starts_with("Report with charts"));
    for line in words {
        assert!(line.chars().count() <= 40, "{line}");
    }
}

/// The demo's own truth lies inside what is said first.
#[test]
fn simulated_the_headline_holds_the_set_up_of_the_demo() {
    let place = Place::new();
    let ran = place.run(&["report", RIDGE, "--format", "json"]).expect_code(0);
    let report: serde_json::Value = serde_json::from_str(&ran.stdout).expect("a document");
    let truth: serde_json::Value =
        serde_json::from_str(&place.read("demo-tracks/ridge-five-metres.truth.json")).expect("the truth");
    let mut held = 0;
    for of in report["combined"].as_array().expect("set-ups") {
        let flown = truth["windows"].as_array().expect("windows").iter().find(|w| w["scenario"] == of["scenario"]);
        let rate = flown.expect("flown")["steady_rate_deg_s"].as_f64().expect("a rate");
        let end = |name: &str| of["steady_rate"][name].as_f64().expect("an end");
        assert!(end("low95_deg_s") <= rate && rate <= end("high95_deg_s"), "{rate} in {of}");
        held += 1;
    }
    assert_eq!(held, 4);
}

#[test]
fn charts_stand_alone() {
    let place = Place::new();
    place.run(&["report", RIDGE, "--charts", "charts"]).expect_code(0);
    for name in ["turn-rates.svg", "window-1.svg", "velocity-circle.svg", "tracks.svg", "strip.svg"] {
        let svg = place.read(&format!("charts/{name}"));
        assert!(svg.starts_with("<?xml") && svg.contains("xmlns=\"http://www.w3.org/2000/svg\""), "{name}");
        assert!(svg.contains("fill=\"#ffffff\"") && svg.contains("font-weight=\"bold\""), "{name}: paper and headline");
        assert!(!svg.contains("<script") && !svg.contains("href"), "{name}");
    }
    place.run(&["report", RIDGE, LAKE, "-o", "pages/", "--charts", "both"]).expect_code(0);
    for name in ["ridge-five-metres.turn-rates.svg", "lake-evening.turn-rates.svg"] {
        assert!(place.read(&format!("both/{name}")).contains("</svg>"), "{name}");
    }
}

#[test]
fn charts_of_a_campaign_stand_alone() {
    let place = Place::new();
    crate::campaign::copy(&crate::run::repository().join("demo-tracks/campaign"), &place.path("demo-tracks/campaign"));
    place.run(&["compare", "demo-tracks/campaign/campaign.toml", "--charts", "charts"]).expect_code(0);
    let names = std::fs::read_dir(place.path("charts")).expect("a folder").map(|entry| entry.expect("an entry").path());
    let charts: Vec<String> = names.map(|path| std::fs::read_to_string(path).expect("an SVG")).collect();
    // On each of two wings: trade-off, turns, compensation, air paths, repeats.
    assert_eq!(charts.len(), 10);
    assert!(charts.iter().all(|svg| svg.starts_with("<?xml") && svg.contains("fill=\"#ffffff\"")));
}

#[test]
fn found_windows_become_marks_and_come_back() {
    let place = Place::new();
    let json = |arguments: &[&str]| -> serde_json::Value {
        let ran = place.run(&[&["report", LAKE, "--format", "json"], arguments].concat()).expect_code(0);
        serde_json::from_str(&ran.stdout).expect("a document")
    };
    let found = json(&["--write-marks", "marks.csv"]);
    assert!(place.read("marks.csv").contains("hands were on the brakes"), "says what to check");
    let given = json(&["--marks", "marks.csv"]);
    let windows = |document: &serde_json::Value| document["windows"].as_array().expect("windows").clone();
    assert_eq!(windows(&found).len(), windows(&given).len());
    assert!(windows(&found).len() >= 5);
    for (before, after) in windows(&found).iter().zip(windows(&given)) {
        assert_eq!((&before["hands_off"], &after["hands_off"]), (&"candidate".into(), &"confirmed".into()));
        if before["scenario"] != "unclassified" {
            assert_eq!(before["scenario"], after["scenario"]);
        }
    }
}

#[test]
fn times_are_told_in_the_zone_asked_for() {
    let place = Place::new();
    place.run(&["report", RIDGE, "-o", "page.html", "--time", "+02:00"]).expect_code(0);
    let page = place.read("page.html");
    assert!(page.contains("18:08:00 to 18:26:33 UTC+02:00") && page.contains("(16:08:00 to 16:26:33 UTC)"));
    assert!(page.contains("18:14:08") && !page.contains("16:14:08"), "windows too");
    let ran = place.run(&["report", RIDGE, "--time", "Bern"]).expect_code(2);
    assert!(ran.stderr.contains("+02:00"), "{}", ran.stderr);
    // The machine of the tests may be anywhere: its zone is set here, in the form of POSIX.
    let ran = place.run_with_environment(&["report", RIDGE, "--time", "local"], &[("TZ", "XXX-5:30")]).expect_code(0);
    assert!(ran.stdout.contains("21:38:00 to 21:56:33 UTC+05:30"), "{}", ran.stdout);
}

/// A page is passed on: it names no folder, and places no more exactly than its maker wants.
#[test]
fn places_are_rounded_left_out_or_exact() {
    let place = Place::new();
    let page = |arguments: &[&str]| {
        place.run(&[&["report", RIDGE, "-o", "page.html"], arguments].concat()).expect_code(0);
        place.read("page.html")
    };
    let origin = |page: &str| {
        page.split_once("(WGS-84)</dt><dd>").map(|(_, rest)| rest.split_once("</dd>").unwrap().0.to_owned())
    };
    let digits = |origin: &str| origin.split_once('°').unwrap().0.split_once('.').unwrap().1.len();
    let usual = page(&[]);
    assert_eq!(origin(&usual).map(|o| digits(&o)), Some(2));
    assert!(!usual.contains("demo-tracks"), "no folder");
    assert_eq!(origin(&page(&["--exact-place"])).map(|o| digits(&o)), Some(5));
    assert_eq!(origin(&page(&["--share"])), None);
    place.run(&["report", RIDGE, "--share", "--exact-place"]).expect_code(2);
}
