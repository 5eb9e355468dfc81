//! Every kind of finding in words, in the units of a pilot of either kind.

use super::*;
use driftless_analysis::{UnclearWind, WindUnknown};

fn said(finding: &Finding, units: &str) -> String {
    reason(finding, &units.parse().unwrap()).replace('\u{a0}', " ")
}

#[test]
fn derived_speeds_and_heights_come_in_the_units_asked_for() {
    let slower =
        Finding::SpeedChanging { speed: SteadySpeed::Airspeed, change_mps: -2.5, std_u_mps: 0.2, limit_mps: 1.5 };
    assert_eq!(
        said(&slower, "si"),
        "airspeed not steady: by −2.5 m/s from start to end (standard uncertainty 0.2), limit 1.5 m/s"
    );
    // 1 m/s is 1.943 844 kt and 3.6 km/h; 1 m is 3.280 84 ft.
    assert_eq!(
        said(&slower, "kt,ft"),
        "airspeed not steady: by −4.9 kt from start to end (standard uncertainty 0.4), limit 2.9 kt"
    );
    assert_eq!(
        said(&slower, "kmh"),
        "airspeed not steady: by −9.0 km/h from start to end (standard uncertainty 0.7), limit 5.4 km/h"
    );
    let changed = Finding::WindChanged { after_s: 23.4 };
    assert_eq!(
        said(&changed, "si"),
        "caution, the wind changed: about 23 s after its start; the uncertainty allows for it"
    );
    let low = Finding::FlownLow { height_m: 80.0, limit_m: 150.0 };
    assert_eq!(said(&low, "si"), "caution, flown low: 80 m above take-off, 150 m advised");
    assert_eq!(said(&low, "kt,ft"), "caution, flown low: 262 ft above take-off, 492 ft advised");
    let over_landing = Finding::LowOverLanding { height_m: 80.0, limit_m: 150.0 };
    assert_eq!(said(&over_landing, "si"), "caution, low over the landing place: 80 m above it, 150 m advised");
    let after = Finding::JustAfterTakeOff { after_s: 12.0, limit_s: 60.0 };
    assert_eq!(said(&after, "si"), "caution, just after take-off: 12.0 s after it, 60 s advised");
    let before = Finding::JustBeforeLanding { before_s: 31.0, limit_s: 60.0 };
    assert_eq!(said(&before, "si"), "caution, just before landing: 31.0 s before it, 60 s advised");
    let below = Finding::BelowTakeOff { height_m: -30.0 };
    assert_eq!(said(&below, "kt"), "caution, below take-off: 98 ft below take-off, height over the ground not known");
}

#[test]
fn derived_turn_rates_come_in_the_unit_asked_for() {
    let winding_up = Finding::TurnRateChanging { change_deg_s: 3.0, std_u_deg_s: 0.11, limit_deg_s: 1.5 };
    assert_eq!(
        said(&winding_up, "si"),
        "turn rate still changing: by +3.0 °/s from start to end (standard uncertainty 0.1), limit 1.5 °/s"
    );
    assert_eq!(
        said(&winding_up, "si,°/min"),
        "turn rate still changing: by +180 °/min from start to end (standard uncertainty 7), limit 90 °/min"
    );
    // Seconds per 90° have no place for "no turn at all".
    assert_eq!(said(&winding_up, "s/90"), said(&winding_up, "si"));
    let vague = Finding::RateUncertain { std_u_deg_s: 0.8, limit_deg_s: 0.5 };
    assert_eq!(said(&vague, "si"), "turn rate not known well enough: standard uncertainty 0.80 °/s, limit 0.5 °/s");
    assert_eq!(said(&vague, "°/min"), "turn rate not known well enough: standard uncertainty 48 °/min, limit 30 °/min");
}

#[test]
fn regression_a_figure_never_reads_as_its_limit() {
    let scatters = Finding::SpeedScatters { speed: SteadySpeed::Airspeed, scatter_mps: 1.52, limit_mps: 1.5 };
    assert_eq!(said(&scatters, "si"), "airspeed not steady: scatters by 1.6 m/s (standard deviation), limit 1.5 m/s");
    let wind = Finding::WindUnknown(WindUnknown::Unclear(UnclearWind::HeadingsTooAlike {
        wind_std_u_mps: 1.5004,
        limit_mps: 1.5,
    }));
    assert_eq!(
        said(&wind, "si"),
        "wind not known: the headings flown leave the wind uncertain by 1.6 m/s on each axis (standard uncertainty), \
         limit 1.5 m/s"
    );
    let short = Finding::TooShort { length_s: 19.98, cut_s: 8.0, limit_s: 20.0 };
    assert_eq!(
        said(&short, "si"),
        "too short: 19.9 s are left after 8.0 s for the transient, at least 20 s are needed"
    );
    let early = Finding::BeforeTakeOff { by_s: 0.2 };
    assert_eq!(said(&early, "si"), "begins before take-off: by 1 s");
}

#[test]
fn regression_a_limit_is_not_rounded() {
    let fast = Finding::CandidateTurnsFast { rate_deg_s: -11.0, limit_deg_s: 7.5 };
    assert_eq!(
        said(&fast, "si"),
        "turns too fast for a candidate: −11.0 °/s; nobody marked it, and above 7.5 °/s it is taken as flown"
    );
}

#[test]
fn derived_a_turn_away_from_the_mean_is_told_with_its_time() {
    let input = Finding::PilotInput { rate_deg_s: 12.0, departure_deg_s: 7.9, held_s: 3.0, limit_deg_s: 6.0 };
    assert_eq!(said(&input, "si"), "pilot input likely: +12.0 °/s for 3 s, +7.9 °/s off its mean, limit 6 °/s");
}
