//! Findings in words and units: why a window was refused, why the wind is not known, why a compass is left out.

mod apart;
mod compass;
mod flight;
mod inertial;
mod second_opinion;
mod wind;
mod window;

pub use compass::{compass_doubt, compass_doubts, compass_not_calibrated};
pub use flight::flight_failure;
pub use inertial::{file_not_used, gyro_left_out, not_aligned, why_not_aligned, why_not_used};
pub use second_opinion::disagreement;
pub use wind::{airspeed_strained, rate_holds, wind_advice, wind_unknown};
pub use window::{heading, reason, reasons};
