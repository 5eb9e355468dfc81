//! The windows of the flights, with what was measured in them.

use driftless_analysis::{Finding, HandsOff, Origin, Scenario, SecondOpinion, Verdict, Window, WindowMeasurement};
use driftless_units::{Angle, Estimate, TurnRate, Wind, air_radius_m, bank_rad, load_factor};

/// Marked, accepted, its turn rate known without limit of degrees of freedom.
fn window(
    id: u32,
    span_s: [f64; 2],
    scenario: Scenario,
    rate_deg_s: f64,
    airspeed: Estimate<f64>,
) -> WindowMeasurement {
    let deg_s = TurnRate::from_deg_s;
    let rate = deg_s(rate_deg_s);
    let bank = bank_rad(airspeed.value, rate);
    let [start_s, end_s] = span_s;
    WindowMeasurement {
        window: Window {
            id,
            let_go_s: start_s - 8.0,
            take_over_s: end_s + 2.0,
            start_s,
            end_s,
            origin: Origin::Marked,
            hands_off: HandsOff::Confirmed,
            scenario,
            scenario_basis: driftless_analysis::ScenarioBasis::Marked,
            setup: None,
            note: None,
        },
        verdict: Verdict::default(),
        turn_rate: Some(Estimate::new(rate, deg_s(0.05))),
        steady_rate: Some(Estimate::with_dof(rate, deg_s(0.17), 9.0)),
        heading_change: Some(Estimate::new(
            Angle::from_rad(rate.rad_s() * (end_s - start_s)),
            Angle::from_deg(0.05 * (end_s - start_s)),
        )),
        second_opinion: Some(SecondOpinion {
            turn_rate: Estimate::new(deg_s(rate_deg_s + 0.1), deg_s(0.2)),
            with_window_wind: None,
            residual_m: 0.6,
            noise_m: 0.5,
            apart: -0.5,
        }),
        course_rate: Some(deg_s(1.4 * rate_deg_s)),
        airspeed_mps: Some(airspeed),
        ground_speed_mps: 12.1,
        climb_mps: Some(0.1),
        bank: Some(Angle::from_rad(bank)),
        air_radius_m: Some(air_radius_m(airspeed.value, rate)),
        load_factor: Some(load_factor(bank)),
        altitude_m: Some(431.0),
        height_above_takeoff_m: Some(46.0),
        wind: Some(Wind::from_speed_from(5.0, Angle::from_deg(270.0))),
        wind_std_u_mps: Some(0.2),
    }
}

/// Three with round figures: a marked one, a found one, a refused one.
pub(crate) fn of_round_flight() -> Vec<WindowMeasurement> {
    let of = |id, start_s, scenario, rate_deg_s| {
        window(id, [start_s, start_s + 60.0], scenario, rate_deg_s, Estimate::new(11.0, 0.15))
    };
    let mut refused = candidate(of(3, 1100.0, Scenario::Unclassified, -6.2));
    refused.window.end_s = refused.window.start_s + 12.0;
    refused.window.take_over_s = refused.window.end_s + 1.0;
    refused.verdict.findings = vec![Finding::TooShort { length_s: 12.0, cut_s: 8.0, limit_s: 20.0 }];
    vec![of(1, 300.0, Scenario::TrimLevel, 3.04), candidate(of(2, 700.0, Scenario::FullPowerClimb, -0.04)), refused]
}

/// One in each scenario, one of them low and one of them found, and a refused one.
pub(crate) fn of_turning_flight() -> Vec<WindowMeasurement> {
    let mut low = named(434.0, 485.0, 3, Scenario::FullPowerClimb, 7.4, 6.1);
    low.height_above_takeoff_m = Some(122.0);
    low.verdict.findings = vec![Finding::FlownLow { height_m: 122.0, limit_m: 150.0 }];
    let mut refused = candidate(named(690.0, 722.0, 5, Scenario::Unclassified, 0.6, 0.9));
    refused.verdict.findings = vec![Finding::GapInLog { longest_s: 19.0, limit_s: 5.0 }];
    vec![
        named(190.0, 250.0, 1, Scenario::TrimLevel, 3.1, 4.4),
        candidate(named(320.0, 378.0, 2, Scenario::AcceleratedLevel, 5.2, 5.9)),
        low,
        named(532.0, 584.0, 4, Scenario::PowerOffGlide, 0.05, -0.4),
        refused,
    ]
}

/// From a marks file that names the set-up.
fn named(
    start_s: f64,
    end_s: f64,
    id: u32,
    scenario: Scenario,
    rate_deg_s: f64,
    course_deg_s: f64,
) -> WindowMeasurement {
    let deg_s = TurnRate::from_deg_s;
    let mut measured = window(id, [start_s, end_s], scenario, rate_deg_s, Estimate::new(10.4, 0.12));
    measured.window.let_go_s = start_s - 7.0;
    measured.window.take_over_s = end_s + 1.5;
    measured.window.origin = Origin::Given;
    measured.window.setup = Some("Heron frame, vane 2".to_owned());
    measured.turn_rate = Some(Estimate::with_dof(deg_s(rate_deg_s), deg_s(0.05), 42.0));
    measured.steady_rate = Some(Estimate::with_dof(deg_s(rate_deg_s + 0.03), deg_s(0.17), 11.0));
    measured.heading_change =
        Some(Estimate::new(Angle::from_deg(rate_deg_s * (end_s - start_s)), Angle::from_deg(1.6)));
    measured.second_opinion = Some(SecondOpinion {
        turn_rate: Estimate::with_dof(deg_s(rate_deg_s - 0.12), deg_s(0.2), 20.0),
        with_window_wind: None,
        residual_m: 0.6,
        noise_m: 0.5,
        apart: -0.5,
    });
    measured.course_rate = Some(deg_s(course_deg_s));
    measured.altitude_m = Some(620.0);
    measured.height_above_takeoff_m = Some(203.0);
    measured.wind = Some(Wind::from_speed_from(3.8, Angle::from_deg(262.0)));
    measured.wind_std_u_mps = Some(0.16);
    measured
}

/// Found by the program.
fn candidate(mut measured: WindowMeasurement) -> WindowMeasurement {
    measured.window.origin = Origin::Found;
    measured.window.hands_off = HandsOff::Candidate;
    measured.window.setup = None;
    measured
}
