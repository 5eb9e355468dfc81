//! Attitude from rates, with tilt held to gravity: heading that does not lean with the turn or creep with the swing.

mod filter;
mod path;
mod times;

pub(crate) use filter::body_axes;
pub use filter::{AttitudeConfig, follow};
pub use path::AttitudePath;

#[cfg(test)]
mod tests;
