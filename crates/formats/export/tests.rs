use super::*;
use crate::{ReadHint, read};
use chrono::TimeDelta;
use proptest::prelude::*;

fn point(seconds: i64, lat_deg: f64, lon_deg: f64) -> ExportPoint {
    let time = DateTime::UNIX_EPOCH + TimeDelta::days(20_000) + TimeDelta::seconds(seconds);
    ExportPoint { time, lat_deg, lon_deg, altitude_m: Some(500.0) }
}

#[test]
fn a_written_gpx_is_read_back_by_our_reader_and_by_the_gpx_crate() {
    let track = ExportTrack {
        name: "Air track <\u{1}&>".to_owned(),
        segments: vec![vec![point(0, 47.5, 8.25), point(1, 47.6, 8.26)], vec![], vec![point(9, 47.7, 180.0)]],
        waypoints: vec![ExportWaypoint {
            point: point(1, 47.6, 8.26),
            name: "let go trim-level".to_owned(),
            description: String::new(),
        }],
        ..ExportTrack::default()
    };
    let bytes = write_gpx(&track).expect("writable");
    let log = read(&bytes, &ReadHint::default()).expect("readable");
    assert_eq!(log.segment_starts, [0, 2]);
    assert_eq!(log.fixes.iter().map(|f| f.time).collect::<Vec<_>>(), [0, 1, 9].map(|s| point(s, 0.0, 0.0).time));
    assert_eq!(log.marks[0].kind, driftless_track::MarkKind::LetGo);
    assert!(log.problems.is_empty(), "{:?}", log.problems);
    // The gpx crate does not take longitude 180 (its range is half open), so it sees the first segment only.
    let plain = ExportTrack { segments: vec![track.segments[0].clone()], ..track };
    let other = ::gpx::read(&*write_gpx(&plain).expect("writable")).expect("valid GPX");
    assert_eq!(other.tracks[0].segments[0].points[1].point().y(), 47.6);
    assert_eq!(other.tracks[0].name.as_deref(), Some("Air track <\\u{1}&>"));
}

#[test]
fn geojson_is_cut_at_the_antimeridian() {
    let track =
        ExportTrack { segments: vec![vec![point(0, 1.0, 179.0), point(2, 2.0, -179.0)]], ..ExportTrack::default() };
    let value: serde_json::Value = serde_json::from_slice(&write_geojson(&track).expect("writable")).expect("JSON");
    let lines = &value["features"][0]["geometry"]["coordinates"];
    assert_eq!(lines[0], serde_json::json!([[179.0, 1.0, 500.0], [180.0, 1.5, 500.0]]));
    assert_eq!(lines[1], serde_json::json!([[-180.0, 1.5, 500.0], [-179.0, 2.0, 500.0]]));
    assert_eq!(value["features"][0]["properties"]["coordTimes"][0][1], "2024-10-04T00:00:01.000Z");
}

#[test]
fn positions_that_are_none_are_refused() {
    let track = ExportTrack { segments: vec![vec![point(0, f64::NAN, 0.0)]], ..ExportTrack::default() };
    assert!(matches!(write_gpx(&track), Err(ExportError::BadPosition { index: 0, .. })));
    assert!(matches!(write_geojson(&track), Err(ExportError::BadPosition { index: 0, .. })));
}

proptest! {
    #[test]
    fn gpx_round_trip(points in proptest::collection::vec((0_i64..1_000_000_000, -90.0..=90.0, -180.0..=180.0_f64), 1..20)) {
        let segment: Vec<_> = points.into_iter().map(|(s, lat, lon)| point(s, lat, lon)).collect();
        let track = ExportTrack { segments: vec![segment.clone()], ..ExportTrack::default() };
        let log = read(&write_gpx(&track).expect("writable"), &ReadHint::default()).expect("readable");
        let back: Vec<_> = log.fixes.iter().map(|f| ExportPoint { time: f.time, lat_deg: f.lat_deg, lon_deg: f.lon_deg, altitude_m: f.gnss_altitude_m.get() }).collect();
        prop_assert_eq!(back, segment);
    }
}
