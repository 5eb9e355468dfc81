//! An analysis that nobody flew, for the tests of charts and reports: nothing in it is estimated, so that it is the same on
//! every machine.
//!
//! * [`flight`]: a quarter of an hour of legs that turn, with everything that a chart or a page can show.
//! * [`round_flight`]: half an hour with round figures, that a test can reckon with by hand.
//! * [`without_wind`], [`with_impossible_values`], [`with_sensor`]: what can befall them.

mod flown;
mod impossible;
mod sensor;
mod windows;

pub use flown::{
    flight, flight_at, round_flight, round_flight_with_airspeed_open, round_flight_without_wind, without_wind,
};
pub use impossible::{IMPOSSIBLE, with_impossible_values};
pub use sensor::with_sensor;
