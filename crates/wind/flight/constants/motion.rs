//! How things move.

use super::TYPICAL_AIRSPEED_MPS;
use driftless_units::GRAVITY_MPS2;
use driftless_units::constant::{Constant, Group, JUDGEMENT, TRADE, constant};

/// Correlation time of gusts.
pub const GUST_TAU_S: Constant = constant("correlation time of gusts", 8.0, "s", TRADE);
/// Correlation time of the turn rate's wander.
pub const WANDER_TAU_S: Constant = constant("correlation time of the wander of the turn", 3.0, "s", TRADE);
/// Time in which the airspeed returns to trim when nothing holds it elsewhere.
pub const AIRSPEED_TAU_S: Constant = constant("time in which the airspeed returns to trim", 60.0, "s", JUDGEMENT);
/// Random walk of the mean wind.
pub const WIND_WALK: Constant =
    constant("random walk of the mean wind, per axis", 0.03, "m/s per √s", "engineering judgement: 0.7 m/s in 600 s");
/// Random walk of the trim airspeed.
pub const TRIM_WALK: Constant = constant(
    "random walk of the trim airspeed",
    0.01,
    "m/s per √s",
    "engineering judgement: fuel burns off, height changes",
);
/// Slow receiver error as a random walk of the position. Not estimated: beside gusts it can hardly be told, and takes from
/// them what the intervals need.
pub const SLOW_POSITION_WALK_M2_S: Constant = constant(
    "random walk of the position, for the slow receiver error",
    0.075,
    "m²/s",
    "engineering judgement: 2 · (1.5 m)² / 60 s",
);
/// Slower than this nothing flies; it keeps a wild iteration from dividing by nothing.
pub const SLOWEST_MPS: Constant = constant("slowest airspeed that is divided by", 2.0, "m/s", JUDGEMENT);
/// Correlation time of the twist's strength.
pub const TWIST_TAU_S: Constant = constant(
    "correlation time of the twist's strength",
    10.0,
    "s",
    "engineering judgement: it comes and goes within some swings",
);
/// Scale error per bias of the axis across: banked by φ, the gyro sees that bias times sin φ in its heading rate, and
/// tan φ = V ω / g makes it V / g per turn rate (coordinated turn), here at a typical airspeed.
pub const SCALE_PER_BIAS_S: Constant = constant(
    "scale error of a gyro per bias of the axis across",
    TYPICAL_AIRSPEED_MPS.value / GRAVITY_MPS2,
    "s",
    "coordinated turn at a typical airspeed: V / g",
);
/// Correlation time of a compass' slow error. Level follows the specific force with 10 s, ignition and load come and go
/// with 20 s.
pub const COMPASS_SLOW_TAU_S: Constant = constant(
    "correlation time of a compass' slow error",
    20.0,
    "s",
    "tuned on simulated flights: 12 to 16 s were left of a phone's compass",
);
/// Degrees of freedom of the Student distribution that airspeed disturbances outside windows come from: quiet nearly
/// always, and now and then a change of power or trim that no normal distribution fitted to the quiet would allow.
pub const AIRSPEED_DOF: Constant =
    constant("degrees of freedom of the airspeed's disturbances between windows", 2.0, "", JUDGEMENT);
/// What the variances of airspeed disturbances are multiplied with before uncertainties are read off. They were fitted to the
/// same data, which takes the airspeed between windows for better known than it is. Values are not touched.
pub const AIRSPEED_NOISE_INFLATION: Constant = constant(
    "inflation of the variance of airspeed disturbances between windows, before uncertainties are read",
    3.0,
    "",
    "tuned on simulated flights: uncertainties of wind and airspeed are then honest",
);
/// A disturbance of the wind is strange when its square over its covariance, both axes, is larger.
pub const STRANGE_WIND_SQUARE: Constant = constant(
    "square of a disturbance of the wind over its covariance that is no chance",
    16.0,
    "",
    "tuned on simulated flights: at 12 the turn rates of flights without a change begin to suffer",
);
/// A change may have come wherever the wind is this nearly as strange.
pub const AS_STRANGE_WITHIN: Constant = constant(
    "a change of the wind may have come wherever that square is less than the largest by no more than",
    10.0,
    "",
    "engineering judgement: what lies farther off is less likely by a factor of 150",
);
/// Changes of the wind in one flight at the most.
pub const MOST_WIND_CHANGES: Constant = constant("changes of the wind in a flight at the most", 4.0, "", JUDGEMENT);
/// How much the wind may change then, per axis.
pub const WIND_CHANGE_MPS: Constant =
    constant("change of the wind that is allowed there, per axis", 2.0, "m/s", JUDGEMENT);
/// Over how long.
pub const WIND_CHANGE_OVER_S: Constant = constant("time that a change of the wind takes", 20.0, "s", JUDGEMENT);

/// Their table on the method page.
pub(super) const GROUP: Group = Group {
    name: "method-moves",
    title: "How things move",
    constants: &[
        SLOW_POSITION_WALK_M2_S,
        WIND_WALK,
        STRANGE_WIND_SQUARE,
        AS_STRANGE_WITHIN,
        MOST_WIND_CHANGES,
        WIND_CHANGE_MPS,
        WIND_CHANGE_OVER_S,
        GUST_TAU_S,
        WANDER_TAU_S,
        AIRSPEED_TAU_S,
        TRIM_WALK,
        AIRSPEED_DOF,
        AIRSPEED_NOISE_INFLATION,
        SLOWEST_MPS,
        TWIST_TAU_S,
        SCALE_PER_BIAS_S,
        COMPASS_SLOW_TAU_S,
    ],
};
