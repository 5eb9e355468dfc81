//! FAI/IGC flight recorder file (*Technical Specification for IGC-approved GNSS Flight Recorders*, appendix A).
//!
//! Positions in 0.001', or finer with the extensions LAD and LOD; GSP and TRT where speed and course are recorded;
//! TDS where fixes come between whole seconds; marks as E records. Not signed, as the file is invented.

use super::{CREATOR, degrees_minutes};
use crate::SimulatedFlight;
use chrono::Timelike;
use driftless_track::Fix;
use std::fmt::Write;

/// One extension of the B record: code, width, and what it writes.
struct Extension {
    code: &'static str,
    width: usize,
    value: fn(&Fix, usize) -> u64,
}

pub(super) fn write(flight: &SimulatedFlight) -> String {
    let mut out = String::with_capacity(60 * flight.fixes.len() + 1024);
    // Writing into a String cannot fail.
    let _ = write_into(flight, &mut out);
    out
}

fn write_into(flight: &SimulatedFlight, out: &mut String) -> std::fmt::Result {
    let date = flight.fixes.first().map_or(flight.truth.epoch, |fix| fix.time).format("%d%m%y");
    write!(out, "AXDL001 {CREATOR}\r\nHFDTEDATE:{date},01\r\n")?;
    write!(out, "HFGTYGLIDERTYPE:{}\r\n", one_line(&flight.scenario.setup))?;
    write!(out, "HFDTMGPSDATUM:WGS84\r\nHFFTYFRTYPE:{CREATOR}\r\n")?;
    let extensions = extensions(flight);
    write_i_record(&extensions, out)?;
    write!(out, "LXDL invented flight {}, seed {}\r\n", flight.scenario.name, flight.seed)?;
    let extra = flight.scenario.output.igc_extra_digits;
    for (fix, mark) in flight.fixes.iter().zip(flight.marks_by_fix()) {
        let time = fix.time.format("%H%M%S");
        if let Some(text) = mark {
            write!(out, "E{time}PEV{text}\r\n")?;
        }
        let (ns, lat_deg, lat_min) = minutes(fix.lat_deg, ['N', 'S'], extra);
        let (ew, lon_deg, lon_min) = minutes(fix.lon_deg, ['E', 'W'], extra);
        write!(out, "B{time}{lat_deg:02}{lat_min:05}{ns}{lon_deg:03}{lon_min:05}{ew}A")?;
        for altitude_m in [fix.pressure_altitude_m, fix.gnss_altitude_m] {
            // A minus sign takes the place of the first zero.
            write!(out, "{:05}", altitude_m.get().unwrap_or(0.0).round() as i64)?;
        }
        for extension in &extensions {
            write!(out, "{:0width$}", (extension.value)(fix, extra), width = extension.width)?;
        }
        out.push_str("\r\n");
    }
    Ok(())
}

/// Hemisphere, degrees, and minutes in steps of 0.001' as the B record has them: further digits cut off, not rounded.
fn minutes(deg: f64, letters: [char; 2], extra: usize) -> (char, u64, u64) {
    let (letter, whole_deg, steps) = degrees_minutes(deg, letters, 3 + extra as u32);
    (letter, whole_deg, steps / 10_u64.pow(extra as u32))
}

/// The digits that [`minutes`] cut off.
fn further_digits(deg: f64, extra: usize) -> u64 {
    degrees_minutes(deg, ['+', '-'], 3 + extra as u32).2 % 10_u64.pow(extra as u32)
}

fn extensions(flight: &SimulatedFlight) -> Vec<Extension> {
    let extra = flight.scenario.output.igc_extra_digits;
    let mut extensions = Vec::new();
    if extra > 0 {
        extensions.push(Extension {
            code: "LAD",
            width: extra,
            value: |fix, extra| further_digits(fix.lat_deg, extra),
        });
        extensions.push(Extension {
            code: "LOD",
            width: extra,
            value: |fix, extra| further_digits(fix.lon_deg, extra),
        });
    }
    if flight.scenario.sensors.doppler_mps.is_some() {
        // Three digits of km/h, then as many decimals as the field holds.
        let speed = |fix: &Fix, _| (fix.ground_speed_mps.get().unwrap_or(0.0) * 360.0).round() as u64;
        extensions.push(Extension { code: "GSP", width: 5, value: speed });
        let course = |fix: &Fix, _| fix.course_deg.get().unwrap_or(0.0).round() as u64 % 360;
        extensions.push(Extension { code: "TRT", width: 3, value: course });
    }
    if flight.fixes.iter().any(|fix| fix.time.nanosecond() > 0) {
        let milliseconds = |fix: &Fix, _| u64::from(fix.time.nanosecond() / 1_000_000);
        extensions.push(Extension { code: "TDS", width: 3, value: milliseconds });
    }
    extensions
}

/// Names the extensions with their places in the B record, whose own fields end with byte 35.
fn write_i_record(extensions: &[Extension], out: &mut String) -> std::fmt::Result {
    if extensions.is_empty() {
        return Ok(());
    }
    write!(out, "I{:02}", extensions.len())?;
    let mut start = 36;
    for extension in extensions {
        let end = start + extension.width - 1;
        write!(out, "{start:02}{end:02}{}", extension.code)?;
        start = end + 1;
    }
    out.push_str("\r\n");
    Ok(())
}

/// Plain characters only, as the specification demands.
fn one_line(text: &str) -> String {
    text.chars().map(|c| if c.is_ascii_graphic() || c == ' ' { c } else { '-' }).collect()
}
