//! Inertial data in the report: what the sensor is worth, how it lies to the flight, and what it saw.
//!
//! One file for each form; the words are common to all of them.

mod html;
mod json;
mod text;
mod verdict;
mod words;

pub(crate) use html::section;
pub(crate) use json::InertialEntry;
pub(crate) use text::block;
