//! Flights that tell neither wind nor airspeed: a rate that holds for each airspeed stands by itself, and no output claims a wind.

use crate::run::Place;
use serde_json::Value;
use std::fmt::Write;

/// Seconds of the windows between let-go and take-over, and what the aircraft turns by itself in them, °/s. The pilot turns back
/// between.
const WINDOWS: [(u32, u32, f64); 2] = [(60, 120, 0.5), (180, 240, -0.3)];

/// Five minutes at 10 m/s into a wind of 5 m/s from the north, no circle; the receiver errs by half a metre.
fn into_the_wind() -> String {
    let mut log = "time,lat,lon,ele\n".to_owned();
    let (mut east_m, mut north_m, mut heading_deg) = (0.0_f64, 0.0_f64, 0.0_f64);
    for second in 0..300_u32 {
        let t = f64::from(second);
        let hands_off = WINDOWS.iter().find(|(from, to, _)| (*from..*to).contains(&second));
        // Brakes take the heading back with a time constant of 20 s.
        let rate_deg_s = hands_off.map_or(-heading_deg / 20.0, |(_, _, rate)| *rate);
        heading_deg += rate_deg_s;
        let (sin, cos) = heading_deg.to_radians().sin_cos();
        let gust = [0.2 * (t / 7.0).sin(), 0.2 * (t / 9.0).cos()];
        east_m += 10.0 * sin + gust[0];
        north_m += 10.0 * cos - 5.0 + gust[1];
        let (off_east_m, off_north_m) = (0.5 * (2.9 * t).sin(), 0.5 * (2.3 * t).cos());
        let lat = 47.0 + (north_m + off_north_m) / 111_200.0;
        let lon = 11.0 + (east_m + off_east_m) / 75_900.0;
        let _ = writeln!(log, "2026-05-14T06:{:02}:{:02}Z,{lat:.7},{lon:.7},900", second / 60, second % 60);
    }
    log
}

fn report(format: &str, code: i32) -> String {
    let place = Place::new();
    place.with("x.csv", into_the_wind());
    let mut marks = "let_go,take_over,scenario,setup,note\n".to_owned();
    for (from, to, _) in WINDOWS {
        let _ = writeln!(marks, "{from},{to},trim-level,,");
    }
    // Too short to be measured: refused.
    marks.push_str("262,275,trim-level,,\n");
    place.with("m.csv", marks);
    place.run(&["report", "x.csv", "--marks", "m.csv", "--format", format, "-o", "-"]).expect_code(code).stdout
}

#[test]
fn derived_rates_hold_without_the_wind_and_refused_windows_have_none() {
    let document: Value = serde_json::from_str(&report("json", 0)).expect("a document");
    assert_eq!(document["wind"]["observable"], false);
    assert_eq!(document["wind"]["profile"].as_array().map(Vec::len), Some(0));
    assert_eq!(document["combined"].as_array().map(Vec::len), Some(0));
    let windows = document["windows"].as_array().expect("windows");
    for (window, (_, _, rate_deg_s)) in windows.iter().zip(WINDOWS) {
        assert_eq!(window["accepted"], true, "{window:#}");
        assert!(window["findings"].as_array().is_some_and(|all| all.iter().any(|f| f["code"] == "airspeed-open")));
        let end = |name: &str| window["turn_rate"][name].as_f64().expect("a number");
        assert!(end("low95_deg_s") < rate_deg_s && rate_deg_s < end("high95_deg_s"), "{window:#}");
        for key in ["wind_speed_mps", "wind_from_deg", "wind_std_u_mps", "airspeed_mps", "bank_deg", "air_radius_m"] {
            assert!(window[key].is_null(), "{key}");
        }
        assert!(window["second_opinion"]["value_deg_s"].is_null());
    }
    let refused = &windows[2];
    assert_eq!(refused["accepted"], false);
    for rate in ["turn_rate", "steady_rate"] {
        assert!(refused[rate]["value_deg_s"].is_null() && refused[rate]["low95_deg_s"].is_null(), "{refused:#}");
    }
}

#[test]
fn no_page_and_no_text_claims_a_wind_of_such_a_flight() {
    let text = report("text", 0).split_whitespace().collect::<Vec<_>>().join(" ");
    let page = report("html", 0).replace('\u{a0}', " ");
    for said in [&text, &page] {
        assert!(said.contains("the rate holds for each airspeed between"), "{said}");
        assert!(!said.contains("m/s from") && !said.contains("Mean wind of the flight"), "a wind is claimed");
    }
    let refused = text.split_once("Refused windows").expect("one is refused").1;
    let of_the_window = refused.split_once("Cautions").map_or(refused, |(before, _)| before);
    assert!(!of_the_window.contains('±'), "{of_the_window}");
    // Charts of wind and of the way through the air have nothing to show.
    assert!(page.contains("no circle is drawn") && !page.contains("id=\"wind-height"), "{page}");
}
