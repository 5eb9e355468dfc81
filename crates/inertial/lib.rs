//! Inertial data: gyro, accelerometer and magnetometer of a phone or logger, read and made useful to a flight.

pub mod allan;
mod log;
mod read;

pub use log::{ImuLog, Stream, Temperature};
pub use read::{AxesChoice, ColumnRef, ImuError, ImuMapping, TimeChoice, read};
