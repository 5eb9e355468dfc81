//! NMEA 0183: an RMC and a GGA sentence for every fix. Marks have no place in it.

use super::degrees_minutes;
use crate::SimulatedFlight;
use driftless_track::Fix;
use std::fmt::Write;

const KNOT_MPS: f64 = 1852.0 / 3600.0;

pub(super) fn write(flight: &SimulatedFlight) -> String {
    let mut out = String::with_capacity(150 * flight.fixes.len());
    for fix in &flight.fixes {
        let time = fix.time.format("%H%M%S%.3f");
        let place = place(fix);
        let knots = fix.ground_speed_mps.get().map(|v| format!("{:.2}", v / KNOT_MPS)).unwrap_or_default();
        let course =
            fix.course_deg.get().map(|c| format!("{:.1}", (c * 10.0).round() % 3600.0 / 10.0)).unwrap_or_default();
        let date = fix.time.format("%d%m%y");
        sentence(&mut out, &format!("GPRMC,{time},A,{place},{knots},{course},{date},,,A"));
        let altitude = fix.gnss_altitude_m.get().map(|h| format!("{h:.1}")).unwrap_or_default();
        sentence(&mut out, &format!("GPGGA,{time},{place},1,11,0.8,{altitude},M,0.0,M,,"));
    }
    out
}

/// Latitude and longitude in degrees and minutes with five decimals (2 cm).
fn place(fix: &Fix) -> String {
    let (ns, lat_deg, lat_min) = degrees_minutes(fix.lat_deg, ['N', 'S'], 5);
    let (ew, lon_deg, lon_min) = degrees_minutes(fix.lon_deg, ['E', 'W'], 5);
    let minutes = |steps: u64| format!("{:02}.{:05}", steps / 100_000, steps % 100_000);
    format!("{lat_deg:02}{},{ns},{lon_deg:03}{},{ew}", minutes(lat_min), minutes(lon_min))
}

/// Puts `$` before, checksum (exclusive or of all characters between) and line end behind.
fn sentence(out: &mut String, body: &str) {
    let checksum = body.bytes().fold(0, |sum, byte| sum ^ byte);
    // Writing into a String cannot fail.
    let _ = write!(out, "${body}*{checksum:02X}\r\n");
}

#[cfg(test)]
mod tests {
    use super::*;

    /// D. DePriest, gpsinformation.org/dale/nmea.htm: the printed checksum of the GGA example is 47.
    #[test]
    fn published_checksum() {
        let mut out = String::new();
        sentence(&mut out, "GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,");
        assert!(out.ends_with("*47\r\n"), "{out}");
    }
}
