//! The whole road on simulated flights: log in, judged windows out, against the truth.

use chrono::TimeDelta;
use driftless_analysis::{
    CompassReference, Finding, FlightAlert, FlightAnalysis, FlightInput, FlightLog, HandsOff, Observability, Origin,
    Scenario, Stage, analyse_flight,
};
use driftless_sim::reference::{AirClass, Condition, Options, flight, ordinary};
use driftless_sim::{SimulatedFlight, simulate};
use driftless_track::{Fix, LocalFrame, LogFormat, OptionalF64};
use driftless_units::{Ground, Position, wrap_180_deg};

/// Tuning seeds: the judging seeds are for figures, not for tests that people look at while they change things.
const SEEDS: std::ops::Range<u64> = 40..44;

fn fly(class: AirClass, seed: u64, options: &Options) -> SimulatedFlight {
    simulate(&flight(class, seed, options), seed).expect("a reference flight flies")
}

fn analyse(log: FlightLog, marks_text: Option<String>) -> FlightAnalysis {
    analyse_flight(log, FlightInput { marks_text, ..FlightInput::default() }, &mut |_| {}).expect("a track")
}

/// Twice the rms error that a prototype with known noise levels reached in each class (0.032, 0.061, 0.098 °/s); with
/// sixteen windows a class the rms itself scatters by a sixth.
#[test]
fn simulated_marked_windows_are_accepted_and_measured_right() {
    for (class, most_deg_s) in [(AirClass::Still, 0.07), (AirClass::Light, 0.13), (AirClass::Moderate, 0.20)] {
        let (mut square_sum, mut count, mut covered) = (0.0, 0.0, 0.0);
        for seed in SEEDS {
            let flown = fly(class, seed, &Options::default());
            let analysis = analyse(flown.to_log(), None);
            assert_eq!(analysis.windows.len(), flown.truth.windows.len(), "seed {seed}");
            for (measured, truth) in analysis.windows.iter().zip(&flown.truth.windows) {
                let window = &measured.window;
                assert!(measured.accepted(), "{class:?} seed {seed}: {:?}", measured.verdict);
                assert_eq!((window.origin, window.hands_off), (Origin::Marked, HandsOff::Confirmed));
                assert_eq!(window.scenario, truth.setting, "named by its mark");
                let rate = measured.turn_rate.expect("accepted windows have a rate");
                let did = flown.truth.realised_rate(window.start_s, window.end_s);
                let error_deg_s = rate.value.deg_s() - did.deg_s();
                let interval = rate.interval(0.95);
                square_sum += error_deg_s * error_deg_s;
                count += 1.0;
                covered += f64::from(u8::from(interval.low <= did && did <= interval.high));
            }
        }
        let rms_deg_s = f64::sqrt(square_sum / count);
        assert!(rms_deg_s < most_deg_s, "{class:?}: {rms_deg_s:.3} °/s over {count} windows");
        // Binomial: of 16 intervals that cover 95 %, fewer than 12 cover once in a thousand.
        assert!(covered >= 12.0, "{class:?}: {covered} of {count} intervals cover");
    }
}

#[test]
fn simulated_flights_without_marks_give_candidates_near_the_windows() {
    let (mut windows, mut found) = (0, 0);
    for seed in SEEDS {
        let flown = fly(AirClass::Light, seed, &Options { marks: false, ..Options::default() });
        let analysis = analyse(flown.to_log(), None);
        assert!(analysis.alerts.contains(&FlightAlert::CandidatesOnly));
        for truth in &flown.truth.windows {
            windows += 1;
            found += usize::from(analysis.windows.iter().any(|w| {
                let (from_s, to_s) = (w.window.let_go_s, w.window.take_over_s);
                let overlap_s = to_s.min(truth.take_over_s) - from_s.max(truth.let_go_s);
                w.window.hands_off == HandsOff::Candidate && overlap_s > 0.7 * (truth.take_over_s - truth.start_s)
            }));
        }
    }
    // Two of three is what a first version must find; straight flight before let-go hides slow windows.
    assert!(3 * found >= 2 * windows, "{found} of {windows}");
}

#[test]
fn simulated_scenarios_are_told_from_climb_and_airspeed() {
    let (mut windows, mut right) = (0, 0);
    for seed in SEEDS {
        let flown = fly(AirClass::Light, seed, &Options::default());
        let mut log = flown.to_log();
        for mark in &mut log.marks {
            mark.scenario = None;
        }
        for (measured, truth) in analyse(log, None).windows.iter().zip(&flown.truth.windows) {
            windows += 1;
            right += usize::from(measured.window.scenario == truth.setting);
        }
    }
    // Trim and accelerated airspeeds of a reference flight may lie only 1.0 m/s apart: one flight in four may be unclear.
    assert!(4 * right >= 3 * windows, "{right} of {windows}");
}

#[test]
fn simulated_a_marks_file_does_what_marks_in_the_log_do() {
    let flown = fly(AirClass::Light, 40, &Options::default());
    let in_log = analyse(flown.to_log(), None);
    let mut text = "let_go,take_over,scenario,setup,note\n".to_owned();
    for window in &flown.truth.windows {
        let moment = |t_s: f64| flown.truth.epoch + TimeDelta::milliseconds((t_s * 1e3).round() as i64);
        let (let_go, take_over) = (moment(window.let_go_s).to_rfc3339(), moment(window.take_over_s).to_rfc3339());
        text += &format!("{let_go},{take_over},{},frame A,calm\n", window.setting.name());
    }
    let given = analyse(FlightLog { marks: Vec::new(), ..flown.to_log() }, Some(text));
    assert_eq!(given.windows.len(), in_log.windows.len());
    for (a, b) in given.windows.iter().zip(&in_log.windows) {
        assert_eq!(a.window.origin, Origin::Given);
        assert_eq!(a.window.setup.as_deref(), Some("frame A"));
        assert!((a.window.start_s - b.window.start_s).abs() < 1.1, "marks in the log stand on whole fixes");
        let (a, b) = (a.turn_rate.expect("a rate"), b.turn_rate.expect("a rate"));
        // Ends that lie up to a second elsewhere move the realised rate itself by what turbulence does in a second.
        assert!((a.value.deg_s() - b.value.deg_s()).abs() < 0.1);
    }
}

/// A log with every position changed; recorded velocities are left out.
fn moved(log: &FlightLog, to: impl Fn(Position<Ground>, f64) -> Position<Ground>) -> FlightLog {
    let first = log.fixes.first().expect("fixes");
    let frame = LocalFrame {
        lat_deg: first.lat_deg,
        lon_deg: first.lon_deg,
        altitude_m: first.gnss_altitude_m.or(first.pressure_altitude_m).get().unwrap_or(0.0),
    };
    let fixes = log.fixes.iter().map(|fix| {
        let t_s = (fix.time - first.time).as_seconds_f64();
        let place = frame.to_geodetic(to(frame.to_local(fix.lat_deg, fix.lon_deg), t_s));
        Fix {
            lat_deg: place.lat_deg,
            lon_deg: place.lon_deg,
            ground_speed_mps: OptionalF64::NONE,
            course_deg: OptionalF64::NONE,
            ..fix.clone()
        }
    });
    FlightLog { fixes: fixes.collect(), ..log.clone() }
}

/// How far the iteration may stop short of its end, °/s: it stops when headings move less than 0.01° and noise levels
/// less than half a per cent, which over 40 s and with a standard uncertainty near 0.05 °/s is well below this.
const SETTLED_DEG_S: f64 = 0.01;

#[test]
fn simulated_rigid_rotation_turns_headings_and_winds_and_no_turn_rate() {
    let log = fly(AirClass::Light, 41, &Options::default()).to_log();
    let straight = analyse(moved(&log, |p, _| p), None);
    for angle_deg in [37.0_f64, 90.0, 200.0] {
        let (sin, cos) = angle_deg.to_radians().sin_cos();
        let turned = analyse(
            moved(&log, |p, _| Position::new(cos * p.east_m + sin * p.north_m, cos * p.north_m - sin * p.east_m)),
            None,
        );
        assert_eq!(turned.windows.len(), straight.windows.len());
        for (a, b) in turned.windows.iter().zip(&straight.windows) {
            let (rate_a, rate_b) = (a.turn_rate.expect("a rate"), b.turn_rate.expect("a rate"));
            assert!((rate_a.value.deg_s() - rate_b.value.deg_s()).abs() < SETTLED_DEG_S, "by {angle_deg}°");
            assert!((rate_a.std_u.deg_s() / rate_b.std_u.deg_s() - 1.0).abs() < 0.03);
            let (course_a, course_b) = (a.course_rate.expect("a course"), b.course_rate.expect("a course"));
            assert!((course_a.deg_s() - course_b.deg_s()).abs() < 1e-4);
            let (wind_a, wind_b) = (a.wind.expect("a wind"), b.wind.expect("a wind"));
            assert!((wind_a.speed_mps() - wind_b.speed_mps()).abs() < 0.02);
            assert!(wrap_180_deg(wind_a.from_deg() - wind_b.from_deg() - angle_deg).abs() < 1.0);
        }
    }
}

#[test]
fn simulated_constant_wind_added_changes_no_turn_rate() {
    let log = fly(AirClass::Light, 42, &Options { wind_mps: [1.0, 1.0], ..Options::default() }).to_log();
    let before = analyse(moved(&log, |p, _| p), None);
    for (east_mps, north_mps) in [(3.0, 0.0), (-2.0, 4.0)] {
        let after =
            analyse(moved(&log, |p, t_s| Position::new(p.east_m + east_mps * t_s, p.north_m + north_mps * t_s)), None);
        for (a, b) in after.windows.iter().zip(&before.windows) {
            let (rate_a, rate_b) = (a.turn_rate.expect("a rate"), b.turn_rate.expect("a rate"));
            assert!((rate_a.value.deg_s() - rate_b.value.deg_s()).abs() < SETTLED_DEG_S);
            let (wind_a, wind_b) = (a.wind.expect("a wind"), b.wind.expect("a wind"));
            // Over the kilometres of the flight the curved Earth takes 1e-5 of lengths: nothing beside this.
            assert!((wind_a.east_mps - wind_b.east_mps - east_mps).abs() < 0.05);
            assert!((wind_a.north_mps - wind_b.north_mps - north_mps).abs() < 0.05);
        }
    }
}

/// One heading for four minutes: no wind can be told, and everything else must still come out.
#[test]
fn simulated_a_flight_on_one_heading_tells_no_wind_and_says_why() {
    let start = chrono::DateTime::from_timestamp(1_780_000_000, 0).expect("a time");
    let frame = LocalFrame { lat_deg: 47.0, lon_deg: 11.0, altitude_m: 900.0 };
    let fixes = (0..240).map(|k| {
        let t_s = f64::from(k);
        let place = frame.to_geodetic(Position::new(12.0 * t_s + 0.3 * (1.7 * t_s).sin(), 0.3 * (2.9 * t_s).cos()));
        Fix {
            time: start + TimeDelta::seconds(i64::from(k)),
            lat_deg: place.lat_deg,
            lon_deg: place.lon_deg,
            gnss_altitude_m: 900.0.into(),
            ..Fix::default()
        }
    });
    let log = FlightLog {
        format: LogFormat::Gpx,
        fixes: fixes.collect(),
        marks: Vec::new(),
        segment_starts: vec![0],
        problems: Vec::new(),
    };
    let analysis = analyse(log, Some("let_go,take_over\n60,120\n".to_owned()));
    let middle = analysis.estimate.as_ref().map(|e| e.nodes[e.nodes.len() / 2]);
    assert!(analysis.alerts.iter().any(|a| a.code() == "wind-not-known"), "{middle:?}");
    if let Some(estimate) = &analysis.estimate {
        assert!(matches!(estimate.observability, Observability::NotObservable(_)));
    }
    let [window] = &analysis.windows[..] else { panic!("one window") };
    // At any airspeed a straight path turns nowhere.
    assert!(window.verdict.findings.iter().any(|f| matches!(f, Finding::AirspeedOpen { .. })), "{:?}", window.verdict);
    let within = window.turn_rate.expect("a rate").interval(0.95);
    assert!(within.low.deg_s() < 0.0 && 0.0 < within.high.deg_s(), "{within:?}");
    assert!(window.wind.is_none() && window.airspeed_mps.is_none() && window.bank.is_none());
    assert!((window.ground_speed_mps - 12.0).abs() < 0.5);
}

/// Straight into the wind nothing is told of the air: rates stand by themselves, and what was refused has none.
#[test]
fn simulated_rates_without_the_wind_stand_by_themselves() {
    let scenario = ordinary(Condition::IntoWind, 3).expect("a condition that can be flown");
    let analysis = analyse(simulate(&scenario, 3).expect("it flies").to_log(), None);
    assert!(analysis.wind_unknown().is_some());
    let open = |a: &FlightAlert| matches!(a, FlightAlert::AirspeedOpen { slowest_mps, fastest_mps, .. } if slowest_mps < fastest_mps);
    assert!(analysis.alerts.iter().any(open), "{:?}", analysis.alerts);
    assert!(analysis.accepted().count() >= 3);
    for window in &analysis.windows {
        assert_eq!(window.turn_rate.is_some(), window.accepted());
        assert_eq!(window.steady_rate.is_some(), window.accepted());
        assert!(window.wind.is_none() && window.airspeed_mps.is_none() && window.second_opinion.is_none());
        assert!(!matches!(window.window.scenario, Scenario::TrimLevel | Scenario::AcceleratedLevel));
    }
    assert!(analysis.combined().is_empty() && analysis.air_track().is_empty());
}

#[test]
fn a_faulty_marks_file_or_no_track_is_an_error() {
    let log = fly(AirClass::Still, 40, &Options::default()).to_log();
    let input = FlightInput { marks_text: Some("let_go,take_over\nx,1\n".to_owned()), ..FlightInput::default() };
    let error = analyse_flight(log.clone(), input, &mut |_| {}).expect_err("a faulty marks file");
    assert!(error.to_string().contains("line 2"), "{error}");
    let empty = FlightLog { fixes: Vec::new(), ..log };
    assert!(analyse_flight(empty, FlightInput::default(), &mut |_| {}).is_err());
}

#[test]
fn simulated_stages_come_in_order_and_the_configuration_goes_with_the_result() {
    let mut stages = Vec::new();
    let log = fly(AirClass::Still, 40, &Options::default()).to_log();
    let analysis = analyse_flight(log, FlightInput::default(), &mut |s| stages.push(s)).expect("a track");
    // Without inertial files there is nothing to align.
    assert_eq!(stages, Stage::ALL.into_iter().filter(|s| *s != Stage::Inertial).collect::<Vec<_>>());
    let names: Vec<&str> = analysis.made_by.config.iter().map(|(name, _)| name.as_str()).collect();
    assert!(names.contains(&"windows.min_length_s") && names.contains(&"track.gap_min_s"));
    let distinct: std::collections::BTreeSet<&str> = names.iter().copied().collect();
    assert_eq!(distinct.len(), names.len());
}

/// Along the drift-removed track the aircraft moves with its airspeed, whatever the wind does to it over the ground.
#[test]
fn simulated_air_track_moves_at_airspeed() {
    let flown = fly(AirClass::Still, 43, &Options { wind_mps: [6.0, 6.0], ..Options::default() });
    let analysis = analyse(flown.to_log(), None);
    let air_track = analysis.air_track();
    let frame = analysis.track.frame;
    let local = |i: usize| frame.to_local(air_track[i].place.lat_deg, air_track[i].place.lon_deg);
    let length_m: f64 = (1..air_track.len())
        .map(|i| (local(i).east_m - local(i - 1).east_m).hypot(local(i).north_m - local(i - 1).north_m))
        .sum();
    let time_s = (air_track[air_track.len() - 1].time - air_track[0].time).as_seconds_f64();
    let airspeed_mps = flown.truth.mean_over(0.0, flown.truth.duration_s(), |step| step.airspeed_mps);
    // Position noise of 0.1 m a step lengthens the path by a thousandth; chords of a 12 °/s turn shorten it by as much.
    assert!((length_m / time_s / airspeed_mps - 1.0).abs() < 0.02, "{} and {airspeed_mps}", length_m / time_s);
    let first = analysis.track.points[0].position;
    assert!((local(0).east_m - first.east_m).hypot(local(0).north_m - first.north_m) < 5.0);
}

/// A compass that is mounted 20° off and swings by 6° must come out as that. The swing is white, so the mean of some
/// 500 fixes is known to 0.3°, and the error of the estimated heading (a degree or two, changing slowly) is the rest.
#[test]
fn simulated_compass_shows_its_offset_and_scatter() {
    let flown = fly(AirClass::Light, 42, &Options { rate_hz: Some(1.0), ..Options::default() });
    let mut log = flown.to_log();
    let without = analyse(log.clone(), None);
    assert_eq!(without.compass, None);
    let mut state = 1_u64;
    for fix in &mut log.fixes {
        // A small generator of even numbers in ±1 (Knuth's constants); times 6 √3 it swings by 6°.
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let swing_deg = 6.0 * 3f64.sqrt() * (2.0 * (state >> 11) as f64 / (1_u64 << 53) as f64 - 1.0);
        let t_s = (fix.time - flown.truth.epoch).as_seconds_f64();
        let heading_deg = flown.truth.heading_at(t_s).deg() + 20.0 + swing_deg;
        fix.heading_magnetic_deg = heading_deg.rem_euclid(360.0).into();
    }
    let compass = analyse(log, None).compass.expect("a compass");
    assert_eq!(compass.reference, CompassReference::Magnetic);
    assert!((compass.offset.deg() - 20.0).abs() < 2.5, "{compass:?}");
    assert!((5.0..8.0).contains(&compass.scatter.deg()), "{compass:?}");
    // Of the 6° the estimate must not take a part away, nor may the compass be given what is the estimate's.
    assert!((5.0..7.0).contains(&compass.own_scatter.deg()) && compass.stated.deg() < 4.0, "{compass:?}");
    // An even swing reaches no further than √3 of its standard deviation, so nearly all lie within.
    assert!(compass.within95 > 0.95 && compass.within95_exact < 0.9, "{compass:?}");
    assert!(!compass.in_estimate && !compass.doubts.is_empty(), "{compass:?}");
}
