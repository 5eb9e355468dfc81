//! Findings in words and units: why a window was refused, why the wind is not known, why a compass is left out.

mod compass;
mod inertial;
mod wind;
mod window;

pub use compass::{compass_doubt, compass_doubts};
pub use inertial::{why_not_aligned, why_not_used};
pub use wind::{WIND_ADVICE, wind_unknown};
pub use window::{heading, reason, reasons};
