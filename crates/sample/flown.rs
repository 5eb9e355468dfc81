//! The flights: legs of steady turn, flown into points and nodes.

use crate::windows::{of_round_flight, of_turning_flight};
use chrono::DateTime;
use driftless_analysis::{
    Airborne, Finding, FlightAlert, FlightAnalysis, FlightEstimate, FlownFlight, LogFormat, MadeBy, Node, NoiseLevels,
    Observability, Problem, Rival, Settling, Severity, Track, TrackPoint, UnclearWind, VelocityCircle, VelocitySource,
    WindUnknown, WindowMeasurement,
};
use driftless_track::{Gap, LocalFrame, OptionalF64};
use driftless_units::{Angle, Estimate, Position, TurnRate, Velocity, Wind};

/// One leg: seconds, °/s, m/s through the air, m/s up.
type Leg = (u32, f64, f64, f64);

const TURNING: [Leg; 12] = [
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

const ROUND: [Leg; 1] = [(1801, 3.0, 11.0, 0.0)];

/// What is flown, in which air.
struct Plan<'a> {
    legs: &'a [Leg],
    rate_hz: u32,
    heading_deg: f64,
    altitude_m: f64,
    /// The wind at a height above the start.
    wind: fn(f64) -> Wind,
    /// Turbulence of the turn, °/s, and gust along the path, m/s, at a time: sines that never meet again, the same on every run
    /// and machine.
    turbulence: fn(f64) -> [f64; 2],
    wind_cov: [f64; 3],
    /// Standard uncertainties of airspeed, m/s, heading, degrees, and turn rate, °/s.
    std_u: [f64; 3],
    /// Nothing was logged between these seconds.
    gap_s: Option<[f64; 2]>,
}

/// Points of the track and nodes of the estimate.
fn fly(plan: &Plan<'_>) -> (Vec<TrackPoint>, Vec<Node>) {
    let dt_s = 1.0 / f64::from(plan.rate_hz);
    let (mut points, mut nodes) = (Vec::new(), Vec::new());
    let (mut ground, mut through_air) = (Position::new(0.0, 0.0), Position::new(0.0, 0.0));
    let (mut heading, mut altitude_m, mut t_s) = (Angle::from_deg(plan.heading_deg), plan.altitude_m, 0.0_f64);
    for (seconds, turn_deg_s, airspeed_mps, climb_mps) in plan.legs {
        for _ in 0..seconds * plan.rate_hz {
            let [wander_deg_s, gust_mps] = (plan.turbulence)(t_s);
            let turn = TurnRate::from_deg_s(turn_deg_s + wander_deg_s);
            let wind = (plan.wind)(altitude_m - plan.altitude_m);
            let air = Velocity::from_speed_course(airspeed_mps + gust_mps, heading);
            let velocity = wind.ground_velocity(air);
            if !plan.gap_s.is_some_and(|[from_s, to_s]| (from_s..to_s).contains(&t_s)) {
                points.push(TrackPoint {
                    t_s,
                    position: ground,
                    altitude_m: altitude_m.into(),
                    velocity,
                    velocity_source: VelocitySource::Recorded,
                    heading_true_deg: OptionalF64::NONE,
                    heading_magnetic_deg: OptionalF64::NONE,
                    true_airspeed_mps: OptionalF64::NONE,
                    engine_rpm: OptionalF64::NONE,
                    engine_noise: OptionalF64::NONE,
                    fix_index: points.len() as u32,
                });
                let [airspeed_std_u_mps, heading_std_u_deg, turn_std_u_deg_s] = plan.std_u;
                nodes.push(Node {
                    t_s,
                    altitude_m: Some(altitude_m),
                    air_position: through_air,
                    wind,
                    wind_cov: plan.wind_cov,
                    airspeed_mps: Estimate::new(airspeed_mps + gust_mps, airspeed_std_u_mps),
                    heading: Estimate::new(heading, Angle::from_deg(heading_std_u_deg)),
                    turn_rate: Estimate::new(turn, TurnRate::from_deg_s(turn_std_u_deg_s)),
                    climb_mps: Some(*climb_mps),
                });
            }
            let moved = |from: f64, mps: f64| from + mps * dt_s;
            ground = Position::new(moved(ground.east_m, velocity.east_mps), moved(ground.north_m, velocity.north_mps));
            through_air =
                Position::new(moved(through_air.east_m, air.east_mps), moved(through_air.north_m, air.north_mps));
            heading = heading + Angle::from_rad(turn.rad_s() * dt_s);
            altitude_m = moved(altitude_m, *climb_mps);
            t_s += dt_s;
        }
    }
    (points, nodes)
}

/// The flight as a whole.
fn analysis(plan: &Plan<'_>, circle: VelocityCircle, windows: Vec<WindowMeasurement>) -> FlightAnalysis {
    let (points, nodes) = fly(plan);
    let airborne = Airborne::default();
    FlightAnalysis {
        made_by: MadeBy {
            version: "0.1.0".to_owned(),
            command: "driftless report sample.gpx".to_owned(),
            input_sha256: "4f".repeat(32),
            config: vec![("windows.min_length_s".to_owned(), "20".to_owned())],
        },
        file: "sample.gpx".to_owned(),
        format: LogFormat::Gpx,
        fixes_read: points.len() + 3,
        track: Track {
            epoch: DateTime::from_timestamp(1_789_200_000, 250_000_000).unwrap_or_default(),
            frame: LocalFrame { lat_deg: 47.0, lon_deg: 11.0, altitude_m: plan.altitude_m },
            points,
            gaps: plan.gap_s.iter().map(|[from_s, to_s]| Gap { start_s: from_s - 1.0, end_s: *to_s }).collect(),
            marks: vec![],
            flights: vec![airborne],
            takeoff_s: Some(4.0),
            landing_s: None,
            takeoff_altitude_m: Some(plan.altitude_m),
            median_interval_s: 1.0 / f64::from(plan.rate_hz),
            rounding_m: 0.003,
            problems: vec![],
        },
        problems: vec![problem("bad-coordinate", "latitude 95 is outside -90 to 90; the fix was left out", 2)],
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
            rivals: Vec::new(),
            turns: vec![],
        }),
        flights: vec![FlownFlight {
            airborne,
            windows: windows.iter().map(|w| w.window.id).collect(),
            wind_unknown: None,
            inertial: None,
        }],
        circle: Some(circle),
        windows,
        compass: None,
        inertial: None,
    }
}

fn problem(code: &'static str, message: &str, count: u32) -> Problem {
    Problem {
        code,
        severity: Severity::Warning,
        message: message.to_owned(),
        line: Some(812),
        byte: Some(60_231),
        count,
        help: Some("nothing to do when there are few; else check the logger's settings".to_owned()),
    }
}

/// A quarter of an hour of legs that turn, in a wind that grows and veers with height, at one fix a second: marked windows,
/// found ones, a refused one, a gap, names that a page must not take for its own.
pub fn flight() -> FlightAnalysis {
    flight_at(1)
}

/// The same at so many fixes a second.
pub fn flight_at(rate_hz: u32) -> FlightAnalysis {
    let plan = Plan {
        legs: &TURNING,
        rate_hz,
        heading_deg: 40.0,
        altitude_m: 410.0,
        wind: |above_m| Wind::from_speed_from(3.4 + 0.004 * above_m, Angle::from_deg(255.0 + 0.05 * above_m)),
        turbulence: |t_s| [0.5 * (0.61 * t_s).sin() + 0.4 * (1.37 * t_s).cos(), 0.25 * (0.43 * t_s).sin()],
        wind_cov: [0.02, 0.004, 0.03],
        std_u: [0.12, 1.1, 0.4],
        gap_s: Some([700.0, 718.0]),
    };
    let circle = VelocityCircle {
        wind: Wind::from_speed_from(3.6, Angle::from_deg(258.0)),
        wind_cov: [0.03, 0.006, 0.04],
        airspeed_mps: Estimate::with_dof(10.4, 0.1, 14.0),
        residual_mps: 0.35,
        start_s: 60.0,
        end_s: 252.0,
    };
    let mut analysis = analysis(&plan, circle, of_turning_flight());
    analysis.file = "logs/heron-evening.gpx".to_owned();
    analysis.made_by.command = "driftless report heron-evening.gpx --marks <heron> & more.csv".to_owned();
    analysis.made_by.config.push(("windows.caution_height_m".to_owned(), "150".to_owned()));
    analysis.problems = vec![
        problem("bad-coordinate", "latitude 95 is outside −90 to 90 & was left out", 3),
        Problem { severity: Severity::Note, ..problem("gap", "18 s without data", 1) },
    ];
    analysis
}

/// Half an hour that turns at 3 °/s and 11 m/s in a wind of 5 m/s from the west: an accepted marked window, an accepted
/// candidate and a refused one.
pub fn round_flight() -> FlightAnalysis {
    let wind = |_| Wind::from_speed_from(5.0, Angle::from_deg(270.0));
    let plan = Plan {
        legs: &ROUND,
        rate_hz: 1,
        heading_deg: 0.0,
        altitude_m: 420.0,
        wind,
        turbulence: |_| [0.0; 2],
        wind_cov: [0.04, 0.0, 0.04],
        std_u: [0.15, 1.2, 0.3],
        gap_s: None,
    };
    let circle = VelocityCircle {
        wind: wind(0.0),
        wind_cov: [0.04, 0.0, 0.04],
        airspeed_mps: Estimate::new(11.0, 0.15),
        residual_mps: 0.35,
        start_s: 0.0,
        end_s: 240.0,
    };
    analysis(&plan, circle, of_round_flight())
}

/// [`flight`], but that the headings flown do not settle the wind: nothing is known but the track.
pub fn without_wind() -> FlightAnalysis {
    unclear(flight(), 3.2)
}

/// [`round_flight`] in the same way, the wind uncertain by 4 m/s.
pub fn round_flight_without_wind() -> FlightAnalysis {
    unclear(round_flight(), 4.0)
}

/// [`round_flight_without_wind`], but that the first window has a rate that holds for each airspeed that the log leaves open.
pub fn round_flight_with_airspeed_open() -> FlightAnalysis {
    let mut analysis = round_flight_without_wind();
    let rates = round_flight().windows.into_iter().next();
    let [slowest_mps, fastest_mps] = [8.0, 13.0];
    let rival = |airspeed_mps| Rival { airspeed_mps, wind: Wind::new(6.66, 6.66), weight: 0.5 };
    if let Some(estimate) = &mut analysis.estimate {
        estimate.rivals = vec![rival(slowest_mps), rival(fastest_mps)];
    }
    if let (Some(measured), Some(known)) = (analysis.windows.first_mut(), rates) {
        measured.turn_rate = known.turn_rate;
        measured.steady_rate = known.steady_rate;
        measured.heading_change = known.heading_change;
        measured.verdict.findings = vec![Finding::AirspeedOpen { slowest_mps, fastest_mps }];
    }
    if let Some(why) = analysis.wind_unknown().cloned() {
        analysis.alerts = vec![FlightAlert::AirspeedOpen { why, slowest_mps, fastest_mps, strained_mps: None }];
    }
    analysis
}

fn unclear(mut analysis: FlightAnalysis, wind_std_u_mps: f64) -> FlightAnalysis {
    let why = UnclearWind::HeadingsTooAlike { wind_std_u_mps, limit_mps: 1.5 };
    if let Some(estimate) = &mut analysis.estimate {
        estimate.observability = Observability::NotObservable(why);
    }
    analysis.circle = None;
    analysis.alerts = vec![FlightAlert::WindNotKnown(WindUnknown::Unclear(why))];
    for flight in &mut analysis.flights {
        flight.wind_unknown = Some(WindUnknown::Unclear(why));
    }
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
        measured.verdict.findings = vec![Finding::WindUnknown(WindUnknown::Unclear(why))];
    }
    analysis
}
