//! Findings in words and units: why a window was refused, why the wind is not known.

mod wind;
mod window;

pub use wind::{WIND_ADVICE, wind_unknown};
pub use window::{heading, reason, reasons};
