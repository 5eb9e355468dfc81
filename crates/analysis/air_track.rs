//! The track with the drift taken out, as positions to draw on a map.

use crate::FlightAnalysis;
use chrono::{DateTime, Utc};
use driftless_track::Geodetic;
use driftless_wind::flight::Observability;

/// One point of the drift-removed track.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirTrackPoint {
    /// When.
    pub time: DateTime<Utc>,
    /// Where the aircraft would have been, had the air stood still since the first point.
    pub place: Geodetic,
    /// Altitude, metres; `None` where the log has none (then the height of the place is 0).
    pub altitude_m: Option<f64>,
}

impl FlightAnalysis {
    /// The air-relative (drift-removed) track, laid on the map from where the estimate begins. Empty without an
    /// estimate, and where the wind is not known.
    pub fn air_track(&self) -> Vec<AirTrackPoint> {
        let known = self.estimate.as_ref().filter(|e| e.observability == Observability::Observable);
        let Some(first) = known.and_then(|e| e.nodes.first()) else { return Vec::new() };
        let near_first = self.track.points.partition_point(|p| p.t_s < first.t_s);
        let Some(origin) = self.track.points.get(near_first) else { return Vec::new() };
        let nodes = self.estimate.iter().flat_map(|e| &e.nodes);
        nodes
            .map(|node| {
                let position = driftless_units::Position::new(
                    origin.position.east_m + node.air_position.east_m,
                    origin.position.north_m + node.air_position.north_m,
                );
                AirTrackPoint {
                    time: self.track.time_at(node.t_s),
                    place: Geodetic {
                        height_m: node.altitude_m.unwrap_or(0.0),
                        ..self.track.frame.to_geodetic(position)
                    },
                    altitude_m: node.altitude_m,
                }
            })
            .collect()
    }
}
