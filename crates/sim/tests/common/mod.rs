//! A plain flight to vary: noise off, one power setting, in the air.

use driftless_sim::Scenario;
use driftless_sim::scenario::Leg;

const PLAIN: &str = r#"
name = "plain"
start_utc = "2026-05-01T06:00:00Z"

[site]
lat_deg = 47.0
lon_deg = 11.0
elevation_m = 500.0
heading_deg = 30.0
start_height_m = 500.0

[aircraft]
corrections_deg_s = 0.0
let_go_lag_s = 0.2

[aircraft.settings.trim-level]
airspeed_mps = 10.0
climb_mps = 0.0
residual = { rate_deg_s = 6.0 }

[aircraft.settings.full-power-climb]
airspeed_mps = 12.0
climb_mps = 2.0
residual = { rate_deg_s = -3.0 }

[air]
wind_mps = 4.0
wind_from_deg = 250.0

[sensors]
position_white_m = 0.0
position_slow_m = 0.0
altitude_white_m = 0.0
altitude_slow_m = 0.0

[[flight]]
do = "straight"
seconds = 10
"#;

/// The plain flight with other legs.
#[allow(dead_code, reason = "not every test file needs it")]
pub(crate) fn plain(legs: Vec<Leg>) -> Scenario {
    let mut scenario = Scenario::from_toml(PLAIN).expect("the plain scenario is valid");
    scenario.legs = legs;
    scenario
}

/// Its text.
#[allow(dead_code, reason = "not every test file needs it")]
pub(crate) const fn plain_text() -> &'static str {
    PLAIN
}
