//! The path of the fixes in use: the points of the track, from the beginning, with what is known of each so far.

use crate::frame::Axes;
use crate::{Fix, LocalFrame, OptionalF64, TrackPoint, VelocitySource};
use driftless_units::{Position, Velocity, median};

/// Points of these fixes, in their order, at no time and place yet, without altitude and velocity.
pub(crate) fn unplaced(fixes: &[Fix], used: &[u32]) -> Vec<TrackPoint> {
    let point = |&fix_index: &u32| {
        let fix = fixes.get(fix_index as usize)?;
        Some(TrackPoint {
            t_s: 0.0,
            position: Position::new(0.0, 0.0),
            altitude_m: OptionalF64::NONE,
            velocity: Velocity::new(0.0, 0.0),
            velocity_source: VelocitySource::Positions,
            heading_true_deg: fix.heading_true_deg,
            heading_magnetic_deg: fix.heading_magnetic_deg,
            true_airspeed_mps: OptionalF64::NONE,
            engine_rpm: fix.engine_rpm,
            engine_noise: fix.engine_noise,
            fix_index,
        })
    };
    // Room for all at once: how many pass a filter is not known beforehand, and lists that grow take twice their size.
    let mut points = Vec::with_capacity(used.len());
    points.extend(used.iter().filter_map(point));
    points
}

/// Gives the points their times, counted from the first of them, and their places in this frame.
pub(crate) fn place(points: &mut [TrackPoint], fixes: &[Fix], frame: &LocalFrame) {
    let axes = Axes::new(frame);
    let start_us = points.first().and_then(|p| fix_of(fixes, p)).map_or(0, |fix| fix.time.timestamp_micros());
    for point in points {
        let Some(fix) = fix_of(fixes, point) else { continue };
        point.t_s = fix.time.timestamp_micros().saturating_sub(start_us) as f64 * 1e-6;
        point.position = axes.to_local(fix.lat_deg, fix.lon_deg);
    }
}

/// The fix a point came from.
pub(crate) fn fix_of<'a>(fixes: &'a [Fix], point: &TrackPoint) -> Option<&'a Fix> {
    fixes.get(point.fix_index as usize)
}

/// Removes the points at these places of the list (rising).
pub(crate) fn remove(points: &mut Vec<TrackPoint>, places: &[usize]) {
    let mut here = 0..points.len();
    points.retain(|_| here.next().is_none_or(|k| places.binary_search(&k).is_err()));
}

/// Metres over the ground from one point to another.
pub(crate) fn distance_m(a: &TrackPoint, b: &TrackPoint) -> f64 {
    (b.position.east_m - a.position.east_m).hypot(b.position.north_m - a.position.north_m)
}

/// The frame in which a log is cleaned: its origin at the median latitude and longitude, which no small number of wrong
/// fixes can carry away. Seen from an origin on another continent the flight itself would be foreshortened, and wrong
/// places would look believable.
pub(crate) fn frame_for_cleaning(fixes: &[Fix], used: &[u32]) -> Option<LocalFrame> {
    let middle = |of: fn(&Fix) -> f64| median(used.iter().filter_map(|&i| fixes.get(i as usize)).map(of));
    Some(LocalFrame { lat_deg: middle(|f| f.lat_deg)?, lon_deg: middle(|f| f.lon_deg)?, altitude_m: 0.0 })
}

/// The frame of the track: its origin at this fix. Its height matters little (1 part in 6,000 of lengths per kilometre).
pub(crate) fn frame_at(fix: &Fix) -> LocalFrame {
    let height_m = fix.gnss_altitude_m.or(fix.pressure_altitude_m).get().filter(|h| h.is_finite()).unwrap_or(0.0);
    LocalFrame { lat_deg: fix.lat_deg, lon_deg: fix.lon_deg, altitude_m: height_m }
}

/// Points at these times, places and heights, for tests.
#[cfg(test)]
pub(crate) fn points_of(
    t_s: &[f64],
    positions: &[Position<driftless_units::Ground>],
    altitudes_m: Option<&[f64]>,
) -> Vec<TrackPoint> {
    let mut points = unplaced(&vec![Fix::default(); t_s.len()], &(0..t_s.len() as u32).collect::<Vec<_>>());
    for (k, point) in points.iter_mut().enumerate() {
        (point.t_s, point.position) = (t_s[k], positions[k]);
        point.altitude_m = altitudes_m.map(|h| h[k]).into();
    }
    points
}

/// The same without heights.
#[cfg(test)]
pub(crate) fn points_at(t_s: &[f64], positions: &[Position<driftless_units::Ground>]) -> Vec<TrackPoint> {
    points_of(t_s, positions, None)
}
