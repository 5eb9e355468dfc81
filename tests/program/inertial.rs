//! `report --imu`: a simulated flight with a sensor on the pilot, and everything that can be wrong with its file.

use crate::run::{Place, Ran};
use serde_json::Value;

pub(crate) const LOG: &str = "meadow-light-wind.gpx";
pub(crate) const IMU: &str = "meadow-light-wind.imu.csv";
/// How far the sensor's clock runs ahead, seconds.
pub(crate) const AHEAD_S: f64 = 1.4;

pub(crate) const SENSOR: &str = "\
[sensors.imu]
rate_hz = 50.0
mounting_deg = [20.0, -15.0, 70.0]
gyro_bias_deg_s = [0.4, -0.3, 0.5]
gyro_bias_walk = 0.002
gyro_walk_deg = 0.012
swing_deg = [2.5, 1.2, 1.5]
swing_period_s = 3.0
control_deg = 1.2
vibration_mps2 = 2.0
vibration_deg_s = 4.0
clock_ahead_s = 1.4

[sensors.imu.mag]
field_ut = 48.5
declination_deg = 4.0
inclination_deg = 63.5
hard_iron_ut = [12.0, -20.0, 8.0]
noise_ut = 0.5

[output]
";

/// A folder with a simulated flight and what a sensor on the pilot recorded.
pub(crate) fn flown() -> Place {
    let place = Place::new();
    let scenario = place.read("demo-tracks/meadow-light-wind.toml").replacen("[output]\n", SENSOR, 1);
    place.with("with-sensor.toml", scenario);
    place.run(&["simulate", "with-sensor.toml"]).expect_code(0);
    place
}

pub(crate) fn json(place: &Place, more: &[&str]) -> (Ran, Value) {
    let ran = place.run(&[&["report", LOG, "--format", "json"], more].concat());
    let document = serde_json::from_str(&ran.stdout).unwrap_or_else(|e| panic!("{e}: {}", ran.stderr));
    (ran, document)
}

pub(crate) fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("{key} in {value}"))
}

#[test]
fn a_sensor_is_aligned_and_judged() {
    let place = flown();
    let (ran, document) = json(&place, &["--imu", IMU]);
    assert_eq!((ran.code, ran.stderr.as_str()), (0, ""));
    let inertial = &document["inertial"];
    assert_eq!(inertial["files"][0]["file"], IMU);
    assert_eq!(inertial["files"][0]["input_sha256"].as_str().map(str::len), Some(64));
    assert!((number(inertial, "rate_hz") - 50.0).abs() < 0.1);
    // Four standard uncertainties: a right program fails once in 16,000 seeds, and this is one.
    let offset_s = number(inertial, "clock_offset_s");
    let std_u_s = number(inertial, "clock_offset_std_u_s");
    assert!((offset_s + AHEAD_S).abs() < 4.0 * std_u_s && std_u_s < 0.25, "{offset_s} ± {std_u_s}");
    assert!(inertial["clock_offset_reason"].is_null());
    assert!(number(inertial, "correlation") > 0.95);
    assert!((number(inertial, "scale") - 1.0).abs() < 4.0 * number(inertial, "scale_std_u"));
    // The random walk set is 0.012 °/√s; vibration adds to it on the ground, too.
    assert!((0.008..0.03).contains(&number(inertial, "angle_random_walk_deg_per_sqrt_s")));
    let allan = inertial["allan"].as_array().unwrap();
    assert!(allan.len() > 30 && allan.iter().all(|p| number(p, "tau_s") > 0.0 && number(p, "adev_deg_s") > 0.0));
    assert_eq!(inertial["compass"]["consistent"], true, "{}", inertial["compass"]);
    assert!((number(&inertial["compass"], "declination_deg") - 4.0).abs() < 3.0);
    assert!((2.0..4.0).contains(&number(inertial, "swing_period_s")));
    assert!(inertial["verdict"].as_str().unwrap().contains("The sensor helps"));
    let windows = document["windows"].as_array().unwrap();
    assert_eq!(inertial["windows"].as_array().unwrap().len(), windows.len());
    for (gyro, gps) in inertial["windows"].as_array().unwrap().iter().zip(windows) {
        let apart = number(gyro, "heading_change_deg") - number(gps, "heading_change_deg");
        let joint = number(gyro, "heading_change_std_u_deg").hypot(number(gps, "heading_change_std_u_deg"));
        assert!(apart.abs() < 4.0 * joint, "{gyro} against {gps}");
        assert_eq!(gyro["hands_hint"], "off", "twitches stop when the hands let go: {gyro}");
    }
}

/// The sentence, the flag and the figures must tell the same: with no part in the turn rates, windows stay as they are.
#[test]
fn the_report_says_what_part_the_sensor_has() {
    let place = flown();
    let (_, without) = json(&place, &[]);
    assert!(without["inertial"].is_null());
    let (_, with) = json(&place, &["--imu", IMU]);
    let text = place.run(&["report", LOG, "--imu", IMU, "--format", "text"]).expect_code(0).stdout;
    let used = with["inertial"]["used_in_turn_rates"].as_bool().unwrap();
    assert_eq!(used, with["windows"] != without["windows"]);
    let said = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!(said.contains("has no part in the turn rates of this report"), !used);
    let compass = with["inertial"]["compass"]["used_in_turn_rates"].as_bool().unwrap();
    let together = if compass { "rest on GPS, gyro and compass together" } else { "rest on GPS and gyro together" };
    assert_eq!(said.contains(together), used);
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
}

#[test]
fn the_page_has_its_charts() {
    let place = flown();
    place.run(&["report", LOG, "--imu", IMU, "-o", "page.html"]).expect_code(0);
    let page = place.read("page.html");
    for id in ["inertial-headings", "allan", "swing"] {
        assert!(page.contains(&format!("<figure id=\"{id}\">")) && page.contains(&format!("id=\"{id}-desc\"")), "{id}");
    }
    assert!(!page.contains("NaN") && page.len() < 2_000_000, "{}", page.len());
    let plain = place.run(&["report", LOG, "--format", "html"]).expect_code(0).stdout;
    assert!(!plain.contains("id=\"inertial\""));
}

#[test]
fn a_mapping_beside_the_file_tells_its_columns() {
    let place = flown();
    let (header, rows) = split(&place);
    let odd = header.replace("gyro_", "dreh_").replace("time_utc", "Zeit").replace("accel_", "schub_");
    place.with("phone.csv", format!("{odd}\n{rows}"));
    let (_, unread) = json(&place, &["--imu", "phone.csv"]);
    assert!(problem(&unread, "imu-not-read")["message"].as_str().unwrap().contains("phone.csv"));
    place.with(
        "phone.csv.toml",
        "time = \"Zeit\"\ngyro = { columns = [2, 3, 4] }\naccel = { columns = [5, 6, 7] }\nmag = { columns = [8, 9, 10] }\n",
    );
    let (_, mapped) = json(&place, &["--imu", "phone.csv"]);
    let (_, plain) = json(&place, &["--imu", IMU]);
    assert_eq!(mapped["inertial"]["clock_offset_s"], plain["inertial"]["clock_offset_s"]);
    place.with("phone.csv.toml", "time = 7 = 8");
    let (_, faulty) = json(&place, &["--imu", "phone.csv"]);
    assert!(problem(&faulty, "imu-not-read")["message"].as_str().unwrap().contains("inertial mapping"));
}

#[test]
fn a_file_for_each_sensor_is_as_good_as_one() {
    let place = flown();
    let csv = place.read(IMU);
    let mut arguments = Vec::new();
    for (name, first) in [("gyro.csv", 1), ("accel.csv", 4), ("mag.csv", 7)] {
        let cells = |line: &str| {
            let all: Vec<&str> = line.split(',').collect();
            format!("{},{}\n", all[0], all[first..first + 3].join(","))
        };
        place.with(name, csv.lines().map(cells).collect::<String>());
        arguments.extend(["--imu", name]);
    }
    let (_, apart) = json(&place, &arguments);
    let (_, whole) = json(&place, &["--imu", IMU]);
    assert_eq!(apart["inertial"]["files"].as_array().unwrap().len(), 3);
    for key in ["clock_offset_s", "scale", "compass", "windows"] {
        assert_eq!(apart["inertial"][key], whole["inertial"][key], "{key}");
    }
}

#[test]
fn a_file_that_is_not_there_is_an_error() {
    let place = flown();
    let ran = place.run(&["report", LOG, "--imu", "nowhere.csv"]).expect_code(2);
    assert!(ran.stderr.contains("there is no file nowhere.csv"), "{}", ran.stderr);
    let ran = place.run(&["report", LOG, "--imu", IMU, "-o", IMU, "--format", "json"]).expect_code(2);
    assert!(ran.stderr.contains("would be written over"), "{}", ran.stderr);
}

/// Header and rows of the inertial file.
pub(crate) fn split(place: &Place) -> (String, String) {
    let csv = place.read(IMU);
    let (header, rows) = csv.split_once('\n').unwrap();
    (header.to_owned(), rows.to_owned())
}

/// The file with some columns (from 1; time is 0) changed.
pub(crate) fn changed(place: &Place, change: impl Fn(usize, usize, f64) -> String) -> String {
    let (header, rows) = split(place);
    let mut out = header + "\n";
    for (line, row) in rows.lines().enumerate() {
        let mut cells = row.split(',');
        out.push_str(cells.next().unwrap());
        for (i, cell) in cells.enumerate() {
            out.push(',');
            out.push_str(&change(line, i + 1, cell.parse().unwrap()));
        }
        out.push('\n');
    }
    out
}

pub(crate) fn problem<'a>(document: &'a Value, code: &str) -> &'a Value {
    let problems = document["problems"].as_array().unwrap();
    problems.iter().find(|p| p["code"] == code).unwrap_or_else(|| panic!("{code} in {problems:?}"))
}

/// The GPS-only result is made, with its exit code and its windows; the problem is named in the words given, in JSON and
/// text, and the clock is not claimed to be known.
#[track_caller]
pub(crate) fn left_out(place: &Place, content: impl AsRef<[u8]>, code: &str, words: &str) {
    let (alone, gps_only) = json(place, &[]);
    place.with("bad.csv", content);
    let (ran, document) = json(place, &["--imu", "bad.csv"]);
    // Whoever names a file expects it to be used: the report is made, and the exit code tells.
    assert_eq!((ran.code, alone.code), (2, 0));
    let told = ran.stderr.contains(words) || ran.stderr.contains("no usable gyro");
    assert!(ran.stderr.starts_with(&format!("error: {LOG}: ")) && told, "{}", ran.stderr);
    assert_eq!(document["windows"], gps_only["windows"]);
    assert_eq!(document["inertial"]["used_in_turn_rates"], false);
    let message = problem(&document, code)["message"].as_str().unwrap().to_owned();
    assert!(message.contains(words), "{message}");
    let inertial = &document["inertial"];
    assert!(inertial["clock_offset_s"].is_null() && inertial["clock_offset_reason"].is_string(), "{inertial}");
    let text = place.run(&["report", LOG, "--imu", "bad.csv", "--format", "text"]).expect_code(2).stdout;
    assert!(text.contains("rest on GPS alone") && text.contains(&format!("[{code}]")), "{text}");
    let page = place.run(&["report", LOG, "--imu", "bad.csv", "--format", "html"]).expect_code(2).stdout;
    assert!(page.contains("rest on GPS alone") && !page.contains(">NaN"));
}

#[test]
fn another_day_and_no_overlap() {
    let place = flown();
    let csv = place.read(IMU);
    left_out(&place, csv.replace("2026-05-14", "2026-06-14"), "imu-not-aligned", "is it from another day?");
    left_out(&place, csv.replace("14T05:", "14T09:"), "imu-not-aligned", "does not overlap the flight");
}

#[test]
fn dead_axes_and_constant_columns() {
    let place = flown();
    let dead = changed(&place, |_, column, v| if column == 3 { "0.01".to_owned() } else { v.to_string() });
    left_out(&place, dead, "imu-gyro-axis-dead", "axis z of the gyro never changes");
    let constant = changed(&place, |_, column, _| column.to_string());
    left_out(&place, constant, "imu-gyro-axis-dead", "the gyro never changes: it is dead");
}

#[test]
fn a_gyro_in_the_wrong_unit_is_asked_about() {
    let place = flown();
    for factor in [57.295_78, 1.0 / 57.295_78] {
        let wrong = changed(&place, |_, column, v| if column <= 3 { (v * factor).to_string() } else { v.to_string() });
        place.with("bad.csv", wrong);
        let (_, document) = json(&place, &["--imu", "bad.csv"]);
        let problems = document["problems"].as_array().unwrap();
        let asked =
            problems.iter().any(|p| p["code"] == "imu-gyro-unit" || p["message"].as_str().unwrap().contains("57.3"));
        assert!(asked, "{problems:?}");
        assert!(document["inertial"]["clock_offset_s"].is_null());
    }
}

#[test]
fn an_accelerometer_in_the_wrong_unit_is_asked_about() {
    let place = flown();
    for factor in [9.806_65, 1.0 / 9.806_65] {
        let accel = |column: usize| (4..=6).contains(&column);
        let wrong =
            changed(&place, |_, column, v| if accel(column) { (v * factor).to_string() } else { v.to_string() });
        place.with("bad.csv", wrong);
        let (ran, document) = json(&place, &["--imu", "bad.csv"]);
        assert_eq!(ran.code, 0);
        let asked = problem(&document, "imu-accel-unit");
        assert!(asked["help"].is_string(), "{asked}");
    }
}

#[test]
fn missing_values_are_counted_and_the_rest_is_used() {
    let place = flown();
    let some =
        changed(&place, |line, column, v| if line % 20 == 3 && column == 2 { "NaN".to_owned() } else { v.to_string() });
    place.with("bad.csv", some);
    let (ran, document) = json(&place, &["--imu", "bad.csv"]);
    assert_eq!(ran.code, 0);
    assert!(problem(&document, "imu-bad-value")["count"].as_u64().unwrap() > 1000);
    assert!((number(&document["inertial"], "clock_offset_s") + AHEAD_S).abs() < 0.3);
    left_out(&place, changed(&place, |_, _, _| "NaN".to_owned()), "imu-not-read", "no row");
}

#[test]
fn empty_files_and_other_kinds() {
    let place = flown();
    left_out(&place, "", "imu-not-read", "empty");
    left_out(&place, b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\x01\0\0\0\x01\x08\x06", "imu-not-read", "a PNG picture");
    left_out(&place, (0..60_000_u32).map(|k| (k * k / 7) as u8).collect::<Vec<_>>(), "imu-not-read", "a binary file");
    let header = split(&place).0;
    left_out(&place, format!("{header}\n"), "imu-not-read", "it has no rows");
    left_out(&place, format!("{header}\n{}\n", split(&place).1.lines().next().unwrap()), "imu-not-read", "only 1 rows");
    left_out(&place, split(&place).1, "imu-not-read", "no column for time");
    left_out(&place, place.read(LOG), "imu-not-read", "a GPX or XML file");
}

/// Cut off in the middle, a packed file gives what could be unpacked; cut off at once, nothing.
#[test]
fn packed_files_cut_off() {
    let place = flown();
    let mut packed = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::fast());
    std::io::Write::write_all(&mut packed, place.read(IMU).as_bytes()).unwrap();
    let packed = packed.finish().unwrap();
    left_out(&place, &packed[..12], "imu-not-read", "damaged");
    place.with("half.csv.gz", &packed[..packed.len() * 9 / 10]);
    let (ran, document) = json(&place, &["--imu", "half.csv.gz"]);
    assert_eq!(ran.code, 0);
    assert!(problem(&document, "gzip-damaged")["message"].as_str().unwrap().contains("cut off"));
    assert!((number(&document["inertial"], "clock_offset_s") + AHEAD_S).abs() < 0.3);
}

/// Whatever the reader mends or finds odd is told, with figures.
#[test]
fn repeats_jitter_saturation_and_gaps_are_told() {
    let place = flown();
    let (header, rows) = split(&place);
    let rows: Vec<&str> = rows.lines().collect();
    let time = |k: usize| rows[k].split_once(',').unwrap().0;
    let values = |k: usize| rows[k].split_once(',').unwrap().1;
    let told = |content: String, code: &str, words: &str| {
        place.with("odd.csv", content);
        let (ran, document) = json(&place, &["--imu", "odd.csv"]);
        assert_eq!(ran.code, 0, "{}", ran.stderr);
        let found = problem(&document, code);
        assert!(found["message"].as_str().unwrap().contains(words) && found["help"].is_string(), "{found}");
        document
    };
    let table = |row: &dyn Fn(usize) -> Option<String>| {
        let lines: Vec<String> = (0..rows.len()).filter_map(row).collect();
        format!("{header}\n{}\n", lines.join("\n"))
    };
    // A logger that stamps three samples alike: two of three are lost.
    let repeated = table(&|k| Some(format!("{},{}", time(k - k % 3), values(k))));
    let lost = rows.len() - rows.len().div_ceil(3);
    told(repeated, "imu-time-repeated", &format!("{lost} of {}", rows.len()));
    // Bursts of two, the second a tenth of an interval behind the first.
    let early = |k: usize| if k % 2 == 1 { format!("{}2000Z", &time(k - 1)[..22]) } else { time(k).to_owned() };
    let uneven = told(table(&|k| Some(format!("{},{}", early(k), values(k)))), "imu-jitter", "sampled unevenly");
    assert!((number(&uneven["inertial"], "clock_offset_s") + AHEAD_S).abs() < 0.3);
    // Eight seconds missing in every hundred.
    let holes = told(table(&|k| (k % 5000 >= 400).then(|| rows[k].to_owned())), "imu-gyro-gaps", "the longest 8.0 s");
    assert!(number(&holes["inertial"], "gaps") >= 9.0, "{}", holes["inertial"]);
    let clipped = changed(&place, |_, column, v| if column <= 3 { v.clamp(-0.2, 0.2) } else { v }.to_string());
    told(clipped, "imu-gyro-saturated", "end of its scale (11 °/s)");
}
