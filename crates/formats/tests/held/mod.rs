//! What every reading keeps, whatever it was given.

use driftless_formats::{CsvMapping, ReadHint, read};
use driftless_track::LogFormat;

/// Reads bytes, and holds what comes out to its promises.
pub(crate) fn check(bytes: &[u8]) {
    let mapping = CsvMapping::from_toml("time = 1\nlatitude = 2\nlongitude = 3\nheader = false").expect("a mapping");
    for hint in [ReadHint::default(), ReadHint { csv_mapping: Some(mapping), ..ReadHint::default() }] {
        match read(bytes, &hint) {
            Ok(log) => {
                assert!(!log.fixes.is_empty());
                assert_eq!(log.segment_starts.first(), Some(&0));
                assert!(log.segment_starts.windows(2).all(|pair| pair[0] < pair[1]));
                assert!(log.segment_starts.iter().all(|&start| start < log.fixes.len()));
                for fix in &log.fixes {
                    assert!((-90.0..=90.0).contains(&fix.lat_deg) && (-180.0..=180.0).contains(&fix.lon_deg));
                    assert!(fix.course_deg.get().is_none_or(|c| (0.0..360.0).contains(&c)));
                    assert!(fix.ground_speed_mps.get().is_none_or(|s| (0.0..500.0).contains(&s)));
                    assert!(fix.source.line >= 1 || log.format == LogFormat::Fit);
                }
                assert!(log.problems.iter().all(|p| p.count >= 1 && !p.message.is_empty()));
            }
            Err(error) => assert!(!error.to_string().is_empty() && !error.code().is_empty()),
        }
    }
}
