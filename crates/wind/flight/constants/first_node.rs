//! What is believed of the first node, as standard deviations.

use super::VAGUE;
use driftless_units::constant::{Constant, Group, JUDGEMENT, TRADE, constant};

/// Middle of the airspeeds that paramotors fly.
pub const TYPICAL_AIRSPEED_MPS: Constant = constant("typical airspeed", 11.0, "m/s", TRADE);
/// Position of the first node, about the first fix.
pub const FIRST_POSITION_M: Constant = constant("position, per axis, about the first fix", 1e3, "m", VAGUE);
/// Mean wind, about still air.
pub const FIRST_WIND_MPS: Constant =
    constant("mean wind, per axis, about still air", 10.0, "m/s", "engineering judgement: more is hardly flown");
/// Airspeed, about a typical one.
pub const FIRST_AIRSPEED_MPS: Constant = constant("airspeed, about the typical one", 4.0, "m/s", JUDGEMENT);
/// Trim airspeed, about a typical one.
pub const FIRST_TRIM_MPS: Constant = constant("trim airspeed, about the typical one", 2.0, "m/s", JUDGEMENT);
/// Heading, about that of the trajectory.
pub const FIRST_HEADING_RAD: Constant = constant("heading, about that of the start", 10.0, "rad", VAGUE);
/// Steady part of the acceleration across the path, about none.
pub const FIRST_STEADY_MPS2: Constant =
    constant("steady acceleration across the path, about none", 3.0, "m/s²", "engineering judgement: 16 °/s at 11 m/s");
/// Change of the wind with height, about none.
pub const WIND_SHEAR: Constant = constant(
    "change of the wind with height, per axis, about none",
    0.02,
    "1/s",
    "engineering judgement: 2 m/s in 100 m",
);
/// Drift of a gyro's heading at the start and after a gap: it is set to that of the trajectory, which may be off by this.
pub const DRIFT_OPEN_RAD: Constant = constant("drift of a gyro's heading, also behind a gap", 3.0, "rad", VAGUE);
/// Position behind a break.
pub const BROKEN_POSITION_M: Constant = constant("position behind a break, per axis", 1e4, "m", VAGUE);
/// Heading behind a break.
pub const BROKEN_HEADING_RAD: Constant = constant("heading behind a break", 30.0, "rad", VAGUE);

/// Their table on the method page.
pub(super) const GROUP: Group = Group {
    name: "method-first",
    title: "What is believed of the first node, as standard deviations",
    constants: &[
        TYPICAL_AIRSPEED_MPS,
        FIRST_POSITION_M,
        FIRST_AIRSPEED_MPS,
        FIRST_TRIM_MPS,
        FIRST_HEADING_RAD,
        FIRST_STEADY_MPS2,
        FIRST_WIND_MPS,
        WIND_SHEAR,
        DRIFT_OPEN_RAD,
        BROKEN_POSITION_M,
        BROKEN_HEADING_RAD,
    ],
};
