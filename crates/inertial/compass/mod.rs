//! The magnetometer as a compass: hard iron from the field as the flight turns, declination from the World Magnetic Model, and whether the
//! whole is consistent enough to be believed.

mod calibrate;
mod doubt;
mod earth;
mod iron;

pub use calibrate::{Compass, CompassError, DeviationPrior, calibrate};
pub use doubt::CalibrationDoubt;
pub use earth::{EarthError, EarthField, earth_field};
