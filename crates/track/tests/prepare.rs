//! Whole logs through `prepare`.

use chrono::{DateTime, TimeDelta};
use driftless_track::{
    Fix, FixQuality, FlightLog, Geodetic, LocalFrame, LogFormat, OptionalF64, Problems, Severity, SourceRef, Track,
    TrackConfig, TrackError, VelocitySource, prepare,
};
use driftless_units::{Angle, Position};
use proptest::prelude::*;

const ORIGIN: LocalFrame = LocalFrame { lat_deg: 46.5, lon_deg: 8.25, altitude_m: 0.0 };

fn log(fixes: Vec<Fix>) -> FlightLog {
    FlightLog { format: LogFormat::Csv, fixes, marks: vec![], segment_starts: vec![], problems: vec![] }
}

fn fix(line: u32, t_s: f64, east_m: f64, north_m: f64, altitude_m: f64) -> Fix {
    let Geodetic { lat_deg, lon_deg, .. } = ORIGIN.to_geodetic(Position::new(east_m, north_m));
    let start = DateTime::from_timestamp(1_750_000_000, 0).unwrap_or_default();
    Fix {
        time: start + TimeDelta::microseconds((t_s * 1e6).round() as i64),
        lat_deg,
        lon_deg,
        gnss_altitude_m: altitude_m.into(),
        source: SourceRef { line, byte: u64::from(line) * 40 },
        ..Fix::default()
    }
}

/// A 12 m/s circle of 6 °/s in a wind of (3, -2) m/s, climbing at 1 m/s; `turned` rotates the whole flight.
fn circling(n: u32, dt_s: f64, turned: Angle) -> Vec<Fix> {
    let rate = 6f64.to_radians();
    (0..n)
        .map(|i| {
            let t = f64::from(i) * dt_s;
            let (e, n) = (3.0 * t - 12.0 / rate * (rate * t).cos(), -2.0 * t + 12.0 / rate * (rate * t).sin());
            let (s, c) = turned.rad().sin_cos();
            fix(i + 1, t, c * e + s * n, -s * e + c * n, 500.0 + t)
        })
        .collect()
}

fn run(fixes: Vec<Fix>) -> Result<Track, TrackError> {
    prepare(&log(fixes), &TrackConfig::default())
}

fn codes(track: &Track) -> Vec<(&'static str, u32, Option<u32>)> {
    track.problems.iter().map(|p| (p.code, p.count, p.line)).collect()
}

#[test]
fn a_clean_log_comes_through_whole() {
    let track = run(circling(300, 1.0, Angle::default())).unwrap();
    assert_eq!(track.points.len(), 300);
    assert_eq!(codes(&track), [("no-recorded-speed", 1, None)]);
    assert_eq!((track.takeoff_s, track.landing_s), (None, None));
    assert!(track.gaps.is_empty() && track.rounding_m == 0.0);
    assert!((track.median_interval_s - 1.0).abs() < 1e-9);
    for p in &track.points[5..295] {
        let air = (p.velocity.east_mps - 3.0).hypot(p.velocity.north_mps + 2.0);
        // A 2 s chord at 6 °/s would be 0.022 m/s short; a tenth of that may remain, and the tracks's own frame
        // has its origin elsewhere (1e-5 of a length).
        assert!((air - 12.0).abs() < 0.003, "{air}");
    }
}

#[test]
fn what_is_left_out_is_counted_and_located() {
    let mut fixes = circling(300, 1.0, Angle::default());
    fixes[40].quality = FixQuality::TwoD;
    fixes[60].lat_deg = 95.0;
    fixes[61].lon_deg = f64::NAN;
    fixes[80].lat_deg += 0.01;
    fixes.swap(100, 101);
    let twin = fixes[150].clone();
    fixes.insert(151, twin);
    fixes.drain(200..220);
    let track = run(fixes).unwrap();
    assert_eq!(
        codes(&track),
        [
            ("two-d-fix", 1, Some(41)),
            ("bad-coordinate", 2, Some(61)),
            ("time-sorted", 1, Some(102)),
            ("repeated-fix", 1, Some(151)),
            ("spike", 1, Some(81)),
            ("no-recorded-speed", 1, None),
            ("gap", 1, None),
        ]
    );
    assert!(track.points.windows(2).all(|w| w[0].t_s < w[1].t_s));
    assert_eq!(track.points.len(), 300 - 20 - 4);
    assert!((track.gaps[0].end_s - track.gaps[0].start_s - 21.0).abs() < 1e-6);
}

/// Receivers without a position write 0, 0: at the start, in the air, or thousands of kilometres away where they were
/// used last. The flight must come out as if nothing had been written there.
#[test]
fn regression_places_where_the_flight_never_was_do_not_carry_the_frame_away() {
    let clean = run(circling(600, 1.0, Angle::default())).unwrap();
    for (from, to) in [(0, 1), (0, 20), (300, 320), (590, 600)] {
        let mut fixes = circling(600, 1.0, Angle::default());
        for fix in &mut fixes[from..to] {
            (fix.lat_deg, fix.lon_deg) = (0.0, 0.0);
        }
        let track = run(fixes).unwrap();
        assert_eq!(codes(&track)[0], ("zero-position", (to - from) as u32, Some(from as u32 + 1)));
        assert_eq!(track.points.len(), 600 - (to - from));
        same_flight(&track, &clean);
    }
    let mut fixes = circling(600, 1.0, Angle::default());
    for (i, fix) in fixes.iter_mut().enumerate().take(25) {
        (fix.lat_deg, fix.lon_deg) = (-33.9 + 1e-6 * i as f64, 151.2);
    }
    let track = run(fixes).unwrap();
    assert!((track.frame.lat_deg - ORIGIN.lat_deg).abs() < 0.1, "{:?}", track.frame);
    same_flight(&track, &clean);
}

/// One fix has one velocity in both, but for the turn of the meridians between origins some hundred metres apart; within
/// 4 s of a hole the fits lack neighbours.
fn same_flight(track: &Track, clean: &Track) {
    let mut compared = 0;
    for run in track.points.chunk_by(|a, b| b.fix_index == a.fix_index + 1) {
        for p in run.iter().skip(4).rev().skip(4) {
            let whole = &clean.points[p.fix_index as usize];
            let off =
                (p.velocity.east_mps - whole.velocity.east_mps).hypot(p.velocity.north_mps - whole.velocity.north_mps);
            assert!(off < 0.005, "fix {}: {off} m/s", p.fix_index);
            compared += 1;
        }
    }
    assert!(compared > 550, "{compared}");
}

#[test]
fn unusable_logs_are_refused_with_clear_words() {
    assert_eq!(run(vec![]), Err(TrackError::TooFewFixes { usable: 0, read: 0, left_out: 0 }));
    assert_eq!(
        run(circling(1, 1.0, Angle::default())),
        Err(TrackError::TooFewFixes { usable: 1, read: 1, left_out: 0 })
    );
    let few = |usable, read| TrackError::TooFewFixes { usable, read, left_out: 0 }.to_string();
    assert!(few(1, 1).ends_with("export the whole recording"), "{}", few(1, 1));
    assert!(few(1, 301).contains("repeat a time"), "{}", few(1, 301));
    let still: Vec<Fix> = (0..100).map(|i| fix(i, f64::from(i), 10.0, 10.0, 500.0)).collect();
    assert_eq!(run(still), Err(TrackError::AllEqual { fixes: 100 }));
    let jitter: Vec<Fix> = (0..100).map(|i| fix(i, f64::from(i), f64::from(i % 7), 0.0, 500.0)).collect();
    let refused = run(jitter).unwrap_err().to_string();
    assert_eq!(refused, "nothing moves: all 100 fixes lie within 6 m");
}

#[test]
fn regression_few_fixes_are_counted_with_those_that_could_not_be_read() {
    let mut problems = Problems::default();
    let place = Some(SourceRef { line: 7, byte: 90 });
    for _ in 0..5 {
        problems.add("bad-coordinate", Severity::Warning, place, || "latitude 95".to_owned(), "");
    }
    problems.add("empty-altitude", Severity::Note, place, || "an empty altitude".to_owned(), "");
    let log = FlightLog { problems: problems.into_vec(), ..log(circling(1, 1.0, Angle::default())) };
    let refused = prepare(&log, &TrackConfig::default()).unwrap_err().to_string();
    assert_eq!(
        refused,
        "only 1 of 1 fixes (5 records or values could not be read) can be used, and a track needs at least 5; look at \
         what could not be read, and export the recording again"
    );
}

#[test]
fn recorded_speed_and_course_are_used_where_they_hold_up() {
    let mut fixes = circling(300, 1.0, Angle::default());
    let plain = run(fixes.clone()).unwrap();
    for (fix, p) in fixes.iter_mut().zip(&plain.points) {
        fix.ground_speed_mps = p.velocity.speed_mps().into();
        fix.course_deg = p.velocity.direction().bearing_deg().into();
    }
    fixes[50].ground_speed_mps = 80.0.into();
    fixes[51].course_deg = OptionalF64::NONE;
    let track = run(fixes.clone()).unwrap();
    assert!(track.problems.is_empty());
    let from_positions: Vec<u32> =
        track.points.iter().filter(|p| p.velocity_source == VelocitySource::Positions).map(|p| p.fix_index).collect();
    assert_eq!(from_positions, [50, 51]);

    for fix in &mut fixes {
        fix.ground_speed_mps = fix.ground_speed_mps.get().map(|v| v * 3.6).into();
    }
    let track = run(fixes).unwrap();
    assert_eq!(codes(&track), [("speed-unit", 1, None)]);
    assert!(track.problems[0].message.contains("km/h"), "{}", track.problems[0].message);
}

#[test]
fn altitudes_that_a_log_has_not_are_unknown_and_not_sea_level() {
    let mut fixes = circling(100, 1.0, Angle::default());
    assert!(run(fixes.clone()).unwrap().points.iter().all(|p| p.altitude_m.get().is_some_and(|h| h >= 500.0)));
    for fix in &mut fixes {
        fix.gnss_altitude_m = OptionalF64::NONE;
    }
    let track = run(fixes).unwrap();
    assert!(track.points.iter().all(|p| p.altitude_m.get().is_none()) && !track.has_altitude());
    assert_eq!(track.takeoff_altitude_m, None);
}

#[test]
fn an_airspeed_column_of_one_value_is_no_airspeed() {
    let mut fixes = circling(100, 1.0, Angle::default());
    for fix in &mut fixes {
        fix.true_airspeed_mps = 0.0.into();
    }
    assert!(run(fixes).unwrap().points.iter().all(|p| p.true_airspeed_mps.get().is_none()));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]
    /// Turning the whole flight turns every velocity by the same angle.
    #[test]
    fn a_turned_flight_gives_turned_velocities(angle_deg in -180.0..180.0f64) {
        let turned = Angle::from_deg(angle_deg);
        let (plain, other) = (run(circling(120, 1.0, Angle::default())).unwrap(), run(circling(120, 1.0, turned)).unwrap());
        for (a, b) in plain.points.iter().zip(&other.points) {
            let off = b.velocity.direction().signed_from(a.velocity.direction() + turned);
            // Both tracks lie within 3 km of their origins, which differ: meridians turn by 0.03° at most.
            prop_assert!(off.deg().abs() < 0.03, "{}", off.deg());
            prop_assert!((a.velocity.speed_mps() - b.velocity.speed_mps()).abs() < 1e-3);
        }
    }

    /// Whatever order, times and places come in: no panic, and times that rise strictly.
    #[test]
    fn any_fixes_at_all_give_a_rising_track_or_an_error(
        raw in prop::collection::vec((-5i64..200, -91.0..91.0f64, -181.0..181.0f64, any::<bool>()), 0..80),
    ) {
        let fixes = raw.iter().enumerate().map(|(i, &(t, lat, lon, near))| {
            let scale = if near { 1e-3 } else { 1.0 };
            Fix { lat_deg: lat * scale, lon_deg: lon * scale, ..fix(i as u32, t as f64, 0.0, 0.0, f64::from(i as u32)) }
        });
        if let Ok(track) = run(fixes.collect()) {
            prop_assert!(track.points.windows(2).all(|w| w[0].t_s < w[1].t_s));
            prop_assert!(track.points.iter().all(|p| p.velocity.speed_mps().is_finite()));
        }
    }
}

/// 10 m/s indicated is 10.49735 m/s true at 1000 m in the standard atmosphere (recomputed for the project); a recorded
/// true airspeed is left as it is, and a column that never moves is no airspeed.
#[test]
fn indicated_airspeed_becomes_true_airspeed_where_none_is_recorded() {
    let mut fixes: Vec<Fix> = circling(60, 1.0, Angle::default());
    for (i, fix) in fixes.iter_mut().enumerate() {
        fix.pressure_altitude_m = 1000.0.into();
        fix.indicated_airspeed_mps = if i == 0 { 9.0 } else { 10.0 }.into();
    }
    fixes[7].true_airspeed_mps = 11.0.into();
    let track = prepare(&log(fixes.clone()), &TrackConfig::default()).expect("a track");
    let at = |i: usize| track.points[i].true_airspeed_mps.get().expect("an airspeed");
    assert!((at(30) - 10.49735).abs() < 1e-5, "{}", at(30));
    assert_eq!(at(7), 11.0);
    for fix in &mut fixes {
        (fix.true_airspeed_mps, fix.indicated_airspeed_mps) = (None.into(), 0.0.into());
    }
    let track = prepare(&log(fixes), &TrackConfig::default()).expect("a track");
    assert!(track.points.iter().all(|p| p.true_airspeed_mps.get().is_none()));
}
