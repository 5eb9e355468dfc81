//! Inertial data: gyro, accelerometer and magnetometer of a phone or logger, read and made useful to a flight.
//!
//! * [`read`]: CSV of many loggers to an [`ImuLog`]; oddities are problems, not errors.
//! * [`sensor_health`]: rate, gaps, bias, Allan deviation ([`allan`]), a verdict in words.
//! * [`align::align`]: down and forward ([`mounting`]), attitude ([`attitude`]), clock offset and drift, bias and scale,
//!   against the turns of the whole-flight estimate; "unknown" when it cannot be told.
//! * [`align::Alignment::rate_series`]: heading changes between the estimate's nodes as [`RateMeasurement`]s.
//! * [`swing`]: spectrum of roll and twist, hint at the hands. [`compass`]: hard iron, declination, consistency.

pub mod align;
pub mod allan;
pub mod attitude;
pub mod compass;
pub mod constants;
mod health;
mod log;
mod measure;
pub mod mounting;
mod read;
mod robust;
mod still;
pub mod swing;
mod temperature;

pub use health::{BesideGps, OwnNoise, SensorHealth, sensor_health};
pub use log::{ImuLog, Stream, Temperature};
pub use measure::{RateMeasurement, RateSeries};
pub use read::{ImuError, ImuMapping, impossible_rate, read, read_within};
pub use still::{StillBias, still_bias};
pub use temperature::{BiasSlope, TemperatureHealth, temperature_health};
