//! Inertial data in the report: what is known is said, what is not is null, and any values can be drawn.

#[allow(dead_code, reason = "each test file uses its part")]
mod common;

use common::flight;
use driftless_analysis::{
    BiasSlope, Difference, FlightAnalysis, HandsHint, Headings, InertialAnalysis, InertialSource, InertialWindow,
    SensorHealth, Spectrum, TemperatureHealth,
};
use driftless_inertial::allan::{overlapping, read_off};
use driftless_report::{DisplayUnits, JsonLayout, charts, html, json, text};
use driftless_units::{Angle, Estimate, TurnRate};
use serde_json::Value;

/// A sensor that slept for forty seconds and then saw the flight; `odd` stands for a few of its values.
fn analysis(odd: Option<f64>) -> FlightAnalysis {
    let mut analysis = flight();
    // White noise by the generator of NIST SP 1065, section 12.4.
    let mut n = 1_234_567_890_u64;
    let mut white = || {
        n = 16_807 * n % 2_147_483_647;
        1e-3 * (n as f64 / 2_147_483_647.0 - 0.5)
    };
    let rates: Vec<f64> = (0..2000).map(|_| white()).collect();
    let mut curve = overlapping(&rates, 0.02);
    let noise = Some(read_off(&curve));
    let t_s: Vec<f64> = (0..900).map(f64::from).collect();
    let mut headings = Headings {
        by_estimate: true,
        flight_deg: t_s.iter().map(|t| 3.0 * t).collect(),
        gyro_less_flight_deg: t_s.iter().map(|t| (*t % 400.0 > 0.5).then(|| (0.01 * t).sin())).collect(),
        compass_t_s: t_s.clone(),
        compass_less_flight_deg: t_s.iter().map(|t| 4.0 * (0.1 * t).sin()).collect(),
        gyro: Some(Difference { mean_deg: 0.0, scatter_deg: 0.7, within95_deg: 1.0, count: 897 }),
        compass: Some(Difference { mean_deg: 0.1, scatter_deg: 2.8, within95_deg: 4.0, count: 900 }),
        t_s,
    };
    let frequency_hz: Vec<f64> = (1..200).map(|k| 0.05 * f64::from(k)).collect();
    let mut deg2_per_hz: Vec<f64> = frequency_hz.iter().map(|hz| 1.0 / (1.0 + (hz - 0.35).powi(2) * 400.0)).collect();
    if let Some(odd) = odd {
        curve[3].deviation = odd;
        headings.flight_deg[5] = odd;
        headings.gyro_less_flight_deg[9] = Some(odd);
        headings.compass_less_flight_deg[11] = odd;
        headings.t_s[700] = odd;
        deg2_per_hz[7] = odd;
    }
    let spectrum = Spectrum { frequency_hz, deg2_per_hz };
    analysis.inertial = Some(InertialAnalysis {
        files: vec![InertialSource { name: "logs/<phone>.csv".to_owned(), sha256: "ab".repeat(32) }],
        health: Some(SensorHealth {
            gyro_rate_hz: odd.unwrap_or(50.0),
            gaps: 1,
            missing_s: 2.0,
            still: None,
            allan: [curve.clone(), curve.clone(), curve],
            noise,
            temperature: Some(TemperatureHealth {
                range_c: [odd.unwrap_or(21.0), 25.0],
                ends_c: [21.0, 25.0],
                of_flight: true,
                bias_slope: Some(BiasSlope {
                    rad_s_per_k: [Estimate::new(odd.unwrap_or(0.02).to_radians(), 0.004_f64.to_radians()); 3],
                    range_c: [21.0, 25.0],
                    seconds: 120.0,
                }),
            }),
        }),
        verdict: Some("Its own noise is small, so it helps".to_owned()),
        headings: Some(headings),
        windows: vec![InertialWindow {
            id: 1,
            gps_alone: Some(Estimate::new(TurnRate::from_deg_s(odd.unwrap_or(3.0)), TurnRate::from_deg_s(0.1))),
            heading_change: Some(Estimate::new(Angle::from_deg(odd.unwrap_or(184.0)), Angle::from_deg(2.0))),
            roll: Some(spectrum.clone()),
            twist: Some(spectrum),
            swing_period_s: Some(2.9),
            hint: HandsHint::Off { ratio: 0.45 },
        }],
        ..InertialAnalysis::default()
    });
    analysis
}

fn document(analysis: &FlightAnalysis) -> Value {
    serde_json::from_str(&json(analysis, JsonLayout::Pretty).unwrap()).unwrap()
}

fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn charts_state_what_was_found() {
    let all = charts(&analysis(None), &DisplayUnits::default());
    let headline = |id: &str| &all.iter().find(|c| c.id == id).unwrap_or_else(|| panic!("{id}")).headline;
    assert_eq!(
        headline("inertial-headings"),
        "Over the flight, gyro and GPS headings differ by 0.7° rms; compass by 2.8°, which is not to be trusted"
    );
    assert!(headline("allan").starts_with("The gyro's own noise"));
    assert!(headline("swing").contains("rms in the windows"));
}

/// Figures of the sample, rounded as people see them: the same on every machine, since nothing here is estimated.
#[test]
fn the_words_of_the_inertial_part() {
    let mut analysis = analysis(None);
    let inertial = analysis.inertial.as_mut().unwrap();
    inertial.in_estimate = true;
    inertial.swing_period_s = Some(2.9);
    let text = text(&analysis, &DisplayUnits::default());
    let part = text.split_once("Inertial data").expect("the part").1.split_once("\n\n").expect("an end").0;
    insta::assert_snapshot!(part);
}

#[test]
fn any_values_can_be_drawn_and_none_is_written() {
    for odd in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 0.0, 1e300, -1e9] {
        let analysis = analysis(Some(odd));
        for chart in charts(&analysis, &DisplayUnits::default()) {
            assert!(!chart.svg.contains("NaN") && !chart.svg.contains("inf"), "{} with {odd}", chart.id);
        }
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
            |i| i.in_estimate = true,
            "used",
            "The sensor helps: its gyro took part in the estimate",
            &["1.9 times narrower than by GPS alone"],
        ),
        (
            |i| i.not_used = Some("the clock offset is known to 0.20 s only".to_owned()),
            "not-used",
            "The sensor does not help: it is aligned with the flight, but has no part in the turn rates",
            &["The clock offset is known to 0.20 s only."],
        ),
        (
            |i| i.not_aligned = Some("is it from another day?".to_owned()),
            "not-aligned",
            "The sensor does not help: it cannot be aligned with the flight",
            &["Is it from another day? Its own noise"],
        ),
        (
            |i| {
                *i =
                    InertialAnalysis { not_aligned: Some("a.csv: the file is empty".to_owned()), ..Default::default() };
            },
            "not-read",
            "The sensor does not help: no inertial file could be read",
            &["rest on GPS alone. a.csv: the file is empty."],
        ),
    ];
    for (change, status, first, more) in cases {
        let mut analysis = analysis(None);
        change(analysis.inertial.as_mut().unwrap());
        let document = document(&analysis);
        assert_eq!(document["inertial"]["status"], status);
        assert_eq!(document["inertial"]["status_reason"].is_null(), status == "used");
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
    assert!(charts(&analysis, &DisplayUnits::default()).iter().all(|c| c.id != "inertial-gain"));
    analysis.inertial.as_mut().unwrap().in_estimate = true;
    let all = charts(&analysis, &DisplayUnits::default());
    let gain = all.iter().find(|c| c.id == "inertial-gain").expect("a chart");
    assert_eq!(plain(&gain.headline), "With the sensor the intervals are 1.9 times narrower than by GPS alone");
    let page = html(&analysis, &DisplayUnits::default()).replace('\u{a0}', " ");
    assert!(["3.00 ± 0.20<", "3.10 ± 0.10<", ">1.9<"].iter().all(|cell| page.contains(cell)), "{page}");
    let inertial = &document(&analysis)["inertial"];
    let alone = &inertial["windows"][0]["turn_rate_gps_alone"];
    assert!((alone["value_deg_s"].as_f64().unwrap() - 3.0).abs() < 1e-9 && alone["low95_deg_s"].is_number());
    assert!((inertial["gain_over_gps_alone"].as_f64().unwrap() - 1.94).abs() < 0.01, "{inertial}");
}

/// What is read off the Allan curve is marked where it was read, with its units and the lines it belongs to.
#[test]
fn the_allan_chart_marks_what_is_read_off_it() {
    let all = charts(&analysis(None), &DisplayUnits::default());
    let allan = all.iter().find(|c| c.id == "allan").expect("a chart");
    for words in ["angle random walk 0", "°/√s (", "°/√h), read at 1 s", "bias instability at most 0", "°/h)"] {
        assert!(allan.svg.contains(words), "{words}: {}", allan.svg);
    }
    assert!(allan.subtitle.contains("slope −1/2") && allan.subtitle.contains("0.664"));
    // A dotted line each, and a marker on each beside the one in the legend.
    assert_eq!(allan.svg.matches("stroke-dasharray=\"5 12\"").count(), 2);
}

#[test]
fn one_flag_turns_the_sentence() {
    let mut analysis = analysis(None);
    for (in_estimate, said, unsaid) in [
        (false, "has no part in the turn rates", "GPS and gyro together"),
        (true, "GPS and gyro together", "has no part in the turn rates"),
    ] {
        analysis.inertial.as_mut().unwrap().in_estimate = in_estimate;
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
    analysis.inertial = Some(InertialAnalysis {
        not_aligned: Some("phone.csv: the file is empty".to_owned()),
        ..InertialAnalysis::default()
    });
    let unknown = document(&analysis)["inertial"].as_object().unwrap().clone();
    assert_eq!(known.keys().collect::<Vec<_>>(), unknown.keys().collect::<Vec<_>>());
    assert!(unknown.values().all(|v| !v.is_number()), "{unknown:?}");
    assert_eq!(unknown["clock_offset_reason"], "phone.csv: the file is empty");
    for words in [html(&analysis, &DisplayUnits::default()), text(&analysis, &DisplayUnits::default())] {
        assert!(plain(&words).contains("rest on GPS alone"), "{words}");
    }
    let all = charts(&analysis, &DisplayUnits::default());
    assert!(all.iter().all(|c| !["inertial-headings", "allan", "swing"].contains(&c.id.as_str())));
}
