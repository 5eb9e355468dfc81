//! A steady turn in a steady wind, written down in closed form: what must come out is known.

use chrono::DateTime;
use driftless_segment::{
    Basis, CircleOpinion, HandsOff, Limits, Origin, Signals, WindUnknown, Window, WindowRate, course_rate, measure,
};
use driftless_track::{LocalFrame, OptionalF64, Scenario, Track, TrackPoint, VelocitySource};
use driftless_units::{Air, Angle, Estimate, Ground, Position, TurnRate, Velocity, Wind};
use driftless_wind::flight::{
    FlightEstimate, Node, NoiseLevels, Observability, Rival, Settling, SteadySpan, UnclearWind, WindowTurn,
};

const AIRSPEED_MPS: f64 = 10.0;
const RATE_DEG_S: f64 = 6.0;
const GROUND_M: f64 = 400.0;

fn wind() -> Wind {
    Wind::from_speed_from(4.0, Angle::from_deg(250.0))
}

fn heading(t_s: f64) -> Angle {
    Angle::from_deg(30.0 + RATE_DEG_S * t_s)
}

/// Airspeed 10 m/s, 6 °/s to the right from heading 030°, wind 4 m/s from 250°, climbing 1.5 m/s, one point a second.
fn track() -> Track {
    let points = (0..=60).map(|k| {
        let t_s = f64::from(k);
        TrackPoint {
            t_s,
            position: Position::new(0.0, 0.0),
            altitude_m: (600.0 + 1.5 * t_s).into(),
            velocity: wind().ground_velocity(Velocity::<Air>::from_speed_course(AIRSPEED_MPS, heading(t_s))),
            velocity_source: VelocitySource::Recorded,
            heading_true_deg: OptionalF64::NONE,
            heading_magnetic_deg: OptionalF64::NONE,
            true_airspeed_mps: OptionalF64::NONE,
            engine_rpm: OptionalF64::NONE,
            engine_noise: OptionalF64::NONE,
            fix_index: 0,
        }
    });
    Track {
        epoch: DateTime::UNIX_EPOCH,
        frame: LocalFrame { lat_deg: 47.0, lon_deg: 11.0, altitude_m: 600.0 },
        points: points.collect(),
        gaps: Vec::new(),
        marks: Vec::new(),
        flights: vec![driftless_track::Airborne::default()],
        takeoff_s: None,
        landing_s: None,
        takeoff_altitude_m: Some(GROUND_M),
        median_interval_s: 1.0,
        rounding_m: 0.0,
        problems: Vec::new(),
    }
}

fn estimate(turns: Vec<(SteadySpan, WindowTurn)>) -> FlightEstimate {
    let nodes = (0..=60).map(|k| {
        let t_s = f64::from(k);
        Node {
            t_s,
            altitude_m: Some(600.0 + 1.5 * t_s),
            air_position: Position::new(0.0, 0.0),
            wind: wind(),
            wind_cov: [0.09, 0.0, 0.07],
            airspeed_mps: Estimate::new(AIRSPEED_MPS, 0.2),
            heading: Estimate::new(heading(t_s), Angle::from_deg(1.5)),
            turn_rate: Estimate::new(TurnRate::from_deg_s(RATE_DEG_S), TurnRate::from_deg_s(0.5)),
            climb_mps: Some(1.5),
        }
    });
    FlightEstimate {
        nodes: nodes.collect(),
        smoothing: None,
        wind_changes_s: Vec::new(),
        noise: NoiseLevels {
            position_m: 0.5,
            gust_mps: 0.3,
            yaw_wander_deg_s: 0.4,
            airspeed_walk: 0.05,
            turn_walk: 0.6,
        },
        observability: Observability::Observable,
        settling: Settling { passes: 14, settled: true },
        turns,
        rivals: Vec::new(),
    }
}

fn window(start_s: f64, end_s: f64) -> Window {
    Window {
        id: 1,
        let_go_s: start_s - 8.0,
        take_over_s: end_s + 1.0,
        start_s,
        end_s,
        origin: Origin::Marked,
        hands_off: HandsOff::Confirmed,
        scenario: Scenario::FullPowerClimb,
        scenario_basis: driftless_segment::ScenarioBasis::Marked,
        setup: None,
        note: None,
    }
}

/// The window from 10 s to 50 s, measured.
fn measured(estimate: Option<&FlightEstimate>, second_opinion: Option<Estimate<TurnRate>>) -> WindowRate {
    let (track, limits) = (track(), Limits::default());
    let signals = Signals::new(&track, estimate.map_or(&[], |e| &e.nodes));
    let why = estimate.and_then(|e| match e.observability {
        Observability::NotObservable(why) => Some(WindUnknown::Unclear(why)),
        Observability::Observable => None,
    });
    let wind_unknown = why.as_ref();
    let basis =
        Basis { track: &track, estimate, free: &signals, with_windows: &signals, wind_unknown, limits: &limits };
    let circle = |turn_rate| CircleOpinion { turn_rate, with_window_wind: None, residual_m: 0.5, noise_m: 0.5 };
    measure(window(10.0, 50.0), second_opinion.map(circle), &basis)
}

fn rate(value_deg_s: f64, std_u_deg_s: f64) -> Estimate<TurnRate> {
    Estimate::new(TurnRate::from_deg_s(value_deg_s), TurnRate::from_deg_s(std_u_deg_s))
}

/// The course of the golden track goes from 41.1340° at 0 s by way of 84.3216° at 10 s to 189.6600° at 30 s: 148.53°
/// while the heading turns 180°. Taking the course of a 3 s mean moves each end by less than 0.3°, so 0.02 °/s over
/// 30 s is what can be asked.
#[test]
fn derived_course_rate_of_the_trochoid_misses_the_turn_rate() {
    let course = course_rate(&track(), 0.0, 30.0).expect("moves throughout");
    // The first mean is taken over the half that exists: its course belongs to half a second later.
    assert!((course.deg_s() - 148.53 / 30.0).abs() < 0.1, "{}", course.deg_s());
    let inside = course_rate(&track(), 5.0, 30.0).expect("moves throughout");
    assert!((inside.deg_s() - (189.6600 - 62.8527) / 25.0).abs() < 0.02, "{}", inside.deg_s());
    assert!(RATE_DEG_S - inside.deg_s() > 0.8, "the wind makes the course rate wrong by more than a tenth");
}

/// Over whole circles the course turns as often as the heading, however far round it goes.
#[test]
fn derived_course_is_followed_through_more_than_half_a_circle() {
    let mut long = track();
    let last = long.points.clone();
    long.points.extend(last.iter().skip(1).map(|p| TrackPoint { t_s: p.t_s + 60.0, ..*p }));
    let course = course_rate(&long, 10.0, 70.0).expect("moves throughout");
    assert!((course.deg_s() - RATE_DEG_S).abs() < 1e-9, "{}", course.deg_s());
}

#[test]
fn no_course_where_the_aircraft_stands_over_the_ground_or_the_log_is_empty() {
    let mut standing = track();
    for point in &mut standing.points[20..30] {
        point.velocity = Velocity::<Ground>::new(0.2, 0.1);
    }
    assert_eq!(course_rate(&standing, 5.0, 50.0), None);
    assert_eq!(course_rate(&track(), 100.0, 140.0), None);
    assert_eq!(course_rate(&track(), 20.0, 20.0), None);
}

/// Bank and radius recomputed from tan φ = V ω / g and V / ω: 6.10° and 95.49 m at 10 m/s and 6 °/s.
#[test]
fn derived_figures_of_a_measured_window() {
    let span = SteadySpan { start_s: 10.0, end_s: 50.0, marked: true };
    let turn = WindowTurn {
        heading_change: Estimate::new(Angle::from_deg(240.0), Angle::from_deg(2.0)),
        turn_rate: rate(6.0, 0.05),
        steady_rate: rate(6.1, 0.2),
    };
    let measured = measured(Some(&estimate(vec![(span, turn)])), Some(rate(6.3, 0.2)));
    assert_eq!(measured.turn_rate, Some(rate(6.0, 0.05)));
    assert_eq!(measured.steady_rate, Some(rate(6.1, 0.2)));
    assert!((measured.bank.expect("a bank").deg() - 6.10).abs() < 5e-3);
    assert!((measured.air_radius_m.expect("a radius") - 95.49297).abs() < 1e-5);
    assert!((measured.load_factor.expect("a load factor") - 1.005_69).abs() < 1e-5);
    assert!((measured.climb_mps.expect("a climb") - 1.5).abs() < 1e-12);
    assert_eq!(measured.height_above_takeoff_m, Some(215.0));
    assert!((measured.wind.expect("a wind").from_deg() - 250.0).abs() < 1e-9);
    assert!((measured.wind_std_u_mps.expect("its uncertainty") - 0.08_f64.sqrt()).abs() < 1e-12);
    let second = measured.second_opinion.expect("a second opinion");
    assert!((second.apart + 0.3 / 0.05_f64.hypot(0.2)).abs() < 1e-9, "{}", second.apart);
    assert_eq!(second.disagreement(rate(6.0, 0.05).value, 1), None, "0.3 against 1.96 × 0.206");
    assert!(measured.accepted(), "{:?}", measured.verdict);
}

#[test]
fn derived_a_second_opinion_beyond_the_joint_uncertainty_disagrees() {
    let measured = measured(Some(&estimate(Vec::new())), Some(rate(6.3, 0.1)));
    // Without a span of its own the rate is the change between two headings, each ± 1.5°: ± 0.053 °/s over 40 s.
    let first = measured.turn_rate.expect("from the nodes");
    assert!((first.value.deg_s() - 6.0).abs() < 1e-9);
    assert!((first.std_u.deg_s() - 1.5 * 2.0_f64.sqrt() / 40.0).abs() < 1e-9);
    assert_eq!(measured.steady_rate, None, "nothing says that it was steady");
    let second = measured.second_opinion.expect("a second opinion");
    assert!(second.disagreement(first.value, 1).is_some(), "0.3 against 1.96 × 0.113");
}

#[test]
fn a_turn_that_may_be_none_has_no_radius() {
    let span = SteadySpan { start_s: 10.0, end_s: 50.0, marked: true };
    let turn = WindowTurn {
        heading_change: Estimate::new(Angle::from_deg(2.0), Angle::from_deg(2.0)),
        turn_rate: rate(0.05, 0.05),
        steady_rate: rate(0.05, 0.1),
    };
    let measured = measured(Some(&estimate(vec![(span, turn)])), None);
    assert_eq!(measured.air_radius_m, None);
}

/// Where the wind is not known, the turn of all solutions is all that is given; where they disagree, not even that.
#[test]
fn solutions_give_a_turn_and_nothing_of_the_air() {
    let why = UnclearWind::HeadingsTooAlike { wind_std_u_mps: 4.0, limit_mps: 1.5 };
    let span = SteadySpan { start_s: 10.0, end_s: 50.0, marked: true };
    for (std_u_deg_s, agree) in [(0.1, true), (0.5, false)] {
        let turn = WindowTurn {
            heading_change: Estimate::new(Angle::from_deg(40.0), Angle::from_deg(40.0 * std_u_deg_s)),
            turn_rate: rate(1.0, std_u_deg_s),
            steady_rate: rate(1.0, std_u_deg_s),
        };
        let rivals = [8.0, 13.0].map(|airspeed_mps| Rival { airspeed_mps, wind: wind(), weight: 0.5 });
        let carried = FlightEstimate {
            observability: Observability::NotObservable(why),
            rivals: rivals.to_vec(),
            ..estimate(vec![(span, turn)])
        };
        let measured = measured(Some(&carried), Some(rate(6.0, 0.1)));
        assert_eq!(measured.accepted(), agree, "{:?}", measured.verdict);
        assert_eq!(measured.turn_rate.is_some(), agree);
        assert_eq!(measured.steady_rate.is_some() && measured.heading_change.is_some(), agree);
        assert!(measured.wind.is_none() && measured.airspeed_mps.is_none() && measured.second_opinion.is_none());
        assert!(measured.bank.is_none() && measured.air_radius_m.is_none() && measured.load_factor.is_none());
    }
}

#[test]
fn without_a_known_wind_only_the_track_speaks() {
    let blind =
        FlightEstimate { observability: Observability::NotObservable(UnclearWind::NoFlight), ..estimate(Vec::new()) };
    for estimate in [None, Some(&blind)] {
        let measured = measured(estimate, Some(rate(6.0, 0.1)));
        assert!(measured.turn_rate.is_none() && measured.steady_rate.is_none() && measured.bank.is_none());
        assert!(measured.wind.is_none() && measured.airspeed_mps.is_none() && measured.second_opinion.is_none());
        assert!(measured.course_rate.is_some());
        assert!((measured.altitude_m.unwrap() - 645.0).abs() < 1e-9);
    }
}
