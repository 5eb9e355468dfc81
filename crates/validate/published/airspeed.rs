//! True airspeed from indicated: through the cleaning of a log, as the program does it.

use super::{Check, Group};
use driftless_analysis::{TrackConfig, prepare};
use driftless_formats::{ReadHint, read};
use std::fmt::Write;

const AEROCALC: &str = "aerocalc documentation: 250 kt at 10,000 ft standard (recomputed with ISO 2533 constants)";
const RECOMPUTED: &str = "ISO 2533 and the definition of calibrated airspeed, recomputed";

pub(super) fn checks() -> Vec<Check> {
    let knot_mps = 1852.0 / 3600.0;
    let mut checks = vec![Check::new(
        Group::Airspeed,
        "250 kt indicated at 10,000 ft: true, kt",
        AEROCALC,
        288.702_316,
        true_airspeed_mps(250.0 * knot_mps, 3048.0) / knot_mps,
        3e-4,
    )];
    for (height_m, tas) in [(500.0, 10.244), (1000.0, 10.497), (2000.0, 11.032), (3000.0, 11.607)] {
        let what = format!("10 m/s indicated at {height_m} m: true, m/s");
        checks.push(Check::derived(Group::Airspeed, what, RECOMPUTED, tas, true_airspeed_mps(10.0, height_m), 6e-4));
    }
    checks
}

/// The airspeed of a log of half a minute that records only an indicated one.
fn true_airspeed_mps(indicated_mps: f64, pressure_altitude_m: f64) -> f64 {
    let mut text = "time_utc,lat_deg,lon_deg,pressure_altitude_m,ias_mps\n".to_owned();
    for second in 0..30 {
        let speed_mps = if second == 0 { 0.9 * indicated_mps } else { indicated_mps };
        // Writing into a String cannot fail.
        let _ = writeln!(
            text,
            "2026-05-01T10:00:{second:02}Z,{:.7},11.0,{pressure_altitude_m},{speed_mps}",
            47.0 + 1e-4 * f64::from(second)
        );
    }
    let log = read(text.as_bytes(), &ReadHint::default()).ok();
    let track = log.and_then(|log| prepare(&log, &TrackConfig::default()).ok());
    track.and_then(|t| t.points.get(15).and_then(|p| p.true_airspeed_mps.get())).unwrap_or(f64::NAN)
}
