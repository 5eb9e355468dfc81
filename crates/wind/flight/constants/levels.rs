//! Typical noise levels, as standard deviations.

use super::TYPICAL_AIRSPEED_MPS;
use driftless_units::constant::{Constant, Group, JUDGEMENT, TRADE, constant};

/// White position error of a node; the rounding of the log comes on top.
pub const TYPICAL_POSITION_M: Constant = constant("white position error of a node, per axis", 0.5, "m", TRADE);
/// White error of a recorded velocity.
pub const TYPICAL_DOPPLER_MPS: Constant = constant("white error of a recorded velocity, per axis", 0.3, "m/s", TRADE);
/// Gust.
pub const TYPICAL_GUST_MPS: Constant = constant("gust, per axis", 0.3, "m/s", JUDGEMENT);
/// Wander of the acceleration across the path.
pub const TYPICAL_WANDER_MPS2: Constant = constant(
    "wander of the acceleration across the path",
    0.4_f64.to_radians() * TYPICAL_AIRSPEED_MPS.value,
    "m/s²",
    "engineering judgement: 0.4 °/s at a typical airspeed",
);
/// Random walk of the airspeed in windows.
pub const TYPICAL_AIRSPEED_WALK_IN_WINDOWS: Constant =
    constant("random walk of the airspeed in windows", 0.02, "m/s per √s", JUDGEMENT);
/// Random walk of the airspeed elsewhere.
pub const TYPICAL_AIRSPEED_WALK_FREE: Constant =
    constant("scale of the random walk of the airspeed elsewhere", 0.1, "m/s per √s", JUDGEMENT);
/// Random walk of the steady acceleration across the path in a typical flight whose windows are not known.
pub const TYPICAL_TURN_WALK: Constant = constant(
    "random walk of the steady acceleration across the path outside windows",
    0.25,
    "m/s² per √s",
    "engineering judgement: hands off or on, most of a flight is quieter than its turns",
);
/// Twist of a pilot about his wing.
pub const TYPICAL_TWIST_RAD: Constant =
    constant("twist of whoever carries a sensor", 0.017, "rad", "engineering judgement: one degree");
/// White error of a compass heading.
pub const TYPICAL_COMPASS_WHITE_RAD: Constant =
    constant("white error of a compass heading", 0.017, "rad", "engineering judgement: one degree");
/// Slow error of a compass heading.
pub const TYPICAL_COMPASS_SLOW_RAD: Constant =
    constant("slow error of a compass heading", 0.035, "rad", "engineering judgement: two degrees");
/// Standard deviation of the prior of the logarithm of a level's variance, about the typical level: a factor of twelve
/// either way in the level itself is nothing odd. It keeps a level that the log says nothing about from wandering off,
/// and lets still air be still.
pub const LEVEL_PRIOR_LN: Constant = constant(
    "prior of the logarithm of a level's variance, about the typical one",
    5.0,
    "",
    "engineering judgement: a factor of twelve either way in the level",
);
/// Least random walk of the steady acceleration across the path outside known windows. The level of the whole flight would
/// be too quiet for what is left between its windows.
pub const LEAST_FREE_TURN_WALK: Constant = constant(
    "least random walk of the steady acceleration across the path between known windows",
    0.6,
    "m/s² per √s",
    "engineering judgement: a turn of 10 °/s comes and goes within two or three seconds",
);
/// Least scale of the airspeed's random walk near marked windows. Over hours of straight flight the airspeed rests, and a level
/// taught by them would take every change of power for a change of the wind.
pub const LEAST_AIRSPEED_WALK_NEAR_WINDOWS: Constant = constant(
    "least scale of the random walk of the airspeed near marked windows",
    0.3,
    "m/s per √s",
    "tuned on simulated flights: power changes within seconds, by one to three m/s",
);
/// How near that is.
pub const NEAR_WINDOW_S: Constant = constant(
    "time before and behind a window in which power and trim are set for it",
    60.0,
    "s",
    "tuned on simulated flights",
);

/// Their table on the method page.
pub(super) const GROUP: Group = Group {
    name: "method-levels",
    title: "Typical noise levels, as standard deviations",
    constants: &[
        TYPICAL_POSITION_M,
        TYPICAL_DOPPLER_MPS,
        TYPICAL_GUST_MPS,
        TYPICAL_WANDER_MPS2,
        TYPICAL_AIRSPEED_WALK_IN_WINDOWS,
        TYPICAL_AIRSPEED_WALK_FREE,
        TYPICAL_TURN_WALK,
        LEAST_FREE_TURN_WALK,
        LEAST_AIRSPEED_WALK_NEAR_WINDOWS,
        NEAR_WINDOW_S,
        TYPICAL_TWIST_RAD,
        TYPICAL_COMPASS_WHITE_RAD,
        TYPICAL_COMPASS_SLOW_RAD,
        LEVEL_PRIOR_LN,
    ],
};
