//! The second stage of the road: what sensors beside the receiver add to a flight.

use crate::compass::with_log_compass;
use crate::gps::ByGps;
use crate::inertial::{SensorOnFlight, sensor_on_flight};
use crate::{CompassAgreement, InertialFile, Stage};
use driftless_track::{InputLimits, Problem, Track};
use driftless_wind::flight::FlightEstimate;

/// What sensors add.
pub(crate) struct BySensors {
    /// The flight estimated with those that proved good enough; `None` where the estimate by GPS stands.
    pub estimate: Option<FlightEstimate>,
    /// The inertial sensor; `None` without inertial files.
    pub inertial: Option<SensorOnFlight>,
    /// The heading recorded in the log against the estimated one; `None` without one, or where no headings are known.
    pub compass: Option<CompassAgreement>,
    /// What is wrong with the inertial files.
    pub problems: Vec<Problem>,
}

/// Takes in the inertial files, then the compass of the log.
pub(crate) fn by_sensors(
    track: &Track,
    gps: &ByGps,
    files: &[InertialFile],
    limits: &InputLimits,
    progress: &mut dyn FnMut(Stage),
) -> BySensors {
    let by_gps = gps.estimate.as_ref().ok();
    let (inertial, by_inertial, problems) = if files.is_empty() {
        (None, None, Vec::new())
    } else {
        progress(Stage::Inertial);
        let circle = gps.circle.as_ref();
        let (sensor, estimate, problems) = sensor_on_flight(files, track, by_gps, circle, &gps.steady, limits);
        (Some(sensor), estimate, problems)
    };
    let sensors = inertial.as_ref().is_some_and(|sensor| sensor.status().takes_part());
    let without = by_inertial.as_ref().or(by_gps);
    let (compass, by_compass) =
        without.map(|estimate| with_log_compass(track, estimate, &gps.steady, sensors)).unwrap_or_default();
    BySensors { estimate: by_compass.or(by_inertial), inertial, compass, problems }
}
