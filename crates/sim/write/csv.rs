//! Comma-separated positions, one line a fix; a mark stands on the line of the nearest fix.

use super::rfc3339;
use crate::SimulatedFlight;
use std::fmt::Write;

pub(super) fn write(flight: &SimulatedFlight) -> String {
    let mut out = String::with_capacity(80 * flight.fixes.len() + 128);
    out.push_str("time_utc,lat_deg,lon_deg,altitude_m,ground_speed_mps,course_deg,mark\n");
    let cell = |value: Option<f64>, digits: usize| value.map(|v| format!("{v:.digits$}")).unwrap_or_default();
    for (fix, mark) in flight.fixes.iter().zip(flight.marks_by_fix()) {
        let course_deg = fix.course_deg.get().map(|c| (c * 10.0).round() % 3600.0 / 10.0);
        // Writing into a String cannot fail.
        let _ = writeln!(
            out,
            "{},{:.7},{:.7},{},{},{},{}",
            rfc3339(fix.time),
            fix.lat_deg,
            fix.lon_deg,
            cell(fix.gnss_altitude_m.get(), 1),
            cell(fix.ground_speed_mps.get(), 2),
            cell(course_deg, 1),
            mark.unwrap_or_default()
        );
    }
    out
}
