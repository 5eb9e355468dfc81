//! The other way: a track as GPX or GeoJSON, for maps and other programs.

mod geojson;
mod gpx;

pub use self::geojson::write_geojson;
pub use self::gpx::write_gpx;

use chrono::{DateTime, Utc};
use thiserror::Error;

/// A track to be written, for example the drift-removed (air-relative) one, its positions given as WGS-84.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ExportTrack {
    /// Name of the track.
    pub name: String,
    /// What it is, in a sentence.
    pub description: String,
    /// Points in time order; a new inner vector begins behind each gap.
    pub segments: Vec<Vec<ExportPoint>>,
    /// Moments worth a name, such as the ends of hands-off windows.
    pub waypoints: Vec<ExportWaypoint>,
}

/// One point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExportPoint {
    /// Time, UTC.
    pub time: DateTime<Utc>,
    /// WGS-84 latitude, degrees.
    pub lat_deg: f64,
    /// WGS-84 longitude, degrees, `[-180, 180]`.
    pub lon_deg: f64,
    /// Altitude, metres.
    pub altitude_m: Option<f64>,
}

/// A named point.
#[derive(Debug, Clone, PartialEq)]
pub struct ExportWaypoint {
    /// Where and when.
    pub point: ExportPoint,
    /// Name.
    pub name: String,
    /// More words, or empty.
    pub description: String,
}

/// Why a track could not be written.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum ExportError {
    /// A number that cannot stand in a file.
    #[error("point {index} (latitude {lat_deg}, longitude {lon_deg}) is not a position on Earth; nothing was written")]
    BadPosition {
        /// Which point, from 0.
        index: usize,
        /// Latitude as given.
        lat_deg: f64,
        /// Longitude as given.
        lon_deg: f64,
    },
    /// A time outside of what the format can write.
    #[error("point {index} has the time {time}, which cannot be written")]
    BadTime {
        /// Which point, from 0.
        index: usize,
        /// The time as given.
        time: DateTime<Utc>,
    },
    /// The GPX writer refused.
    #[error("the GPX writer refused: {reason}")]
    Gpx {
        /// Its words.
        reason: String,
    },
    /// The JSON writer refused.
    #[error("the JSON writer refused: {0}")]
    Json(#[from] serde_json::Error),
}

impl ExportTrack {
    /// All points in order, waypoints last, checked.
    fn check(&self) -> Result<(), ExportError> {
        let points = self.segments.iter().flatten().chain(self.waypoints.iter().map(|w| &w.point));
        for (index, point) in points.enumerate() {
            let &ExportPoint { lat_deg, lon_deg, .. } = point;
            if crate::sane::latitude(lat_deg).is_none() || crate::sane::longitude(lon_deg).is_none() {
                return Err(ExportError::BadPosition { index, lat_deg, lon_deg });
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests;
