//! Values that stand in where nobody gave one: the same in a campaign file, in a form, in a logbook.

/// Share of an engine's power that its reduction drive passes on: all of it, so that torque is not stated too low.
pub const DRIVE_EFFICIENCY: f64 = 1.0;

/// Standard uncertainty of an engine power, as a share of it: makers' figures are for one engine on one day. Common practice,
/// no source.
pub const POWER_STD_U_SHARE: f64 = 0.05;

/// Standard uncertainty of one reading of a stopwatch in the hand of a pilot, s (the trade's figure).
pub const READING_STD_U_S: f64 = 0.3;

/// Standard uncertainty of pointing at a landmark, degrees (the trade's figure).
pub const POINTING_STD_U_DEG: f64 = 5.0;
