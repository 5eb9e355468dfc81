//! GPX 1.1 by way of the `gpx` crate.

use super::{ExportError, ExportPoint, ExportTrack};
use driftless_units::printable;
use geo_types::Point;
use gpx::{Gpx, GpxVersion, Time, Track, TrackSegment, Waypoint};
use time::OffsetDateTime;

/// The track as a GPX 1.1 document, waypoints included.
///
/// # Errors
/// [`ExportError`] for a position or time that cannot stand in the file.
pub fn write_gpx(track: &ExportTrack) -> Result<Vec<u8>, ExportError> {
    track.check()?;
    let mut index = 0;
    let mut line = Track { name: named(&track.name), description: named(&track.description), ..Track::default() };
    for segment in track.segments.iter().filter(|segment| !segment.is_empty()) {
        let mut points = TrackSegment::default();
        for point in segment {
            points.points.push(waypoint(point, index)?);
            index += 1;
        }
        line.segments.push(points);
    }
    let mut document = Gpx { version: GpxVersion::Gpx11, creator: Some("driftless".to_owned()), ..Gpx::default() };
    for mark in &track.waypoints {
        let mut point = waypoint(&mark.point, index)?;
        point.name = named(&mark.name);
        point.description = named(&mark.description);
        document.waypoints.push(point);
        index += 1;
    }
    document.tracks.push(line);
    let mut bytes = Vec::new();
    gpx::write(&document, &mut bytes).map_err(|error| ExportError::Gpx { reason: error.to_string() })?;
    Ok(bytes)
}

fn waypoint(point: &ExportPoint, index: usize) -> Result<Waypoint, ExportError> {
    let bad_time = || ExportError::BadTime { index, time: point.time };
    let ns = i128::from(point.time.timestamp()) * 1_000_000_000 + i128::from(point.time.timestamp_subsec_nanos());
    let time = OffsetDateTime::from_unix_timestamp_nanos(ns).map_err(|_| bad_time())?;
    let mut waypoint = Waypoint::new(Point::new(point.lon_deg, point.lat_deg));
    waypoint.elevation = point.altitude_m.filter(|m| m.is_finite());
    waypoint.time = Some(Time::from(time));
    Ok(waypoint)
}

/// XML 1.0 knows no control characters; a name with one would make the file unreadable.
fn named(text: &str) -> Option<String> {
    (!text.is_empty()).then(|| printable(text).into_owned())
}
