//! The campaign: what was flown with which set-up, and what the repeats say together. Pure: no files, no clock.
//!
//! * [`model`]: power units, torque devices, wings, pilots, set-ups, flights, stopwatch and known-weight runs.
//! * [`mod@file`]: the campaign file that a person writes by hand, and the sheet of runs.
//! * [`physics`]: propeller torque, sensitivity, what holds a residual turn, how devices act, recommended settings.
//! * [`statistics`]: means of repeats, compensation, comparisons, agreement, planning: plain functions of numbers.

pub mod file;
pub mod model;
pub mod physics;
pub mod statistics;
