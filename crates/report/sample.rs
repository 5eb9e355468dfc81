//! An invented analysis for the tests of this crate: half an hour at 11 m/s in a wind of 5 m/s from the west.

use chrono::{DateTime, Utc};
use driftless_analysis::{
    Airborne, Finding, FlightAlert, FlightAnalysis, FlightEstimate, FlownFlight, HandsOff, LogFormat, MadeBy, Node,
    NoiseLevels, Observability, Origin, Problem, Scenario, SecondOpinion, Settling, Severity, Track, TrackPoint,
    UnclearWind, VelocityCircle, VelocitySource, Verdict, WindUnknown, Window, WindowMeasurement,
};
use driftless_track::{Gap, LocalFrame};
use driftless_units::{Angle, Estimate, Position, TurnRate, Velocity, Wind, air_radius_m, bank_rad, load_factor};

const AIRSPEED_MPS: f64 = 11.0;
const DURATION_S: u32 = 1800;

/// When the sample flight began.
pub(crate) fn epoch() -> DateTime<Utc> {
    DateTime::from_timestamp(1_789_200_000, 250_000_000).unwrap_or_default()
}

/// A flight with an accepted marked window, an accepted candidate and a refused one.
pub(crate) fn flight() -> FlightAnalysis {
    let wind = Wind::from_speed_from(5.0, Angle::from_deg(270.0));
    let turn = TurnRate::from_deg_s(3.0);
    let (mut points, mut nodes) = (Vec::new(), Vec::new());
    let (mut ground, mut through_air) = (Position::new(0.0, 0.0), Position::new(0.0, 0.0));
    for second in 0..=DURATION_S {
        let t_s = f64::from(second);
        let heading = Angle::from_rad(turn.rad_s() * t_s);
        let air = Velocity::from_speed_course(AIRSPEED_MPS, heading);
        let over_ground = wind.ground_velocity(air);
        let altitude_m = 420.0 + 40.0 * (t_s / 400.0).sin();
        points.push(TrackPoint {
            t_s,
            position: ground,
            altitude_m: Some(altitude_m),
            velocity: over_ground,
            velocity_source: VelocitySource::Positions,
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
            wind_cov: [0.04, 0.0, 0.04],
            airspeed_mps: Estimate::new(AIRSPEED_MPS, 0.15),
            heading: Estimate::new(heading, Angle::from_deg(1.2)),
            turn_rate: Estimate::new(turn, TurnRate::from_deg_s(0.3)),
            climb_mps: Some(0.1 * (t_s / 400.0).cos()),
        });
        ground = Position::new(ground.east_m + over_ground.east_mps, ground.north_m + over_ground.north_mps);
        through_air = Position::new(through_air.east_m + air.east_mps, through_air.north_m + air.north_mps);
    }
    FlightAnalysis {
        made_by: MadeBy {
            version: "0.1.0".to_owned(),
            command: "driftless report sample.gpx".to_owned(),
            input_sha256: "0".repeat(64),
            config: vec![("min_window_s".to_owned(), "20".to_owned())],
        },
        file: "sample.gpx".to_owned(),
        format: LogFormat::Gpx,
        fixes_read: points.len() + 2,
        track: Track {
            epoch: epoch(),
            frame: LocalFrame { lat_deg: 47.0, lon_deg: 11.0, altitude_m: 420.0 },
            points,
            gaps: vec![Gap { start_s: 1700.0, end_s: 1712.0 }],
            marks: vec![],
            flights: vec![Airborne::default()],
            takeoff_s: Some(12.0),
            landing_s: None,
            takeoff_altitude_m: Some(380.0),
            median_interval_s: 1.0,
            rounding_m: 0.003,
            problems: vec![],
        },
        problems: vec![Problem {
            code: "bad-coordinate",
            severity: Severity::Warning,
            message: "latitude 95 is outside -90 to 90; the fix was left out".to_owned(),
            line: Some(812),
            byte: Some(60_231),
            count: 2,
            help: Some("nothing to do when there are few; else check the logger's settings".to_owned()),
        }],
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
        flights: vec![FlownFlight { airborne: Airborne::default(), windows: vec![1, 2, 3], wind_unknown: None }],
        circle: Some(VelocityCircle {
            wind,
            wind_cov: [0.04, 0.0, 0.04],
            airspeed_mps: Estimate::new(AIRSPEED_MPS, 0.15),
            residual_mps: 0.35,
            start_s: 0.0,
            end_s: 240.0,
        }),
        windows: vec![
            window(1, 300.0, Origin::Marked, Scenario::TrimLevel, TurnRate::from_deg_s(3.04)),
            window(2, 700.0, Origin::Found, Scenario::FullPowerClimb, TurnRate::from_deg_s(-0.04)),
            refused(window(3, 1100.0, Origin::Found, Scenario::Unclassified, TurnRate::from_deg_s(-6.2))),
        ],
        compass: None,
        inertial: None,
    }
}

/// A wind that the headings flown do not show.
const UNCLEAR: UnclearWind = UnclearWind::HeadingsTooAlike { wind_std_u_mps: 4.0, limit_mps: 1.5 };

/// The same flight with nothing determined: no wind, no windows.
pub(crate) fn flight_without_wind() -> FlightAnalysis {
    let mut analysis = flight();
    if let Some(estimate) = &mut analysis.estimate {
        estimate.observability = Observability::NotObservable(UNCLEAR);
    }
    analysis.alerts = vec![FlightAlert::WindNotKnown(WindUnknown::Unclear(UNCLEAR))];
    analysis.circle = None;
    for measured in &mut analysis.windows {
        measured.turn_rate = None;
        measured.steady_rate = None;
        measured.second_opinion = None;
        measured.heading_change = None;
        measured.wind = None;
        measured.verdict.findings = vec![Finding::WindUnknown(WindUnknown::Unclear(UNCLEAR))];
    }
    analysis
}

fn window(id: u32, start_s: f64, origin: Origin, scenario: Scenario, rate: TurnRate) -> WindowMeasurement {
    let length_s = 60.0;
    let bank = bank_rad(AIRSPEED_MPS, rate);
    WindowMeasurement {
        window: Window {
            id,
            let_go_s: start_s - 8.0,
            take_over_s: start_s + length_s + 2.0,
            start_s,
            end_s: start_s + length_s,
            origin,
            hands_off: if origin == Origin::Found { HandsOff::Candidate } else { HandsOff::Confirmed },
            scenario,
            setup: None,
            note: None,
        },
        verdict: Verdict::default(),
        turn_rate: Some(Estimate::new(rate, TurnRate::from_deg_s(0.05))),
        steady_rate: Some(Estimate::with_dof(rate, TurnRate::from_deg_s(0.17), 9.0)),
        heading_change: Some(Estimate::new(Angle::from_rad(rate.rad_s() * length_s), Angle::from_deg(0.05 * length_s))),
        second_opinion: Some(SecondOpinion {
            turn_rate: Estimate::new(TurnRate::from_deg_s(rate.deg_s() + 0.1), TurnRate::from_deg_s(0.2)),
            with_window_wind: None,
            residual_m: 0.6,
            noise_m: 0.5,
            apart: -0.5,
        }),
        course_rate: Some(TurnRate::from_deg_s(rate.deg_s() * 1.4)),
        airspeed_mps: Some(Estimate::new(AIRSPEED_MPS, 0.15)),
        ground_speed_mps: 12.1,
        climb_mps: Some(0.1),
        bank: Some(Angle::from_rad(bank)),
        air_radius_m: Some(air_radius_m(AIRSPEED_MPS, rate)),
        load_factor: Some(load_factor(bank)),
        altitude_m: Some(431.0),
        height_above_takeoff_m: Some(46.0),
        wind: Some(Wind::from_speed_from(5.0, Angle::from_deg(270.0))),
        wind_std_u_mps: Some(0.2),
    }
}

fn refused(mut measured: WindowMeasurement) -> WindowMeasurement {
    measured.window.end_s = measured.window.start_s + 12.0;
    measured.window.take_over_s = measured.window.end_s + 1.0;
    measured.verdict.findings = vec![Finding::TooShort { length_s: 12.0, cut_s: 8.0, limit_s: 20.0 }];
    measured
}
