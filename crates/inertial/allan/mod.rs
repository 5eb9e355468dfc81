//! Allan deviation of a rate sensor, and what is read off it.
//!
//! D. W. Allan's two-sample deviation in its overlapping form: W. J. Riley, *Handbook of Frequency Stability Analysis*,
//! NIST SP 1065 (2008), section 5.2.4; for gyros IEEE Std 952-1997 (R2008), annex C, from memory.

mod deviation;
mod read_off;

pub use deviation::{AllanPoint, overlapping};
pub use read_off::{BiasInstability, GyroNoise, read_off};
