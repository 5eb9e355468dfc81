//! Campaign files as people write them: right, and wrong in every way that was thought of.

use super::{AnyFolder, CampaignFileError, Folder, STARTER, read, read_within};
use crate::model::{Campaign, PropellerDirection, SetupId, Turned, WeightMeasured, WingId};
use driftless_track::{InputLimit, InputLimits};
use driftless_units::Scenario;
use std::collections::BTreeMap;

const GOOD: &str = r#"title = "Two devices"
sheets = ["runs.csv"]

[power_units.tarn]
name = "Tarn 185"
reduction_ratio = 2.87
propeller = "anticlockwise"

[power_units.tarn.engine]
full-power-climb = { power_kw = 15, speed_rpm = 9000 }

[devices.offset]
lowest_setting = 0
highest_setting = 60

[wings.fenlark]
[wings.heron]

[pilots.ada]
all_up_kg = 118

[setups.bare]
power_unit = "tarn"
wing = "fenlark"

[setups.offset-20]
power_unit = "tarn"
device = "offset"
setting = 20
wing = "fenlark"
pilot = "ada"
baseline = "bare"

[[flights]]
log = "logs/one.igc.gz"
setup = "bare"

[[flights]]
id = "second"
log = "logs/two.gpx"
marks = "logs/two.csv"
setup = "offset-20"
wing = "heron"
leave_out = [{ window = 2, reason = "hand on the brake" }]

[[stopwatch]]
setup = "bare"
scenario = "full power climb"
seconds = 12.5
turned = "right"
flight = "one"
window = 3

[[known_weight]]
flight = "second"
windows = [1, 2]
mass_kg = 2
arm_m = 0.4
side = "left"
"#;

const SHEET: &str = "setup;scenario;degrees;seconds;turned;mass_kg;arm_m;side;date\n\
                     # a remark\n\
                     bare;trim-level;180;31,5;left;;;;2026-05-14\n\
                     bare;trim-level;90;20;left;1.5;0.5;right;\n";

struct Desk(BTreeMap<&'static str, String>);

impl Desk {
    fn with_sheet(sheet: &str) -> Self {
        let files = [("runs.csv", sheet), ("logs/one.igc.gz", ""), ("logs/two.gpx", ""), ("logs/two.csv", "")];
        Self(files.into_iter().map(|(name, text)| (name, text.to_owned())).collect())
    }
}

impl Folder for Desk {
    fn holds(&self, path: &str) -> bool {
        self.0.contains_key(path)
    }
    fn near(&self, _path: &str) -> Vec<String> {
        self.0.keys().map(|name| (*name).to_owned()).collect()
    }
    fn text(&self, path: &str) -> Result<String, String> {
        self.0.get(path).cloned().ok_or_else(|| format!("there is no file {path}"))
    }
}

fn read_good(text: &str) -> Result<Campaign, CampaignFileError> {
    read(text, "campaign.toml", &Desk::with_sheet(SHEET))
}

/// Every fault of a file, as shown.
#[track_caller]
fn faults(text: &str) -> Vec<String> {
    read_good(text).expect_err("a fault").faults.iter().map(ToString::to_string).collect()
}

/// The only fault of the good file with one change.
#[track_caller]
fn fault(from: &str, to: &str) -> String {
    assert!(GOOD.contains(from), "{from}");
    let found = faults(&GOOD.replacen(from, to, 1));
    assert_eq!(found.len(), 1, "{found:#?}");
    found.into_iter().next().unwrap_or_default()
}

/// `campaign.toml:LINE:` of the first line that holds these words.
fn at(words: &str) -> String {
    let line = GOOD.lines().position(|line| line.contains(words)).expect(words) + 1;
    format!("campaign.toml:{line}:")
}

#[test]
fn a_good_file_becomes_a_campaign() {
    let campaign = read_good(GOOD).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(campaign.power_units[0].propeller, PropellerDirection::Anticlockwise);
    assert_eq!(campaign.engine_point(SetupId(0), Scenario::FullPowerClimb).map(|p| p.speed_rpm), Some(9000.0));
    assert_eq!(campaign.engine_point(SetupId(0), Scenario::TrimLevel), None);
    assert_eq!(campaign.wings.iter().map(|w| w.name.as_str()).collect::<Vec<_>>(), ["fenlark", "heron"]);
    assert_eq!(campaign.setups[1].baseline, Some(SetupId(0)));
    assert_eq!(campaign.setups[0].baseline, None);
    assert_eq!(campaign.flights[0].key, "one");
    assert_eq!(campaign.flights[0].with.wing, WingId(0), "the wing of the set-up");
    assert_eq!(campaign.flights[1].with.wing, WingId(1), "the wing of the flight");
    assert_eq!(campaign.flights[1].leave_out[0].window, 2);
    assert_eq!(campaign.stopwatch_runs.len(), 2, "one in the file, one in the sheet");
    let timed = &campaign.stopwatch_runs[0];
    assert_eq!((timed.scenario, timed.timing.degrees), (Scenario::FullPowerClimb, 90.0));
    assert_eq!(timed.same_run.map(|w| (w.flight.0, w.window)), Some((0, 3)));
    let sheet = &campaign.stopwatch_runs[1];
    assert_eq!((sheet.timing.seconds, sheet.place.file.as_str(), sheet.place.line), (31.5, "runs.csv", 3));
    assert_eq!(campaign.weight_runs.len(), 2);
    assert_eq!(campaign.weight_runs[0].weight.side, Turned::Left);
    assert!(matches!(campaign.weight_runs[1].measured, WeightMeasured::Stopwatch { .. }));
    assert_eq!(campaign.scenario_weights.len(), 4);
}

#[test]
fn the_starter_file_reads_as_it_stands() {
    let campaign = read(STARTER, "new.toml", &AnyFolder).unwrap_or_else(|error| panic!("{error}"));
    assert!(campaign.flights.is_empty() && campaign.setups.len() == 2);
}

/// Every key that the starter file offers behind a # is one the reader knows.
#[test]
fn the_remarks_of_the_starter_file_read_too() {
    let mut out = String::from("sheets = []\n");
    for line in STARTER.lines() {
        let code = line.trim_start_matches("# ");
        let is_key = code.split_once(" = ").is_some_and(|(key, _)| key.chars().all(|c| c.is_lowercase() || c == '_'));
        let wanted = (is_key && !code.starts_with("sheets")) || code.starts_with("[[");
        out.push_str(if line.starts_with("# ") && wanted { code } else { line });
        out.push('\n');
    }
    let with_weight_flight = out.replace("\"2026-05-15-weight\"", "\"2026-05-14-offset\"");
    let campaign = read(&with_weight_flight, "new.toml", &AnyFolder).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!((campaign.flights.len(), campaign.stopwatch_runs.len(), campaign.weight_runs.len()), (2, 1, 1));
    assert!(campaign.pilots[0].student && campaign.setups[1].claim.drift_deg_min == Some(20.0));
}

#[test]
fn an_unknown_key_is_shown_with_its_line_and_the_name_that_was_meant() {
    assert_eq!(
        fault("reduction_ratio = 2.87", "reduction_ratio = 2.87\nengin = 1"),
        "campaign.toml:7:1: unknown key `engin` in power unit \"tarn\"\n  7 | engin = 1\n    | ^^^^^\n  help: did \
         you mean `engine`?"
    );
    assert!(fault("[devices.offset]", "[gadgets.x]\n[devices.offset]").contains("unknown key `gadgets`"));
}

#[test]
fn a_missing_reference_is_shown_with_the_name_that_was_meant() {
    let wrong = fault("baseline = \"bare\"", "baseline = \"bar\"");
    assert!(wrong.contains("there is no set-up \"bar\"") && wrong.contains("did you mean `bare`?"), "{wrong}");
    let wrong = fault("wing = \"heron\"", "wing = \"herron\"");
    assert!(wrong.starts_with(&at("wing = \"heron\"")) && wrong.contains("did you mean `heron`?"), "{wrong}");
    let wrong = fault("device = \"offset\"", "device = \"vanes\"");
    assert!(wrong.contains("there is no torque device \"vanes\"") && wrong.contains("`offset`"), "{wrong}");
    let wrong = fault("flight = \"one\"", "flight = \"eno\"");
    assert!(wrong.contains("there is no flight \"eno\""), "{wrong}");
}

#[test]
fn a_set_up_without_baseline_is_told_which_to_take() {
    let wrong = fault("baseline = \"bare\"\n", "");
    assert!(
        wrong.starts_with(&format!("{}9: set-up \"offset-20\" has no baseline", at("[setups.offset-20]"))),
        "{wrong}"
    );
    assert!(wrong.contains("add a line baseline = \"bare\""), "{wrong}");
    let none = read_good(&GOOD.replacen("baseline = \"bare\"", "baseline = \"none\"", 1)).expect("is allowed");
    assert_eq!(none.setups[1].baseline, None);
    let itself = fault("baseline = \"bare\"", "baseline = \"offset-20\"");
    assert!(itself.contains("cannot be its own baseline") && itself.contains("`bare`"), "{itself}");
}

#[test]
fn a_missing_log_is_told_the_name_that_is_there() {
    let wrong = fault("logs/one.igc.gz", "log/one.igc.gz");
    assert!(wrong.starts_with(&format!("{}7: there is no file log/one.igc.gz", at("log = \"logs/one"))), "{wrong}");
    assert!(wrong.contains("did you mean `logs/one.igc.gz`?"), "{wrong}");
}

#[test]
fn wrong_values_are_shown_with_what_they_may_be() {
    let wrong = fault("power_kw = 15,", "power_kw = 15000,");
    assert!(wrong.contains("is 15000; it must lie between 0 and 200"), "{wrong}");
    assert!(wrong.contains("^^^^^"), "{wrong}");
    assert!(fault("setting = 20", "setting = 80").contains("it goes from 0 to 60"));
    assert!(fault("\"anticlockwise\"", "\"anti-clockwise\"").contains("did you mean `anticlockwise`?"));
    assert!(fault("\"full power climb\"", "\"full-power\"").contains("did you mean `full-power-climb`?"));
    assert!(fault("seconds = 12.5", "seconds = \"12.5\"").contains("must be a number; this is text"));
    assert!(fault("seconds = 12.5\n", "").contains("stopwatch run 1 lacks `seconds`"));
    let twice = faults(&GOOD.replace("\"second\"", "\"one\"")).join("\n");
    assert!(twice.contains("a flight \"one\" stands in line"), "{twice}");
    assert!(fault("window = 3\n", "").contains("lacks `window`"));
    // A run without an error cannot be weighed: said where it stands, not when it is combined.
    for key in ["reading_std_u_s", "pointing_std_u_deg"] {
        let exact = fault("seconds = 12.5\n", &format!("seconds = 12.5\n{key} = 0\n"));
        assert!(exact.contains(&format!("`{key}` of stopwatch run 1 is 0; it must lie between 0.000001")), "{exact}");
    }
}

#[test]
fn all_faults_come_together_and_in_order() {
    let text = GOOD.replacen("reduction_ratio", "reduction", 1).replacen("\"bare\"\n", "\"bear\"\n", 1);
    let found = faults(&text);
    // The missing ratio, the unknown key, and the baseline.
    assert_eq!(found.len(), 3, "{found:#?}");
    let lines: Vec<usize> = read_good(&text).unwrap_err().faults.iter().map(|f| f.line).collect();
    assert!(lines.is_sorted(), "{lines:?}");
}

#[test]
fn what_is_not_toml_is_shown_where_it_breaks() {
    let found = faults("title = \"x\"\n[setups\n");
    assert!(found[0].starts_with("campaign.toml:2:") && found[0].contains("not TOML"), "{found:?}");
}

#[test]
fn an_empty_file_is_told_what_it_lacks() {
    let all = faults("").join("\n");
    for key in ["title", "wings", "setups"] {
        assert!(all.contains(&format!("lacks `{key}`")), "{all}");
    }
}

#[test]
fn faults_of_a_sheet_name_the_sheet() {
    let with = |sheet: &str| {
        let error = read(GOOD, "campaign.toml", &Desk::with_sheet(sheet)).expect_err("a fault");
        error.faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
    };
    let wrong = with(&SHEET.replacen("31,5", "abc", 1));
    assert!(wrong.starts_with("runs.csv:3:21: `seconds` is \"abc\""), "{wrong}");
    let wrong = with("set-up,seconds\n");
    assert!(wrong.contains("unknown column `set_up`") && wrong.contains("did you mean `setup`?"), "{wrong}");
    let wrong = with("setup,scenario,seconds\nbare,trim-level,30\n");
    assert!(wrong.contains("this run has no `turned`"), "{wrong}");
    let mut desk = Desk::with_sheet("");
    desk.0.remove("runs.csv");
    let missing = read(GOOD, "campaign.toml", &desk).expect_err("no sheet").to_string();
    assert!(missing.starts_with("campaign.toml:2:11: there is no file runs.csv"), "{missing}");
}

#[test]
fn no_text_makes_the_reader_panic() {
    // Every prefix of a good file, and every file with one line gone.
    for end in (0..GOOD.len()).filter(|end| GOOD.is_char_boundary(*end)) {
        let _ = read_good(&GOOD[..end]).map_err(|error| error.to_string());
    }
    let lines: Vec<&str> = GOOD.lines().collect();
    for gone in 0..lines.len() {
        let text: Vec<&str> = lines.iter().enumerate().filter(|(i, _)| *i != gone).map(|(_, line)| *line).collect();
        let _ = read_good(&text.join("\n")).map_err(|error| error.to_string());
    }
}

/// A club's season by stopwatch, faults and all: the line of each place was counted from the start of the file, which took
/// minutes for this.
#[test]
fn regression_long_lists_of_runs_are_read_in_linear_time() {
    const RUNS: usize = 40_000;
    let row = "bare,fenlark,trim-level,31.5,left\n";
    let sheet = format!("setup,wing,scenario,seconds,turned\n{}", row.repeat(RUNS));
    let table = "[[stopwatch]]\nsetup = \"bare\"\nscenario = \"trim-level\"\nseconds = 30\nturned = \"left\"\n";
    let text = format!("{GOOD}{}", table.repeat(RUNS));
    let begin = std::time::Instant::now();
    let campaign = read(&text, "campaign.toml", &Desk::with_sheet(&sheet)).expect("a good campaign");
    let last = &campaign.stopwatch_runs[campaign.stopwatch_runs.len() - 1].place;
    assert_eq!((campaign.stopwatch_runs.len() >= 2 * RUNS, last.line), (true, RUNS + 1));
    let wrong = sheet.replace("left", "up");
    let error = read(GOOD, "campaign.toml", &Desk::with_sheet(&wrong)).expect_err("no such side");
    assert_eq!((error.faults.len() + error.more, error.faults[99].line), (RUNS, 101));
    // Loaded machines included; the squares took hours.
    assert!(begin.elapsed().as_secs() < 60, "{:?}", begin.elapsed());
}

#[test]
fn a_flight_names_its_sensors_its_mapping_and_why_it_is_left_out() {
    let of = |keys: &str| {
        let text = GOOD.replacen("log = \"logs/one.igc.gz\"", &format!("log = \"logs/one.igc.gz\"\n{keys}"), 1);
        read_good(&text)
    };
    let campaign =
        of("imu = [\"logs/two.csv\", \"runs.csv\"]\ncsv_map = \"logs/two.csv\"").expect("all of them are there");
    assert_eq!(campaign.flights[0].imu, ["logs/two.csv", "runs.csv"]);
    assert_eq!(campaign.flights[0].csv_map.as_deref(), Some("logs/two.csv"));
    assert_eq!(of("imu = \"logs/two.csv\"").expect("one file").flights[0].imu, ["logs/two.csv"]);
    for keys in ["imu = \"gone.csv\"", "imu = [\"logs/two.csv\", \"gone.csv\"]", "csv_map = \"gone.csv\""] {
        let error = of(keys).expect_err("a file that is not there").to_string();
        assert!(error.contains("there is no file gone.csv"), "{error}");
        let left_out = of(&format!("{keys}\nexclude = \"rain\"")).expect("its files are not read");
        assert_eq!(left_out.flights[0].exclude.as_deref(), Some("rain"));
    }
}

/// Each limit at one below, at, and one above what the file holds.
#[test]
fn limits_hold_to_the_last_run_character_and_fault() {
    let read = |text: &str, limit: InputLimit, value: usize| {
        let limits = InputLimits::default().with(limit, value);
        read_within(text, "campaign.toml", &Desk::with_sheet(SHEET), &limits)
    };
    // Two flights, a stopwatch run, a known weight, and two more of the sheet.
    for (allowed, holds) in [(5, false), (6, true), (7, true)] {
        assert_eq!(read(GOOD, InputLimit::Runs, allowed).is_ok(), holds, "{allowed}");
    }
    let over = read(GOOD, InputLimit::Runs, 5).expect_err("one too many").to_string();
    assert!(over.contains("more than 5 flights and runs") && over.contains("--limit runs=N"), "{over}");
    for text in [
        GOOD.replace("Two devices", &"x".repeat(100)),
        GOOD.replace("[wings.heron]", &format!("[wings.heron]\nname = \"{}\"", "x".repeat(100))),
        GOOD.replace("[pilots.ada]", &format!("[pilots.{}]\n[pilots.ada]", "x".repeat(100))),
        GOOD.replace("hand on the brake", &"x".repeat(100)),
    ] {
        for (allowed, holds) in [(99, false), (100, true), (101, true)] {
            assert_eq!(read(&text, InputLimit::NameCharacters, allowed).is_ok(), holds, "{allowed}: {text}");
        }
    }
    let wrong = GOOD.replace("setup = \"bare\"", "setup = \"none\"");
    let faults = read_good(&wrong).expect_err("wrong").faults.len();
    assert!(faults >= 2);
    for (allowed, more) in [(faults - 1, 1), (faults, 0), (faults + 1, 0)] {
        let error = read(&wrong, InputLimit::Problems, allowed).expect_err("wrong");
        assert_eq!((error.faults.len(), error.more), (faults - more, more), "counted, not kept");
    }
}
