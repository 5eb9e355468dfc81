//! GeoJSON (RFC 7946).

use super::{ExportError, ExportPoint, ExportTrack};
use chrono::SecondsFormat;
use serde_json::{Value, json};

/// The track as a GeoJSON feature collection: one MultiLineString with the times of its points in the property
/// `coordTimes` (nested like the coordinates), then a Point per waypoint.
///
/// A line that crosses the 180° meridian is cut there (RFC 7946, section 3.1.9).
///
/// # Errors
/// [`ExportError`] for a position that cannot stand in the file.
pub fn write_geojson(track: &ExportTrack) -> Result<Vec<u8>, ExportError> {
    track.check()?;
    let lines: Vec<Vec<ExportPoint>> = track.segments.iter().flat_map(|segment| cut_at_antimeridian(segment)).collect();
    let each =
        |of: fn(&ExportPoint) -> Value| lines.iter().map(|line| line.iter().map(of).collect()).collect::<Vec<Value>>();
    let mut features = vec![json!({
        "type": "Feature",
        "properties": { "name": track.name, "description": track.description, "coordTimes": each(time) },
        "geometry": { "type": "MultiLineString", "coordinates": each(position) },
    })];
    features.extend(track.waypoints.iter().map(|mark| {
        json!({
            "type": "Feature",
            "properties": { "name": mark.name, "description": mark.description, "time": time(&mark.point) },
            "geometry": { "type": "Point", "coordinates": position(&mark.point) },
        })
    }));
    let mut bytes = serde_json::to_vec(&json!({ "type": "FeatureCollection", "features": features }))?;
    bytes.push(b'\n');
    Ok(bytes)
}

/// Longitude first (section 3.1.1); nine decimals are a tenth of a millimetre.
fn position(point: &ExportPoint) -> Value {
    let rounded = |deg: f64| (deg * 1e9).round() / 1e9;
    match point.altitude_m.filter(|m| m.is_finite()) {
        Some(altitude_m) => json!([rounded(point.lon_deg), rounded(point.lat_deg), (altitude_m * 1e3).round() / 1e3]),
        None => json!([rounded(point.lon_deg), rounded(point.lat_deg)]),
    }
}

fn time(point: &ExportPoint) -> Value {
    Value::String(point.time.to_rfc3339_opts(SecondsFormat::Millis, true))
}

/// Splits where the longitude jumps by more than half a turn, with a point on the meridian at both sides. Lines of a
/// single point are no lines (section 3.1.4) and are left out.
fn cut_at_antimeridian(segment: &[ExportPoint]) -> Vec<Vec<ExportPoint>> {
    let mut lines = vec![Vec::new()];
    let mut last: Option<ExportPoint> = None;
    for &point in segment {
        if let Some(before) = last
            && (point.lon_deg - before.lon_deg).abs() > 180.0
        {
            let side = 180.0_f64.copysign(before.lon_deg);
            let beyond = point.lon_deg + 2.0 * side - before.lon_deg;
            let share = if beyond == 0.0 { 0.0 } else { (side - before.lon_deg) / beyond };
            let mix = |a: f64, b: f64| a + share * (b - a);
            let elapsed_ms = (point.time - before.time).num_milliseconds() as f64;
            let middle = ExportPoint {
                time: before.time + chrono::TimeDelta::milliseconds((share * elapsed_ms) as i64),
                lat_deg: mix(before.lat_deg, point.lat_deg),
                lon_deg: side,
                altitude_m: before.altitude_m.zip(point.altitude_m).map(|(a, b)| mix(a, b)),
            };
            if let Some(line) = lines.last_mut() {
                line.push(middle);
            }
            lines.push(vec![ExportPoint { lon_deg: -side, ..middle }]);
        }
        if let Some(line) = lines.last_mut() {
            line.push(point);
        }
        last = Some(point);
    }
    lines.retain(|line| line.len() > 1);
    lines
}
