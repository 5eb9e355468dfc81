//! Inertial files beside a flight: read, judged, aligned, taken into the estimate. Whatever fails is said; the flight's own
//! result stands without.

mod clock;
mod columns;
mod fuse;
mod fuse_compass;
mod headings;
mod on_flight;
mod read;
mod status;
mod temperature;
#[cfg(test)]
mod tests;
mod windows;

pub use clock::{ClockOffset, ClockTimes};
pub use fuse::gyro_rates;
pub(crate) use fuse_compass::least_errors_rad;
pub use fuse_compass::{SensorCompass, compass_headings};
pub use headings::{Difference, Headings};
pub(crate) use on_flight::{SensorOnFlight, sensor_on_flight};
pub use status::{InertialStatus, NotAligned, NotRead, NotUsed, SensorsUsed};
pub use windows::InertialWindow;

use crate::sha256;
use chrono::{DateTime, Utc};
use driftless_inertial::align::Alignment;
use driftless_inertial::compass::CompassError;
use driftless_inertial::{OwnNoise, RateSeries, SensorHealth};
use std::sync::Arc;

/// One inertial file as given.
#[derive(Debug, Clone, PartialEq)]
pub struct InertialFile {
    /// Its name, for messages.
    pub name: String,
    /// Its bytes, shared: several logs of a run may be read with one file of hundreds of megabytes.
    pub bytes: Arc<Vec<u8>>,
    /// SHA-256 of the file as given, lower-case hex.
    pub sha256: String,
    /// Text of the column mapping kept for it (TOML), if there is one.
    pub mapping_toml: Option<String>,
}

impl InertialFile {
    /// A file as given.
    pub fn new(name: String, bytes: Vec<u8>, mapping_toml: Option<String>) -> Self {
        Self { name, sha256: sha256(&bytes), bytes: bytes.into(), mapping_toml }
    }
}

/// The name of an inertial file and what it was made from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InertialSource {
    /// Its name as given.
    pub name: String,
    /// SHA-256 of the file as given, lower-case hex.
    pub sha256: String,
}

/// What inertial data adds to a flight.
#[derive(Debug, Clone, PartialEq)]
pub struct InertialAnalysis {
    /// The files given, in that order.
    pub files: Vec<InertialSource>,
    /// How far the sensor came, and why no farther.
    pub status: InertialStatus,
    /// Moment of the sensor's second 0 by its own clock, when its times have dates.
    pub sensor_epoch: Option<DateTime<Utc>>,
    /// State of the sensors; `None` when no file could be read.
    pub health: Option<SensorHealth>,
    /// What the noise of its gyro is beside GPS; `None` when no file could be read.
    pub own_noise: Option<OwnNoise>,
    /// Alignment with the flight; `None` when it cannot be told.
    pub alignment: Option<Alignment>,
    /// Headings of flight, gyro and compass beside each other.
    pub headings: Option<Headings>,
    /// Turn rates between the estimate's nodes.
    pub rates: Option<RateSeries>,
    /// The compass, consistent or not; `None` when there is none.
    pub compass: Option<SensorCompass>,
    /// Why a magnetometer could not be made a compass; `None` when it could, or there is none.
    pub not_calibrated: Option<CompassError>,
    /// Period of the pilot's swing over the flight, where one stands out, seconds.
    pub swing_period_s: Option<f64>,
    /// What the sensor saw in each window.
    pub windows: Vec<InertialWindow>,
}

impl InertialAnalysis {
    /// Of files of which nothing is known but how far they came.
    pub const fn new(files: Vec<InertialSource>, status: InertialStatus) -> Self {
        Self {
            files,
            status,
            sensor_epoch: None,
            health: None,
            own_noise: None,
            alignment: None,
            headings: None,
            rates: None,
            compass: None,
            not_calibrated: None,
            swing_period_s: None,
            windows: Vec::new(),
        }
    }

    /// Whether gyro or compass took part in the estimate of the flight.
    pub const fn takes_part(&self) -> bool {
        self.status.takes_part()
    }
}
