//! Inertial data in the report: what is known is said, what is not is null, and any values can be drawn.

use driftless_analysis::{
    AlignError, FlightAnalysis, ImuError, InertialAnalysis, InertialStatus, NotAligned, NotRead, NotUsed, SensorsUsed,
};
use driftless_display::DisplayUnits;
use driftless_report::{JsonLayout, html, json, text};
use driftless_sample::{IMPOSSIBLE, with_sensor as analysis};
use serde_json::Value;

fn document(analysis: &FlightAnalysis) -> Value {
    serde_json::from_str(&json(analysis, JsonLayout::Pretty).unwrap()).unwrap()
}

fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn not_read(file: &str) -> InertialAnalysis {
    let why = NotRead { file: file.to_owned(), error: ImuError::Empty { bytes: 0 } };
    InertialAnalysis::new(Vec::new(), InertialStatus::NotRead(why))
}

/// Figures of the sample, rounded as people see them: the same on every machine, since nothing here is estimated.
#[test]
fn the_words_of_the_inertial_part() {
    let mut analysis = analysis(None);
    let inertial = analysis.inertial.as_mut().unwrap();
    inertial.status = InertialStatus::Used(SensorsUsed::Gyro);
    inertial.swing_period_s = Some(2.9);
    let text = text(&analysis, &DisplayUnits::default());
    let part = text.split_once("Inertial data").expect("the part").1.split_once("\n\n").expect("an end").0;
    insta::assert_snapshot!(part);
}

#[test]
fn any_values_can_be_told_of() {
    for odd in IMPOSSIBLE {
        let analysis = analysis(Some(odd));
        assert!(html(&analysis, &DisplayUnits::default()).len() < 2_000_000);
        let _ = text(&analysis, &DisplayUnits::default());
        let _ = document(&analysis);
    }
}

/// Each way a sensor can end has its verdict and its reason, the same in page, text and JSON.
#[test]
fn the_verdict_says_whether_the_sensor_helps() {
    type Change = fn(&mut InertialAnalysis);
    let cases: [(Change, &str, &str, &[&str]); 4] = [
        (
            |i| i.status = InertialStatus::Used(SensorsUsed::Gyro),
            "used",
            "The sensor helps: its gyro took part in the estimate",
            &["1.9 times narrower than by GPS alone"],
        ),
        (
            |i| i.status = InertialStatus::NotUsed(NotUsed::NoEstimate),
            "not-used",
            "The sensor does not help: it is aligned with the flight, but has no part in the turn rates",
            &["There is no estimate of the flight to take it into."],
        ),
        (
            |i| i.status = InertialStatus::NotAligned(NotAligned::Align(AlignError::NoOverlap { apart_s: 2e6 })),
            "not-aligned",
            "The sensor does not help: it cannot be aligned with the flight",
            &["is it from another day? Its own noise"],
        ),
        (
            |i| {
                *i = not_read("a.csv");
            },
            "not-read",
            "The sensor does not help: no inertial file could be read",
            &["rest on GPS alone. a.csv: the inertial file is empty (0 bytes)."],
        ),
    ];
    for (change, status, first, more) in cases {
        let mut analysis = analysis(None);
        change(analysis.inertial.as_mut().unwrap());
        let document = document(&analysis);
        assert_eq!(document["inertial"]["status"], status);
        assert_eq!(document["inertial"]["status_reason"].is_null(), status == "used");
        assert_eq!(document["inertial"]["status_finding"].is_null(), status == "used");
        if status == "not-aligned" {
            let finding = serde_json::json!({ "code": "no-overlap", "value": 2e6, "limit": null, "unit": "s" });
            assert_eq!(document["inertial"]["status_finding"], finding);
        }
        let page = html(&analysis, &DisplayUnits::default()).replace("</p><p>", " ");
        for words in
            [document["inertial"]["verdict"].as_str().unwrap(), &text(&analysis, &DisplayUnits::default()), &page]
        {
            let words = plain(&words.replace("</strong>", ""));
            assert!(words.contains(first) && more.iter().all(|m| words.contains(m)), "{status}: {words}");
        }
    }
}

/// The first window stands at 3.10 °/s with u = 0.05 and 42 degrees of freedom in the report, at 3.0 with u = 0.1 and many by
/// GPS alone: 0.1 · 1.960 against 0.05 · 2.018.
#[test]
fn what_gps_alone_gave_stands_beside_a_gyro_that_took_part() {
    let mut analysis = analysis(None);
    analysis.inertial.as_mut().unwrap().status = InertialStatus::Used(SensorsUsed::Gyro);
    let page = html(&analysis, &DisplayUnits::default()).replace('\u{a0}', " ");
    assert!(["3.00 ± 0.20<", "3.10 ± 0.10<", ">1.9<"].iter().all(|cell| page.contains(cell)), "{page}");
    let inertial = &document(&analysis)["inertial"];
    let alone = &inertial["windows"][0]["turn_rate_gps_alone"];
    assert!((alone["value_deg_s"].as_f64().unwrap() - 3.0).abs() < 1e-9 && alone["low95_deg_s"].is_number());
    assert!((inertial["gain_over_gps_alone"].as_f64().unwrap() - 1.94).abs() < 0.01, "{inertial}");
}

#[test]
fn the_status_turns_the_sentence() {
    let mut analysis = analysis(None);
    for (status, said, unsaid) in [
        (InertialStatus::NotUsed(NotUsed::NoEstimate), "has no part in the turn rates", "GPS and gyro together"),
        (InertialStatus::Used(SensorsUsed::Gyro), "GPS and gyro together", "has no part in the turn rates"),
    ] {
        let in_estimate = status.takes_part();
        analysis.inertial.as_mut().unwrap().status = status;
        for words in [html(&analysis, &DisplayUnits::default()), text(&analysis, &DisplayUnits::default())] {
            assert!(plain(&words).contains(said) && !plain(&words).contains(unsaid), "{words}");
        }
        assert_eq!(document(&analysis)["inertial"]["used_in_turn_rates"], in_estimate);
    }
}

#[test]
fn a_hint_is_called_a_hint() {
    let analysis = analysis(None);
    let words = plain(&text(&analysis, &DisplayUnits::default()));
    assert!(words.contains("perhaps off") && words.contains("a candidate stays a candidate"), "{words}");
    assert!(html(&analysis, &DisplayUnits::default()).contains("a candidate stays a candidate"));
}

/// Nothing but a reason: all keys stay, and none holds a number.
#[test]
fn what_is_not_known_is_null_with_its_reason() {
    let known = document(&analysis(None))["inertial"].as_object().unwrap().clone();
    let mut analysis = analysis(None);
    analysis.inertial = Some(not_read("phone.csv"));
    let unknown = document(&analysis)["inertial"].as_object().unwrap().clone();
    assert_eq!(known.keys().collect::<Vec<_>>(), unknown.keys().collect::<Vec<_>>());
    assert!(unknown.values().all(|v| !v.is_number()), "{unknown:?}");
    assert_eq!(unknown["clock_offset_reason"], "phone.csv: the inertial file is empty (0 bytes)");
    for words in [html(&analysis, &DisplayUnits::default()), text(&analysis, &DisplayUnits::default())] {
        assert!(plain(&words).contains("rest on GPS alone"), "{words}");
    }
}
