//! The pilot's swing under the wing: its spectrum, its period, and what hints at hands on the brakes.

mod hint;
mod spectrum;

pub use hint::{HandsHint, hands_hint};
pub use spectrum::{Spectrum, SwingAxis, spectrum, swing_period_s};
