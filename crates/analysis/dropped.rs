//! What a file is that somebody drops without a word: a log, inertial data, marks, a mapping of columns, a campaign, a ZIP
//! file. Told by its content; of when it is, where it says so.

use crate::{Asked, FlightFiles, RefusalFault, read_log};
use chrono::{DateTime, TimeDelta, Utc};
use driftless_formats::{CsvMapping, ReadError, is_kmz};
use driftless_inertial::{ImuLog, ImuMapping, read_within};
use driftless_segment::marks_file::{self, MarkTime, MarksError};
use std::ops::RangeInclusive;

/// From when to when something was recorded.
pub type Times = RangeInclusive<DateTime<Utc>>;

/// What a file is.
#[derive(Debug, Clone, PartialEq)]
pub enum DroppedKind {
    /// A flight log.
    Log(Times),
    /// Inertial data; without times where its clock counts from a start that is not told.
    Inertial(Option<Times>),
    /// A marks file; without times where they count from the first fix of a log.
    Marks(Option<Times>),
    /// Which column is what, of a log or of inertial data.
    Mapping,
    /// A campaign file.
    Campaign,
    /// A ZIP file.
    Archive,
}

/// Why nobody can say what a file is, or why it cannot be used as what it is.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum DroppedFault {
    /// It begins as a marks file and is a wrong one.
    #[error("this is a marks file that cannot be used: {0}")]
    Marks(#[from] MarksError),
    /// TOML, and neither a mapping nor a campaign.
    #[error("this is neither a campaign file nor a mapping of columns: {0}")]
    Toml(ReadError),
    /// Anything else: what the reader of logs says of it.
    #[error("{0}")]
    Log(RefusalFault),
}

/// First bytes of a ZIP file (APPNOTE 6.3.10, 4.3.7 and, of an empty one, 4.3.16).
const ZIP: [&[u8]; 2] = [b"PK\x03\x04", b"PK\x05\x06"];

/// Says what a file is. `mapping` is the one that came with it, if any.
///
/// # Errors
/// [`DroppedFault`] when it is nothing that is known, or something known that cannot be used.
pub fn dropped_kind(
    name: &str,
    bytes: &[u8],
    mapping: Option<&str>,
    asked: &Asked,
) -> Result<DroppedKind, DroppedFault> {
    if is_archive(bytes) {
        return Ok(DroppedKind::Archive);
    }
    let text = std::str::from_utf8(bytes).ok().map(|text| text.strip_prefix('\u{feff}').unwrap_or(text));
    if let Some(text) = text {
        if is_campaign(name, bytes) {
            return Ok(DroppedKind::Campaign);
        }
        if is_toml(name) {
            return mapping_only(text);
        }
        if is_marks(text) {
            return Ok(DroppedKind::Marks(marks(text, asked)?));
        }
    }
    // A table of inertial data may have positions too; then it is a log.
    let files = FlightFiles {
        name: name.to_owned(),
        log: bytes,
        csv_mapping: mapping
            .filter(|text| CsvMapping::from_toml(text).is_ok())
            .map(|text| crate::TextFile { name: format!("{name}.toml"), text: text.to_owned() }),
        ..FlightFiles::default()
    };
    match read_log(&files, asked) {
        Ok(log) => {
            let times = log.fixes.iter().map(|fix| fix.time);
            match (times.clone().min(), times.max()) {
                (Some(first), Some(last)) => Ok(DroppedKind::Log(first..=last)),
                _ => Err(DroppedFault::Log(RefusalFault::Log(ReadError::Empty { bytes: bytes.len() }))),
            }
        }
        Err(refusal) => match inertial(bytes, mapping, asked) {
            Some(kind) => Ok(kind),
            None => Err(DroppedFault::Log(refusal.fault)),
        },
    }
}

/// Whether a file is a ZIP file. A KMZ is one too, but no campaign: what to do with it, the reader of logs says.
pub fn is_archive(bytes: &[u8]) -> bool {
    ZIP.iter().any(|magic| bytes.starts_with(magic)) && !is_kmz(bytes)
}

/// Whether a file is a campaign file: TOML that describes set-ups, wings, power units or flights. One that cannot be read is told
/// so by its own reader, at each line.
pub fn is_campaign(name: &str, bytes: &[u8]) -> bool {
    const BEGINS: [&str; 4] = ["[setups", "[[flights", "[wings", "[power_units"];
    let begins = |line: &str| BEGINS.iter().any(|word| line.trim_start().starts_with(word));
    is_toml(name) && std::str::from_utf8(bytes).is_ok_and(|text| text.lines().any(begins))
}

fn is_toml(name: &str) -> bool {
    name.to_lowercase().ends_with(".toml")
}

fn mapping_only(text: &str) -> Result<DroppedKind, DroppedFault> {
    match (CsvMapping::from_toml(text), ImuMapping::from_toml(text)) {
        (Ok(_), _) | (_, Ok(_)) => Ok(DroppedKind::Mapping),
        (Err(error), Err(_)) => Err(DroppedFault::Toml(error)),
    }
}

fn is_marks(text: &str) -> bool {
    let head = text.lines().map(str::trim).find(|line| !line.is_empty() && !line.starts_with('#'));
    let plain = head.unwrap_or_default().to_lowercase().replace([' ', '-'], "_");
    plain.contains("let_go") && plain.contains("take_over")
}

fn marks(text: &str, asked: &Asked) -> Result<Option<Times>, MarksError> {
    let rows = marks_file::parse(text, &asked.config.input)?;
    let utc = |time| match time {
        MarkTime::Utc(time) => Some(time),
        MarkTime::FromFirstFix(_) => None,
    };
    let first = rows.iter().filter_map(|row| utc(row.let_go)).min();
    let last = rows.iter().filter_map(|row| utc(row.take_over)).max();
    Ok(first.zip(last).map(|(first, last)| first..=last))
}

fn inertial(bytes: &[u8], mapping: Option<&str>, asked: &Asked) -> Option<DroppedKind> {
    let mapping = mapping.and_then(|text| ImuMapping::from_toml(text).ok());
    let log = read_within(bytes, mapping.as_ref(), &asked.config.input).ok()?;
    Some(DroppedKind::Inertial(span(&log)))
}

fn span(log: &ImuLog) -> Option<Times> {
    let spans = [&log.gyro, &log.accel, &log.mag].into_iter().filter_map(|stream| stream.span_s());
    let (from_s, to_s) = spans.fold((f64::INFINITY, f64::NEG_INFINITY), |(from, to), [a, b]| (from.min(a), to.max(b)));
    let at = |s: f64| log.epoch?.checked_add_signed(TimeDelta::milliseconds((1e3 * s) as i64));
    at(from_s).zip(at(to_s)).filter(|(from, to)| from <= to).map(|(from, to)| from..=to)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kind(name: &str, bytes: &[u8]) -> Result<DroppedKind, DroppedFault> {
        dropped_kind(name, bytes, None, &Asked::default())
    }

    fn utc(text: &str) -> DateTime<Utc> {
        text.parse().expect("a time")
    }

    #[test]
    fn a_file_is_known_by_what_is_in_it() {
        let log = b"time,lat,lon\n2026-05-01T06:00:00Z,47,11\n2026-05-01T06:00:09Z,47,11.001\n";
        let times = utc("2026-05-01T06:00:00Z")..=utc("2026-05-01T06:00:09Z");
        assert_eq!(kind("a.csv", log), Ok(DroppedKind::Log(times.clone())));
        let kml = b"<kml><Track><when>2026-05-01T06:00:00Z</when><when>2026-05-01T06:00:09Z</when>\
                    <coord>11 47</coord><coord>11.001 47</coord></Track></kml>";
        assert_eq!(kind("a.kml", kml), Ok(DroppedKind::Log(times)));
        let fit = include_bytes!("../../fixtures/formats/fit/good/activity.fit");
        let turn = utc("2026-05-01T09:00:00Z")..=utc("2026-05-01T09:00:11Z");
        assert_eq!(kind("a.fit", fit), Ok(DroppedKind::Log(turn)));
        let marks = b"# mine\nlet_go,take_over\n2026-05-01T06:00:01Z,2026-05-01T06:00:08Z\n";
        let times = utc("2026-05-01T06:00:01Z")..=utc("2026-05-01T06:00:08Z");
        assert_eq!(kind("b.csv", marks), Ok(DroppedKind::Marks(Some(times))));
        assert_eq!(kind("b.csv", b"let_go;take_over\n10;60\n"), Ok(DroppedKind::Marks(None)));
        assert_eq!(kind("c.zip", b"PK\x03\x04rest"), Ok(DroppedKind::Archive));
        assert_eq!(kind("d.toml", b"title = \"x\"\n[setups.a]\nname = \"a\"\n"), Ok(DroppedKind::Campaign));
        let row = |s: usize| format!("2026-05-01T06:00:{s:02}Z,0.1,0,0.{s},0,0,9.8\n");
        let head = "time,gyro_x_rad_s,gyro_y_rad_s,gyro_z_rad_s,accel_x_mps2,accel_y_mps2,accel_z_mps2\n";
        let gyro: String = std::iter::once(head.to_owned()).chain((0..60).map(row)).collect();
        let times = utc("2026-05-01T06:00:00Z")..=utc("2026-05-01T06:00:59Z");
        assert_eq!(kind("e.csv", gyro.as_bytes()), Ok(DroppedKind::Inertial(Some(times))));
    }

    #[test]
    fn what_cannot_be_used_says_why() {
        for (name, bytes, word) in [
            ("a.txt", b"dear diary".as_slice(), "log"),
            ("a.kmz", include_bytes!("../../fixtures/formats/kml/hostile/packed.kmz"), "unzip it"),
            ("a.csv", b"", "empty"),
            ("a.csv", b"let_go,take_over\nnoon,one\n", "marks file"),
            ("a.toml", b"x = 1\n", "neither"),
        ] {
            let words = kind(name, bytes).expect_err("refused").to_string();
            assert!(words.contains(word), "{name}: {words}");
        }
    }
}
