//! What is believed of sensors before the track is looked at.

use super::VAGUE;
use driftless_units::constant::{Constant, Group, JUDGEMENT, constant};

/// Scale of a small gyro. The alignment's scale is taken off before, but its uncertainty may not be used: it was found with
/// the same track, which would count twice.
pub const GYRO_SCALE_STD_U: Constant =
    constant("scale of a gyro", 0.02, "", "engineering judgement: 1 to 3 % on data sheets of small sensors");
/// Clock of a gyro: wide, as the alignment found it with the same track.
pub const GYRO_CLOCK_STD_U_S: Constant = constant("clock of a gyro", 0.5, "s", VAGUE);
/// Heading error of a gyro at one node, beside the twist.
pub const GYRO_END_STD_U_RAD: Constant =
    constant("heading error of a gyro at one node, beside the twist", 0.002, "rad", JUDGEMENT);
/// Errors beyond the stated ones, in turns, because the attitude behind the rates is not quite right.
pub const GYRO_TURN_DOUBT: Constant =
    constant("doubt of a window's turn by gyro, as a share of it", 0.001, "", "tuned on simulated flights");
/// The same at the ends of a window, slower than a twist.
pub const GYRO_END_DOUBT_RAD: Constant =
    constant("doubt of a gyro's heading at either end of a window", 0.003, "rad", "tuned on simulated flights: 0.17°");
/// What the scale is off by beyond the stated, when it is reported as the sensor's own: a bias across the vertical is felt in
/// a bank, and looks like either. Windows do not suffer: they have the two together.
pub const SENSOR_SCALE_DOUBT: Constant =
    constant("doubt of a gyro's own scale, as reported", 0.002_5, "", "tuned on simulated flights");
/// The same of the bias.
pub const SENSOR_BIAS_DOUBT_RAD_S: Constant =
    constant("doubt of a gyro's own bias, as reported", 1.3e-4, "rad/s", "tuned on simulated flights");
/// Slow error of a compass heading at the least. A flight without a gyro tells it for less, and one with few turns takes it
/// for surer than it is; with this intervals are honest.
pub const LEAST_COMPASS_SLOW_RAD: Constant = constant(
    "slow error of a compass at the least",
    3.5_f64.to_radians(),
    "rad",
    "tuned on simulated flights: 3.5°; a fixed deviation left 2.5° rms of a phone's",
);
/// White error of a compass heading at the least.
pub const LEAST_COMPASS_WHITE_RAD: Constant =
    constant("white error of a compass at the least", 1.0_f64.to_radians(), "rad", "tuned on simulated flights: 1°");
/// How late the level of a sensor may be in turns.
pub const COMPASS_LAG_STD_U_S: Constant =
    constant("lag of a compass that was calibrated", 0.1, "s", "engineering judgement: level that lags in turns");

/// Their table on the method page.
pub(super) const GROUP: Group = Group {
    name: "method-sensors",
    title: "What is believed of sensors before the track is looked at",
    constants: &[
        GYRO_SCALE_STD_U,
        GYRO_CLOCK_STD_U_S,
        GYRO_END_STD_U_RAD,
        GYRO_TURN_DOUBT,
        GYRO_END_DOUBT_RAD,
        SENSOR_SCALE_DOUBT,
        SENSOR_BIAS_DOUBT_RAD_S,
        LEAST_COMPASS_SLOW_RAD,
        LEAST_COMPASS_WHITE_RAD,
        COMPASS_LAG_STD_U_S,
    ],
};
