//! Inertial data: gyro, accelerometer and magnetometer of a phone or logger, read and made useful to a flight.

pub mod align;
pub mod allan;
pub mod attitude;
mod log;
mod measure;
pub mod mounting;
mod read;
mod robust;
mod still;
pub mod swing;

pub use log::{ImuLog, Stream, Temperature};
pub use measure::{RateMeasurement, RateSeries};
pub use read::{AxesChoice, ColumnRef, ImuError, ImuMapping, TimeChoice, read};
pub use still::{StillBias, still_bias};
