//! The constants of the whole-flight estimate and its priors: one record, from which docs/method.md has its tables.
//!
//! What was found on the simulator was found on its tuning seeds only.

use driftless_units::GRAVITY_MPS2;

/// A constant of the model.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Constant {
    /// What it is.
    pub what: &'static str,
    /// Its value.
    pub value: f64,
    /// Its unit; empty for a plain number.
    pub unit: &'static str,
    /// Where it comes from: a publication, an argument, or the plain word that there is neither.
    pub source: &'static str,
}

const TRADE: &str = "common practice, no source";
const JUDGEMENT: &str = "engineering judgement";
const VAGUE: &str = "wide enough to say nothing";

const fn constant(what: &'static str, value: f64, unit: &'static str, source: &'static str) -> Constant {
    Constant { what, value, unit, source }
}

// How things move.

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

// What is believed of the first node, as standard deviations.

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

// Typical noise levels: where the search for each begins, and the middle of its prior.

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
