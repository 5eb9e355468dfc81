//! One table of all sensors, given as the log and as the inertial file.

use crate::run::Place;
use serde_json::Value;

const LOG: &str = "meadow-light-wind.csv";
const IMU: &str = "meadow-light-wind.imu.csv";
const ALL: &str = "all.csv";

/// One clock for all, and a row for each sample of the gyro.
const SENSOR: &str = "\
[sensors.imu]
rate_hz = 50.0
mounting_deg = [20.0, -15.0, 70.0]
gyro_bias_deg_s = [0.4, -0.3, 0.5]
gyro_bias_walk = 0.002
swing_deg = [2.5, 1.2, 1.5]
control_deg = 1.2
vibration_mps2 = 2.0
vibration_deg_s = 4.0

[output]
formats = [\"csv\"]
";

fn flown() -> Place {
    let place = Place::new();
    let scenario = place.read("demo-tracks/meadow-light-wind.toml");
    place.with("with-sensor.toml", scenario.replacen("[output]\nformats = [\"gpx\"]\n", SENSOR, 1));
    place.run(&["simulate", "with-sensor.toml"]).expect_code(0);
    place
}

fn json(place: &Place, arguments: &[&str]) -> Value {
    let ran = place.run(&[&["report", "--format", "json"], arguments].concat()).expect_code(0);
    assert_eq!(ran.stderr, "");
    serde_json::from_str(&ran.stdout).expect("a document")
}

/// Header and rows, and the number of commas in them.
fn table(place: &Place, name: &str) -> (String, Vec<String>) {
    let text = place.read(name);
    let mut lines = text.lines().map(str::to_owned);
    (lines.next().expect("a header"), lines.collect())
}

/// Both tables as one, in time order: `time_utc`, the columns of the fixes, those of the sensor.
fn combined(place: &Place, held: bool) -> String {
    let (fix_header, fixes) = table(place, LOG);
    let (imu_header, samples) = table(place, IMU);
    let width = |header: &str| header.split(',').count() - 1;
    let blanks = |count: usize| ",".repeat(count - 1);
    let (time, fix_columns) = fix_header.split_once(',').unwrap();
    let mut out = format!("{time},{fix_columns},{}\n", imu_header.split_once(',').unwrap().1);
    // RFC 3339 times of one zone stand in the order of their texts once the `Z` is gone.
    let key = |row: &str| row.split_once(',').unwrap().0.trim_end_matches('Z').to_owned();
    let mut waiting = fixes.iter().peekable();
    let mut place_now = blanks(width(&fix_header));
    for sample in &samples {
        let (time, values) = sample.split_once(',').unwrap();
        while let Some(fix) = waiting.next_if(|fix| key(fix) <= key(sample)) {
            let cells = fix.split_once(',').unwrap().1;
            if held {
                cells.clone_into(&mut place_now);
            } else {
                out.push_str(&format!("{fix},{}\n", blanks(width(&imu_header))));
            }
        }
        out.push_str(&format!("{time},{place_now},{values}\n"));
        if held {
            // A mark is written once.
            place_now.truncate(place_now.rfind(',').unwrap() + 1);
        }
    }
    for fix in waiting.filter(|_| !held) {
        out.push_str(&format!("{fix},{}\n", blanks(width(&imu_header))));
    }
    out
}

fn number(value: &Value, path: &str) -> f64 {
    value.pointer(path).and_then(Value::as_f64).unwrap_or_else(|| panic!("{path} in {value}"))
}

fn has(document: &Value, code: &str) -> bool {
    document["problems"].as_array().expect("problems").iter().any(|p| p["code"] == code)
}

/// The same windows, with turn rates that differ by no more than a share of their standard uncertainty. (The sensor's
/// seconds count from the first row of its table, so that the last digits differ.)
#[track_caller]
fn same_turns(a: &Value, b: &Value, share: f64) {
    let windows = |document: &Value| document["windows"].as_array().expect("windows").clone();
    assert_eq!(windows(a).len(), windows(b).len());
    for (a, b) in windows(a).iter().zip(windows(b)) {
        let (a_deg_s, b_deg_s) = (number(a, "/turn_rate/value_deg_s"), number(&b, "/turn_rate/value_deg_s"));
        let (a_std_u, b_std_u) = (number(a, "/turn_rate/std_u_deg_s"), number(&b, "/turn_rate/std_u_deg_s"));
        assert!((a_deg_s - b_deg_s).abs() < share * b_std_u, "{a_deg_s} {b_deg_s} ± {b_std_u}");
        assert!((a_std_u / b_std_u - 1.0).abs() < share, "{a_std_u} {b_std_u}");
    }
}

/// Rows of fixes between rows of the sensor: the very result of two files, without the sensor and with it.
#[test]
fn a_table_with_blank_cells_is_as_good_as_two_files() {
    let place = flown();
    place.with(ALL, combined(&place, false));
    let (alone, parted) = (json(&place, &[ALL]), json(&place, &[LOG]));
    assert_eq!(alone["windows"], parted["windows"]);
    assert_eq!(alone["log"]["fixes_read"], parted["log"]["fixes_read"]);
    assert!(has(&alone, "rows-without-position"), "{}", alone["problems"]);
    let (both, apart) = (json(&place, &[ALL, "--imu", ALL]), json(&place, &[LOG, "--imu", IMU]));
    same_turns(&both, &apart, 0.001);
    assert_eq!(both["inertial"]["used_in_turn_rates"], true);
    let [offset_s, std_u_s] =
        ["clock_offset_s", "clock_offset_std_u_s"].map(|k| number(&both["inertial"], &format!("/{k}")));
    // One clock: the offset is nothing, within four standard uncertainties.
    assert!(offset_s.abs() < 4.0 * std_u_s && std_u_s < 0.25, "{offset_s} ± {std_u_s}");
}

/// Each row repeats the last position: as many fixes as the receiver made, each at most a row late.
#[test]
fn held_positions_are_not_taken_for_fixes() {
    let place = flown();
    place.with(ALL, combined(&place, true));
    let parted = json(&place, &[LOG, "--imu", IMU]);
    let both = json(&place, &[ALL, "--imu", ALL]);
    assert!(has(&both, "positions-held") && !has(&both, "stale-position"), "{}", both["problems"]);
    let fixes = |document: &Value| number(document, "/log/fixes_used");
    // The last fix may stand behind the last row of the sensor.
    assert!((fixes(&both) - fixes(&parted)).abs() <= 2.0, "{} {}", fixes(&both), fixes(&parted));
    assert!((number(&both, "/log/median_interval_s") - 1.0).abs() < 0.03);
    assert_eq!(both["inertial"]["used_in_turn_rates"], true);
    assert!(number(&both, "/inertial/correlation") > 0.95);
    // Times move by 0 to 20 ms, positions of 10 m/s by 0.1 m on average: a share of what the receiver errs itself.
    same_turns(&both, &parted, 0.4);
}
