//! The contract, key by key, on an invented flight.

use super::{JsonLayout, json};
use driftless_analysis::{FlightAlert, FlightAnalysis, Settling};
use driftless_display::DisplayUnits;
use driftless_sample::{
    round_flight as flight, round_flight_with_airspeed_open as flight_with_airspeed_open,
    round_flight_without_wind as flight_without_wind,
};
use serde_json::Value;

fn document(analysis: &FlightAnalysis) -> Value {
    serde_json::from_str(&json(analysis, JsonLayout::Pretty).unwrap()).unwrap()
}

/// Every key that the contract promises, at every level.
#[test]
fn every_promised_key_is_there_even_when_nothing_is_known() {
    for analysis in [flight(), flight_without_wind()] {
        let document = document(&analysis);
        for (pointer, keys) in [
            ("", "schema made_by log problems wind estimate windows"),
            ("/made_by", "version command input_sha256 config"),
            ("/log", "file format fixes_read fixes_used start_utc end_utc median_interval_s"),
            ("/problems/0", "code severity message line byte count help"),
            ("/wind", "observable reason finding profile"),
            ("/estimate", "passes settled"),
            ("/windows/2/findings/0", "code value limit unit"),
            (
                "/windows/0",
                "id start_utc end_utc origin hands_off scenario turn_rate steady_rate second_opinion \
                 course_rate_deg_s heading_change_deg seconds_per_90deg turn_per_minute_deg airspeed_mps \
                 ground_speed_mps climb_mps bank_deg air_radius_m altitude_m height_above_takeoff_m wind_speed_mps \
                 wind_from_deg wind_std_u_mps accepted reasons findings",
            ),
            ("/windows/0/turn_rate", "value_deg_s std_u_deg_s low95_deg_s high95_deg_s"),
            ("/windows/0/steady_rate", "value_deg_s std_u_deg_s low95_deg_s high95_deg_s"),
            ("/windows/0/second_opinion", "method value_deg_s std_u_deg_s"),
        ] {
            let object = document.pointer(pointer).and_then(Value::as_object).expect(pointer);
            for key in keys.split_whitespace() {
                assert!(object.contains_key(key), "{pointer}/{key} is missing");
            }
        }
    }
    let profile = document(&flight())["wind"]["profile"][0].clone();
    for key in ["time_utc", "altitude_m", "speed_mps", "from_deg", "east_mps", "north_mps", "std_u_mps"] {
        assert!(profile[key].is_string() || profile[key].is_number(), "{key}");
    }
}

#[test]
fn derived_numbers_come_out_in_the_units_of_their_keys() {
    let document = document(&flight());
    let window = &document["windows"][0];
    let number = |pointer: &str| window.pointer(pointer).and_then(Value::as_f64).expect(pointer);
    assert!((number("/turn_rate/value_deg_s") - 3.04).abs() < 1e-12);
    assert!((number("/turn_per_minute_deg") - 182.4).abs() < 1e-9);
    assert!((number("/seconds_per_90deg") - 90.0 / 3.04).abs() < 1e-9);
    assert!((number("/heading_change_deg") - 182.4).abs() < 1e-9);
    assert!((number("/wind_from_deg") - 270.0).abs() < 1e-9);
    // 1.959964 is the normal quantile (JCGM 100, table G.2, infinite degrees of freedom), 2.262157 Student's for 9.
    assert!((number("/turn_rate/high95_deg_s") - (3.04 + 1.959_964 * 0.05)).abs() < 1e-5);
    assert!((number("/steady_rate/coverage_factor95") - 2.262_157).abs() < 1e-5);
    assert!(window["turn_rate"]["degrees_of_freedom"].is_null());
    assert_eq!(window["scenario"], "trim-level");
    assert_eq!(window["origin"], "marked");
    assert_eq!(document["windows"][1]["hands_off"], "candidate");
    assert_eq!(document["problems"][0]["severity"], "warning");
    assert_eq!(document["log"]["format"], "gpx");
}

#[test]
fn times_are_utc_with_milliseconds_and_bound_the_rate() {
    let document = document(&flight());
    let window = &document["windows"][0];
    assert_eq!(window["start_utc"], "2026-09-12T08:05:00.250Z");
    assert_eq!(window["end_utc"], "2026-09-12T08:06:00.250Z");
    assert_eq!(document["log"]["start_utc"], "2026-09-12T08:00:00.250Z");
}

#[test]
fn what_is_not_known_is_null_and_never_a_number() {
    let document = document(&flight_without_wind());
    assert_eq!(document["wind"]["observable"], false);
    assert_eq!(document["wind"]["profile"].as_array().map(Vec::len), Some(0));
    let window = &document["windows"][0];
    assert!(window["turn_rate"]["value_deg_s"].is_null());
    assert!(window["second_opinion"]["value_deg_s"].is_null());
    assert!(window["wind_speed_mps"].is_null());
    assert!(window["seconds_per_90deg"].is_null());
}

#[test]
fn a_rate_without_the_wind_has_no_wind_beside_it() {
    let analysis = flight_with_airspeed_open();
    let document = document(&analysis);
    assert_eq!(document["wind"]["observable"], false);
    assert_eq!(document["wind"]["profile"].as_array().map(Vec::len), Some(0));
    assert_eq!(document["combined"].as_array().map(Vec::len), Some(0));
    let [open, refused] = [&document["windows"][0], &document["windows"][1]];
    assert_eq!((&open["accepted"], &refused["accepted"]), (&true.into(), &false.into()));
    assert!(open["turn_rate"]["value_deg_s"].is_number() && refused["turn_rate"]["value_deg_s"].is_null());
    let finding = serde_json::json!({ "code": "airspeed-open", "value": 5.0, "limit": null, "unit": "m/s" });
    assert_eq!(open["findings"], serde_json::json!([finding]));
    for key in ["wind_speed_mps", "wind_from_deg", "wind_std_u_mps", "airspeed_mps", "bank_deg", "air_radius_m"] {
        assert!(open[key].is_null(), "{key}");
    }
    let told = &document["problems"].as_array().expect("a list")[1..];
    assert!(told.iter().any(|p| p["code"] == "wind-not-known" && p["severity"] == "warning"), "{told:?}");
    let page = crate::html(&analysis, &DisplayUnits::default()).replace('\u{a0}', " ");
    assert!(page.contains("the rate holds for each airspeed between 8 and 13 m/s"));
    assert!(!page.contains("Mean wind") && !page.contains("m/s from") && !page.contains("9.4 m/s"));
}

#[test]
fn a_log_without_altitudes_has_none_in_the_document() {
    let mut analysis = flight();
    for point in &mut analysis.track.points {
        point.altitude_m = None.into();
    }
    for node in analysis.estimate.iter_mut().flat_map(|estimate| &mut estimate.nodes) {
        node.altitude_m = None;
    }
    for window in &mut analysis.windows {
        (window.altitude_m, window.height_above_takeoff_m, window.climb_mps) = (None, None, None);
    }
    let document = document(&analysis);
    for key in ["altitude_m", "climb_mps", "height_above_takeoff_m"] {
        assert!(document["windows"][0][key].is_null(), "{key}");
    }
    assert!(document["wind"]["profile"][0]["altitude_m"].is_null());
}

/// An interval without bounds (no degrees of freedom) must not become a number, nor break the document.
#[test]
fn an_unbounded_interval_is_null() {
    let mut analysis = flight();
    if let Some(rate) = &mut analysis.windows[0].steady_rate {
        rate.dof = 0.0;
    }
    let document = document(&analysis);
    assert!(document["windows"][0]["steady_rate"]["low95_deg_s"].is_null());
    assert!(document["windows"][0]["steady_rate"]["value_deg_s"].is_number());
}

#[test]
fn several_logs_are_one_line_each() {
    let line = json(&flight(), JsonLayout::Line).unwrap();
    assert_eq!(line.matches('\n').count(), 1);
    assert!(line.ends_with("}\n"));
}

/// Programs need no sentence taken apart: code, figure, limit and unit stand beside each.
#[test]
fn derived_findings_stand_beside_their_sentences() {
    let known = document(&flight());
    let refused = &known["windows"][2];
    let finding = serde_json::json!({ "code": "too-short", "value": 12.0, "limit": 20.0, "unit": "s" });
    assert_eq!(refused["findings"], serde_json::json!([finding]));
    assert_eq!(refused["reasons"].as_array().map(Vec::len), Some(1));
    assert!(known["wind"]["finding"].is_null());
    let unknown = document(&flight_without_wind());
    let finding = serde_json::json!({ "code": "wind-headings-too-alike", "value": 4.0, "limit": 1.5, "unit": "m/s" });
    assert_eq!(unknown["wind"]["finding"], finding);
    assert_eq!(unknown["windows"][0]["findings"][0], finding);
}

#[test]
fn a_flight_that_did_not_settle_says_so() {
    let mut analysis = flight();
    let settled = document(&analysis);
    assert_eq!((&settled["estimate"]["passes"], &settled["estimate"]["settled"]), (&14.into(), &true.into()));
    if let Some(estimate) = &mut analysis.estimate {
        estimate.settling = Settling { passes: 50, settled: false };
    }
    analysis.alerts.push(FlightAlert::NotSettled { passes: 50 });
    let document = document(&analysis);
    assert_eq!((&document["estimate"]["passes"], &document["estimate"]["settled"]), (&50.into(), &false.into()));
    let problems = document["problems"].as_array().expect("a list");
    let told = problems.iter().find(|p| p["code"] == "estimate-not-settled").expect("it is told");
    assert!(told["message"].as_str().is_some_and(|m| m.contains("did not settle in 50 passes")), "{told}");
    let units = DisplayUnits::default();
    let pages = [crate::text(&analysis, &units), crate::html(&analysis, &units)];
    assert!(pages.iter().all(|page| page.contains("did not settle in 50 passes")));
}
