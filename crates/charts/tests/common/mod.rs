//! Invented flights for the tests of charts and report (which takes this file from here): a quarter of an hour, made of legs of steady turn.

pub(crate) mod inertial;

use chrono::DateTime;
use driftless_analysis::{
    Airborne, Finding, FlightAlert, FlightAnalysis, FlightEstimate, FlownFlight, HandsOff, LogFormat, MadeBy, Node,
    NoiseLevels, Observability, Origin, Problem, Scenario, SecondOpinion, Settling, Severity, Track, TrackPoint,
    UnclearWind, VelocityCircle, VelocitySource, Verdict, WindUnknown, Window, WindowMeasurement,
};
use driftless_track::{Gap, LocalFrame};
use driftless_units::{Angle, Estimate, Position, TurnRate, Velocity, Wind, air_radius_m, bank_rad, load_factor};

/// One leg: seconds, °/s, m/s through the air, m/s up.
const PLAN: [(u32, f64, f64, f64); 12] = [
    (60, 0.0, 10.4, 1.5),
    (72, 10.0, 10.4, 1.2),
    (50, 0.5, 10.4, 1.0),
    (70, 3.1, 10.4, 0.0),
    (60, -6.0, 10.4, 0.1),
    (70, 5.2, 12.6, -0.1),
    (45, -1.0, 10.6, 0.0),
    (60, 7.4, 10.5, 2.3),
    (40, -8.0, 10.4, 0.0),
    (60, 0.15, 10.2, -1.6),
    (80, -9.0, 10.4, -0.2),
    (240, 0.6, 10.4, -0.4),
];

/// The flight, at so many fixes a second.
pub(crate) fn flight_at(rate_hz: u32) -> FlightAnalysis {
    let dt_s = 1.0 / f64::from(rate_hz);
    let (mut points, mut nodes) = (Vec::new(), Vec::new());
    let (mut ground, mut through_air) = (Position::new(0.0, 0.0), Position::new(0.0, 0.0));
    let (mut heading, mut altitude_m, mut t_s) = (Angle::from_deg(40.0), 410.0_f64, 0.0_f64);
    for (seconds, turn_deg_s, airspeed_mps, climb_mps) in PLAN {
        for _ in 0..seconds * rate_hz {
            // Turbulence by two sines that never meet again: the same on every run and machine.
            let wander = 0.5 * (0.61 * t_s).sin() + 0.4 * (1.37 * t_s).cos();
            let turn = TurnRate::from_deg_s(turn_deg_s + wander);
            let gust = 0.25 * (0.43 * t_s).sin();
            let wind = Wind::from_speed_from(
                3.4 + 0.004 * (altitude_m - 410.0),
                Angle::from_deg(255.0 + 0.05 * (altitude_m - 410.0)),
            );
            let air = Velocity::from_speed_course(airspeed_mps + gust, heading);
            let velocity = wind.ground_velocity(air);
            let in_gap = (700.0..718.0).contains(&t_s);
            if !in_gap {
                points.push(TrackPoint {
                    t_s,
                    position: ground,
                    altitude_m: Some(altitude_m),
                    velocity,
                    velocity_source: VelocitySource::Recorded,
                    heading_true_deg: None,
                    heading_magnetic_deg: None,
                    true_airspeed_mps: None,
                    engine_rpm: None,
                    engine_noise: None,
                    fix_index: points.len(),
                });
                nodes.push(Node {
                    t_s,
                    altitude_m: Some(altitude_m),
                    air_position: through_air,
                    wind,
                    wind_cov: [0.02, 0.004, 0.03],
                    airspeed_mps: Estimate::new(airspeed_mps + gust, 0.12),
                    heading: Estimate::new(heading, Angle::from_deg(1.1)),
                    turn_rate: Estimate::new(turn, TurnRate::from_deg_s(0.4)),
                    climb_mps: Some(climb_mps),
                });
            }
            ground =
                Position::new(ground.east_m + velocity.east_mps * dt_s, ground.north_m + velocity.north_mps * dt_s);
            through_air =
                Position::new(through_air.east_m + air.east_mps * dt_s, through_air.north_m + air.north_mps * dt_s);
            heading = heading + Angle::from_rad(turn.rad_s() * dt_s);
            altitude_m += climb_mps * dt_s;
            t_s += dt_s;
        }
    }
    FlightAnalysis {
        made_by: MadeBy {
            version: "0.1.0".to_owned(),
            command: "driftless report heron-evening.gpx --marks <heron> & more.csv".to_owned(),
            input_sha256: "4f".repeat(32),
            config: vec![
                ("windows.min_length_s".to_owned(), "20".to_owned()),
                ("windows.caution_height_m".to_owned(), "150".to_owned()),
            ],
        },
        file: "logs/heron-evening.gpx".to_owned(),
        format: LogFormat::Gpx,
        fixes_read: points.len() + 3,
        track: Track {
            epoch: DateTime::from_timestamp(1_789_200_000, 250_000_000).unwrap(),
            frame: LocalFrame { lat_deg: 47.0, lon_deg: 11.0, altitude_m: 410.0 },
            points,
            gaps: vec![Gap { start_s: 699.0, end_s: 718.0 }],
            marks: vec![],
            flights: vec![Airborne::default()],
            takeoff_s: Some(4.0),
            landing_s: None,
            takeoff_altitude_m: Some(410.0),
            median_interval_s: dt_s,
            rounding_m: 0.003,
            problems: vec![],
        },
        problems: problems(),
        alerts: vec![],
        estimate: Some(FlightEstimate {
            nodes,
            smoothing: None,
            wind_changes_s: Vec::new(),
            noise: NoiseLevels {
                position_m: 0.7,
                gust_mps: 0.3,
                yaw_wander_deg_s: 0.4,
                airspeed_walk: 0.05,
                turn_walk: 0.5,
            },
            observability: Observability::Observable,
            settling: Settling { passes: 14, settled: true },
            turns: vec![],
        }),
        flights: vec![FlownFlight { airborne: Airborne::default(), windows: vec![1, 2, 3, 4, 5], wind_unknown: None }],
        circle: Some(VelocityCircle {
            wind: Wind::from_speed_from(3.6, Angle::from_deg(258.0)),
            wind_cov: [0.03, 0.006, 0.04],
            airspeed_mps: Estimate::with_dof(10.4, 0.1, 14.0),
            residual_mps: 0.35,
            start_s: 60.0,
            end_s: 252.0,
        }),
        windows: vec![
            window(1, 190.0, 250.0, Scenario::TrimLevel, 3.1, 4.4),
            candidate(window(2, 320.0, 378.0, Scenario::AcceleratedLevel, 5.2, 5.9)),
            low(window(3, 434.0, 485.0, Scenario::FullPowerClimb, 7.4, 6.1)),
            window(4, 532.0, 584.0, Scenario::PowerOffGlide, 0.05, -0.4),
            refused(candidate(window(5, 690.0, 722.0, Scenario::Unclassified, 0.6, 0.9))),
        ],
        compass: None,
        inertial: None,
    }
}

/// The flight at one fix a second.
pub(crate) fn flight() -> FlightAnalysis {
    flight_at(1)
}

/// A wind that the headings flown do not show.
const UNCLEAR: UnclearWind = UnclearWind::HeadingsTooAlike { wind_std_u_mps: 3.2, limit_mps: 1.5 };

/// The headings flown do not settle the wind: nothing is known but the track.
pub(crate) fn without_wind() -> FlightAnalysis {
    let mut analysis = flight();
    if let Some(estimate) = &mut analysis.estimate {
        estimate.observability = Observability::NotObservable(UNCLEAR);
    }
    analysis.circle = None;
    analysis.alerts = vec![FlightAlert::WindNotKnown(WindUnknown::Unclear(UNCLEAR))];
    for measured in &mut analysis.windows {
        measured.turn_rate = None;
        measured.steady_rate = None;
        measured.second_opinion = None;
        measured.heading_change = None;
        measured.airspeed_mps = None;
        measured.wind = None;
        measured.wind_std_u_mps = None;
        measured.bank = None;
        measured.air_radius_m = None;
        measured.load_factor = None;
        measured.verdict.findings = vec![Finding::WindUnknown(WindUnknown::Unclear(UNCLEAR))];
    }
    analysis
}

/// Values that no flight has.
pub(crate) const IMPOSSIBLE: [f64; 7] = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e9, -1e9, 1e300, 0.0];

/// The flight with `value` strewn over all that was measured.
pub(crate) fn with_impossible_values(value: f64) -> FlightAnalysis {
    let mut analysis = flight();
    for (i, point) in analysis.track.points.iter_mut().enumerate() {
        if i % 7 == 0 {
            point.altitude_m = Some(value);
            point.position = Position::new(value, -value);
            point.velocity = Velocity::new(value, value);
        }
    }
    for (i, node) in analysis.estimate.as_mut().unwrap().nodes.iter_mut().enumerate() {
        if i % 5 == 0 {
            node.altitude_m = Some(value);
            node.air_position = Position::new(-value, value);
            node.wind.east_mps = value;
            node.wind_cov = [value; 3];
            node.airspeed_mps = Estimate::with_dof(value, value, value);
            node.heading.value = Angle::from_deg(value);
            node.turn_rate.value = TurnRate::from_deg_s(value);
            node.climb_mps = Some(value);
        }
    }
    let circle = analysis.circle.as_mut().unwrap();
    circle.wind.north_mps = value;
    circle.airspeed_mps.value = value;
    circle.wind_cov = [value; 3];
    for measured in &mut analysis.windows {
        measured.turn_rate = Some(Estimate::with_dof(TurnRate::from_deg_s(value), TurnRate::from_deg_s(value), value));
        measured.course_rate = Some(TurnRate::from_deg_s(value));
    }
    analysis
}

fn problems() -> Vec<Problem> {
    let problem = |code, severity, message: &str, count| Problem {
        code,
        severity,
        message: message.to_owned(),
        line: Some(812),
        byte: Some(60_231),
        count,
        help: Some("nothing to do when there are few; else check the logger's settings".to_owned()),
    };
    vec![
        problem("bad-coordinate", Severity::Warning, "latitude 95 is outside −90 to 90 & was left out", 3),
        problem("gap", Severity::Note, "18 s without data", 1),
    ]
}

fn window(
    id: u32,
    start_s: f64,
    end_s: f64,
    scenario: Scenario,
    rate_deg_s: f64,
    course_deg_s: f64,
) -> WindowMeasurement {
    let rate = TurnRate::from_deg_s(rate_deg_s);
    let bank = bank_rad(10.4, rate);
    let deg_s = TurnRate::from_deg_s;
    WindowMeasurement {
        window: Window {
            id,
            let_go_s: start_s - 7.0,
            take_over_s: end_s + 1.5,
            start_s,
            end_s,
            origin: Origin::Given,
            hands_off: HandsOff::Confirmed,
            scenario,
            setup: Some("Heron frame, vane 2".to_owned()),
            note: None,
        },
        verdict: Verdict::default(),
        turn_rate: Some(Estimate::with_dof(rate, deg_s(0.05), 42.0)),
        steady_rate: Some(Estimate::with_dof(deg_s(rate_deg_s + 0.03), deg_s(0.17), 11.0)),
        heading_change: Some(Estimate::new(Angle::from_deg(rate_deg_s * (end_s - start_s)), Angle::from_deg(1.6))),
        second_opinion: Some(SecondOpinion {
            turn_rate: Estimate::with_dof(deg_s(rate_deg_s - 0.12), deg_s(0.2), 20.0),
            with_window_wind: None,
            residual_m: 0.6,
            noise_m: 0.5,
            apart: -0.5,
        }),
        course_rate: Some(deg_s(course_deg_s)),
        airspeed_mps: Some(Estimate::new(10.4, 0.12)),
        ground_speed_mps: 12.1,
        climb_mps: Some(0.1),
        bank: Some(Angle::from_rad(bank)),
        air_radius_m: Some(air_radius_m(10.4, rate)),
        load_factor: Some(load_factor(bank)),
        altitude_m: Some(620.0),
        height_above_takeoff_m: Some(203.0),
        wind: Some(Wind::from_speed_from(3.8, Angle::from_deg(262.0))),
        wind_std_u_mps: Some(0.16),
    }
}

fn candidate(mut measured: WindowMeasurement) -> WindowMeasurement {
    measured.window.origin = Origin::Found;
    measured.window.hands_off = HandsOff::Candidate;
    measured.window.setup = None;
    measured
}

fn low(mut measured: WindowMeasurement) -> WindowMeasurement {
    measured.height_above_takeoff_m = Some(122.0);
    measured.verdict.findings = vec![Finding::FlownLow { height_m: 122.0, limit_m: 150.0 }];
    measured
}

fn refused(mut measured: WindowMeasurement) -> WindowMeasurement {
    measured.verdict.findings = vec![Finding::GapInLog { longest_s: 19.0, limit_s: 5.0 }];
    measured
}
