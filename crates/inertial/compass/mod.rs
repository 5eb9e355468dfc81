//! The magnetometer as a compass: hard iron from the turns, declination from the World Magnetic Model, and whether the
//! whole is consistent enough to be believed.

mod calibrate;
mod earth;

pub use calibrate::{Compass, CompassError, calibrate};
pub use earth::{EarthError, EarthField, earth_field};
