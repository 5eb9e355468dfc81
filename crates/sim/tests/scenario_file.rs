//! Scenario files: what is refused, with which line, and that writing and reading is lossless.

mod common;

use common::plain_text;
use driftless_sim::scenario::Leg;
use driftless_sim::{Scenario, SimError, reference, simulate};

fn refused(from: &str, to: &str) -> String {
    let text = plain_text().replacen(from, to, 1);
    assert_ne!(text, plain_text(), "the replacement took place");
    Scenario::from_toml(&text).expect_err("must be refused").to_string()
}

#[test]
fn errors_name_the_line_and_the_key() {
    let line_of = |needle: &str| plain_text().lines().position(|l| l.contains(needle)).unwrap() + 1;
    let unknown = refused("wind_mps", "wnd_mps");
    assert!(unknown.contains(&format!("line {}", line_of("wind_mps"))) && unknown.contains("wnd_mps"), "{unknown}");
    let range = refused("airspeed_mps = 10.0", "airspeed_mps = 100.0");
    assert!(range.contains(&format!("line {}", line_of("airspeed_mps = 10.0"))), "{range}");
    assert!(range.contains("aircraft.settings.trim-level.airspeed_mps") && range.contains("100"), "{range}");
    let not_a_number = refused("wind_mps = 4.0", "wind_mps = nan");
    assert!(not_a_number.contains("`air.wind_mps` is NaN"), "{not_a_number}");
    let leg = refused("seconds = 10", "seconds = -1");
    assert!(leg.contains("flight[0].seconds") && leg.contains(&format!("line {}", line_of("seconds = 10"))), "{leg}");
    let setting = refused("seconds = 10", "seconds = 10\nsetting = \"power-off-glide\"");
    assert!(setting.contains("power-off-glide"), "{setting}");
    let propeller = refused(
        "{ rate_deg_s = 6.0 }",
        "{ torque = { power_kw = 5, engine_rpm = 6000, sensitivity_deg_s_per_nm = 0.1 } }",
    );
    assert!(propeller.contains("[aircraft.propeller]"), "{propeller}");
    // Regression: the calendar ends in 262142, and the flight ran past its end.
    let year = refused("2026-05-01T06:00:00Z", "+262142-12-31T23:59:00Z");
    assert!(year.contains("`start_utc` is in the year 262142") && year.contains("1980 and 2079"), "{year}");
    assert!(year.contains(&format!("line {}", line_of("start_utc"))), "{year}");
    assert!(refused("do = \"straight\"", "do = \"strait\"").contains("strait"));
    assert!(refused("name = \"plain\"", "name = \"../plain\"").contains("name"));
}

#[test]
fn a_reference_scenario_survives_writing_and_reading() {
    for seed in 0..20 {
        let scenario = reference::flight(reference::AirClass::Moderate, seed, &reference::Options::default());
        assert_eq!(Scenario::from_toml(&scenario.to_toml().unwrap()).unwrap(), scenario);
    }
}

#[test]
fn plans_that_cannot_be_flown_are_errors() {
    let mut scenario = Scenario::from_toml(plain_text()).unwrap();
    scenario.legs =
        vec![Leg::ToHeight { height_m: 800.0, setting: driftless_track::Scenario::TrimLevel, rate_deg_s: 0.0 }];
    assert!(matches!(simulate(&scenario, 0), Err(SimError::Endless { leg: 0, .. })));
    let climb = driftless_track::Scenario::FullPowerClimb;
    scenario.aircraft.settings.get_mut(&climb).unwrap().climb_mps = -5.0;
    scenario.legs = vec![Leg::Straight { seconds: 200.0, setting: Some(climb), heading_deg: None }];
    assert!(matches!(simulate(&scenario, 0), Err(SimError::HitsGround { leg: 0, .. })));
}
