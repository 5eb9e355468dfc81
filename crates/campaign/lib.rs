//! The campaign: what was flown with which set-up, and what the repeats say together. Pure: no files, no clock.
//!
//! * [`model`]: power units, torque devices, wings, pilots, set-ups, flights, stopwatch and known-weight runs.
//! * [`mod@file`]: the campaign file that a person writes by hand, and the sheet of runs.
//! * [`physics`]: propeller torque, sensitivity, what holds a residual turn, how devices act, recommended settings.
//!
//! What repeats say together is worked out in `driftless_statistics`.

pub mod file;
pub mod model;
pub mod physics;

#[cfg(test)]
#[allow(dead_code, reason = "each crate uses its part")]
#[path = "../statistics/testing.rs"]
mod testing;
