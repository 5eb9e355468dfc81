//! The temperature of the sensor over the flight.

use crate::constants::WARMING_RAD_S;
use driftless_inertial::{ImuLog, SensorHealth, temperature_health};
use driftless_track::{Problems, Severity};

/// The health of a sensor now that the flight is known on its clock: temperatures over the flight, and rest outside of it
/// only.
pub(super) fn over_flight(
    health: SensorHealth,
    log: &ImuLog,
    flight_s: [f64; 2],
    problems: &mut Problems,
) -> SensorHealth {
    let Some(found) = temperature_health(log, Some(flight_s)) else { return health };
    let moved_rad_s = found.bias_slope.map_or(0.0, |slope| slope.change_rad_s(found.change_k()));
    if moved_rad_s > WARMING_RAD_S.value {
        let message = || {
            format!(
                "the sensor changed by {:+.0} K over the flight, which moves the gyro's bias by about {:.2} °/s",
                found.change_k(),
                moved_rad_s.to_degrees()
            )
        };
        let help = "switch the sensor on ten minutes before take-off, and keep it out of sun and slipstream";
        problems.add("imu-bias-warms", Severity::Note, None, message, help);
    }
    SensorHealth { temperature: Some(found), ..health }
}
