//! Attitude from rates, with tilt held to gravity: heading that does not lean with the turn or creep with the swing.

mod filter;
mod path;

pub use filter::{AttitudeConfig, follow};
pub use path::AttitudePath;

#[cfg(test)]
mod tests;
