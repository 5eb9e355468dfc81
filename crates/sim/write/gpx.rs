//! GPX 1.1 (topografix.com/GPX/1/1). Speed and course, which 1.1 does not have, go into extensions.

use super::{CREATOR, rfc3339};
use crate::SimulatedFlight;
use std::fmt::Write;

pub(super) fn write(flight: &SimulatedFlight) -> String {
    let mut out = String::with_capacity(160 * flight.fixes.len() + 1024);
    // Writing into a String cannot fail.
    let _ = write_into(flight, &mut out);
    out
}

fn write_into(flight: &SimulatedFlight, out: &mut String) -> std::fmt::Result {
    let scenario = &flight.scenario;
    writeln!(out, r#"<?xml version="1.0" encoding="UTF-8"?>"#)?;
    writeln!(
        out,
        r#"<gpx version="1.1" creator="{CREATOR}" xmlns="http://www.topografix.com/GPX/1/1" xmlns:m="urn:driftless:motion">"#
    )?;
    writeln!(
        out,
        "<metadata><name>{}</name><desc>{} Invented flight, seed {}.</desc></metadata>",
        escaped(&scenario.name),
        escaped(&scenario.note),
        flight.seed
    )?;
    for mark in flight.marks_in_log() {
        let at = flight.fixes.iter().min_by_key(|fix| (fix.time - mark.time).abs());
        if let Some(fix) = at {
            writeln!(
                out,
                r#"<wpt lat="{:.7}" lon="{:.7}"><time>{}</time><name>{}</name></wpt>"#,
                fix.lat_deg,
                fix.lon_deg,
                rfc3339(mark.time),
                escaped(&mark.text)
            )?;
        }
    }
    writeln!(out, "<trk><name>{}</name><trkseg>", escaped(&scenario.name))?;
    for fix in &flight.fixes {
        write!(out, r#"<trkpt lat="{:.7}" lon="{:.7}">"#, fix.lat_deg, fix.lon_deg)?;
        if let Some(altitude_m) = fix.gnss_altitude_m.get() {
            write!(out, "<ele>{altitude_m:.1}</ele>")?;
        }
        write!(out, "<time>{}</time>", rfc3339(fix.time))?;
        if let (Some(speed_mps), Some(course_deg)) = (fix.ground_speed_mps.get(), fix.course_deg.get()) {
            write!(
                out,
                "<extensions><m:speed>{speed_mps:.2}</m:speed><m:course>{:.1}</m:course></extensions>",
                // 359.96 must not print as 360.0.
                (course_deg * 10.0).round() % 3600.0 / 10.0
            )?;
        }
        writeln!(out, "</trkpt>")?;
    }
    writeln!(out, "</trkseg></trk>\n</gpx>")
}

/// Text that may stand between XML tags.
fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}
