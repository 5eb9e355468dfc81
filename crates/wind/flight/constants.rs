//! The constants of the whole-flight estimate and its priors: one record, from which docs/method.md has its tables.
//!
//! What was found on the simulator was found on its tuning seeds only.

pub use driftless_units::constant::{Constant, Group};

use driftless_units::GRAVITY_MPS2;
use driftless_units::constant::{JUDGEMENT, TRADE, constant};

/// A part of the state, as the method page lists it.
#[derive(Debug, Clone, Copy)]
pub struct Part {
    /// Its letter in the formulas; with the number of parts where there is one per axis.
    pub symbol: &'static str,
    /// Its name in the code.
    pub name: &'static str,
    /// What it is.
    pub what: &'static str,
    /// How it moves from node to node.
    pub moves: &'static str,
    /// What is believed of it at the first node.
    pub first: &'static str,
}

const VAGUE: &str = "wide enough to say nothing";
const SEARCH: &str = "tuned on simulated flights: how fast the search arrives, not where";

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

// How a flight is taken.

/// Fixes within this time are averaged into one node: faster logs gain in noise, not in work.
pub const BIN_S: Constant = constant("fixes averaged into one node", 1.0, "s", JUDGEMENT);
/// Outside windows a long flight is taken in wider bins, so that it has no more than about this many, ...
pub const MOST_FREE_BINS: Constant =
    constant("nodes of a long flight, about", 5400.0, "", "what a computer has time for");
/// ... but never wider than this.
pub const WIDEST_BIN_S: Constant = constant(
    "widest bin of a long flight, and longest step",
    3.0,
    "s",
    "engineering judgement: a step never turns far",
);
/// About a window the bins are narrow from this long before to this long after.
pub const WINDOW_MARGIN_S: Constant = constant("time about a window without wide bins", 10.0, "s", JUDGEMENT);
/// After an interval longer than this the aircraft may have done anything: only wind and airspeed carry over.
pub const BREAK_S: Constant = constant("interval without a fix that is a break", 15.0, "s", JUDGEMENT);
/// On the ground the flight model does not hold; nor in the first and last seconds next to it.
pub const GROUND_MARGIN_S: Constant = constant("time left out after take-off and before landing", 5.0, "s", JUDGEMENT);
/// Increments of a gyro up to this long are split in proportion where a node falls inside one.
pub const LONGEST_SPLIT_S: Constant = constant(
    "longest increment of a gyro that is split where a node falls inside",
    1.5,
    "s",
    "engineering judgement: the turn rate changes too much inside a longer one",
);
/// Times nearer than this are one.
pub const SAME_TIME_S: Constant =
    constant("times nearer than this are one", 1e-3, "s", "engineering judgement: 10 °/s turn 0.01° in it");
/// Climb is the slope of the altitude within this time either side.
pub const CLIMB_HALF_SPAN_S: Constant =
    constant("climb is the slope of the altitude over this, either side", 5.0, "s", JUDGEMENT);
/// Nodes over which airspeeds are averaged, either side (seconds, nearly), before a clock moves the track: long against gusts.
pub const CLOCK_AVERAGED_NODES: Constant =
    constant("airspeed averaged over, either side, for a sensor's clock", 15.0, "nodes", "tuned on simulated flights");
/// Steps over which turns are averaged, either side, for the scale of a gyro: longer than a twist. With the twist in them,
/// what the pilot does would speak for a scale that makes it smaller.
pub const SCALE_AVERAGED_STEPS: Constant =
    constant("turns averaged over, either side, for a gyro's scale", 4.0, "steps", "tuned on simulated flights");

// Where the estimate starts.

/// Winds up to this speed are tried.
pub const FASTEST_WIND_MPS: Constant =
    constant("fastest wind that is tried", 16.0, "m/s", "engineering judgement: more is not flown with a paramotor");
/// Growth of the wind with height that is tried beside none.
pub const WIND_GROWTH_PER_M: Constant = constant(
    "growth of the wind with height that is tried beside none",
    0.004,
    "1/m",
    "engineering judgement: 4 % in 10 m",
);
/// Grid step.
pub const WIND_GRID_MPS: Constant =
    constant("step of the grid of winds", 1.0, "m/s", "the estimate converges from twice as far");
/// Trim and power are taken as unchanged over this time.
pub const TRIM_BLOCK_S: Constant =
    constant("time over which trim and power are taken as unchanged", 90.0, "s", JUDGEMENT);
/// One velocity in this time is enough for a scan.
pub const SCANNED_EVERY_S: Constant = constant("one velocity is scanned in", 3.0, "s", JUDGEMENT);
/// Scatter of airspeed that gusts and position errors explain.
pub const SCANNED_SCATTER_MPS: Constant =
    constant("scatter of the airspeed by gusts and position errors", 1.0, "m/s", JUDGEMENT);
/// Spread of the airspeeds that paramotors fly.
pub const AIRSPEED_SPREAD_MPS: Constant =
    constant("spread of the airspeeds that paramotors fly", 3.0, "m/s", JUDGEMENT);
/// Starts that a scan gives are at least this far apart.
pub const SCANNED_APART_MPS: Constant = constant("starts of the scan lie apart by at least", 3.0, "m/s", JUDGEMENT);
/// Starts closer than this to one already tried are left out: they end in the same place.
pub const SAME_START_MPS: Constant =
    constant("starts nearer than this to one already tried are left out", 2.0, "m/s", JUDGEMENT);
/// Starts whose headings after one pass lie so near to those of another end where that one ends.
pub const SAME_PATH_RAD: Constant = constant(
    "a start is given up whose headings after one pass are this near to those of one tried",
    0.1,
    "rad",
    "tuned on simulated flights: up to 0.2 rad they were within 0.03 rad two passes on",
);
/// Starts less likely than that by the second pass are lost.
pub const LOST_LN_PER_NODE: Constant = constant(
    "and one whose second pass is less likely than another's by, in the logarithm per node",
    1.0,
    "",
    "tuned on simulated flights: no start that won was behind by more than 0.12",
);

/// Winds that make the airspeed so much more uneven than the best are left out.
pub const HOPELESS_UNEVENNESS: Constant = constant(
    "a wind is left that makes the airspeed more uneven than the best, in minus twice the logarithm of the likelihood, by",
    120.0,
    "",
    "tuned on simulated flights: no start that won was behind by more than 90",
);
/// Starts that a scan gives at the most.
pub const SCANNED_STARTS: Constant = constant("starts of the scan, at the most", 3.0, "", JUDGEMENT);
/// Velocities for a start are differences over this time either side.
pub const START_HALF_SPAN_S: Constant = constant(
    "velocities of a start are differences over this, either side",
    1.5,
    "s",
    "engineering judgement: long enough to drown position noise",
);

// How the passes go.

/// Shortest flight that is worth an estimate.
pub const FEWEST_NODES: Constant = constant("fewest nodes of a flight", 20.0, "nodes", JUDGEMENT);
/// Passes tried from each start before the best start is chosen.
pub const PASSES_PER_START: Constant =
    constant("passes from each start, before the likeliest is chosen", 3.0, "passes", JUDGEMENT);
/// Passes before the noise levels move: the trajectory must be about right first.
pub const PASSES_BEFORE_LEVELS: Constant = constant(
    "passes before levels and weights move",
    1.0,
    "pass",
    "tuned on simulated flights: no start was lost, and it saves a pass",
);
/// Passes at the most.
pub const MOST_PASSES: Constant = constant(
    "passes at the most",
    50.0,
    "passes",
    "tuned on simulated flights: more than the slowest of hundreds of estimates took",
);
/// Settled when no heading moves more than this in a pass, and no level more than [`LEVEL_SETTLED`].
pub const HEADING_SETTLED_RAD: Constant = constant(
    "settled when no heading of a pass moves by more than",
    8e-4,
    "rad",
    "tuned on simulated flights: nine turn rates in ten are then within 0.02 uncertainties of those after hundreds of passes",
);
/// Relative change of a level's standard deviation that counts as settled.
pub const LEVEL_SETTLED: Constant =
    constant("and no level by more than a share of", 0.02, "", "tuned on simulated flights, with the one before");
/// Beyond this many standard deviations a measurement counts less.
pub const HUBER_LIMIT: Constant = constant(
    "Huber's limit, beyond which a measurement counts less",
    2.5,
    "standard deviations",
    "99 % of the efficiency on Gaussian errors: Huber & Ronchetti, Robust Statistics (2009), chapter 4, from memory",
);
/// Farthest that a heading may move in one pass.
pub const FARTHEST_TURN_RAD: Constant = constant("a heading moves in a pass by at most", 1.0, "rad", JUDGEMENT);
/// Largest factor by which an airspeed may change in one pass.
pub const LARGEST_FACTOR: Constant =
    constant("an airspeed changes in a pass by a factor of at most", 1.4, "", JUDGEMENT);
/// A path slower than this through the air over half of its length is no flight.
pub const SLOWEST_FLIGHT_MPS: Constant = constant(
    "slower than this over half of its length no path is flown",
    3.0,
    "m/s",
    "common practice, no source: a paraglider stalls at about twice that",
);
/// Farthest that the logarithm of a level's variance may fall in one step of the search.
pub const FARTHEST_FALL_LN: Constant =
    constant("the logarithm of a level's variance falls in a pass by at most", 3.0, "", SEARCH);
/// Farthest that it may rise.
pub const FARTHEST_RISE_LN: Constant = constant("and rises by at most", 1.0, "", SEARCH);
/// A curvature along the last step that is less than this share of what was expected is not believed: there the likelihood
/// is bent the other way, or weights and trajectory moved it.
pub const LEAST_CURVATURE_SHARE: Constant =
    constant("a curvature found is believed from this share of the expected one on", 0.02, "", SEARCH);
/// What the expected curvature along the last step is divided by instead.
pub const SOFTENED_BY: Constant = constant("else the expected curvature is divided by", 4.0, "", SEARCH);
/// Information on the logarithm of a level's variance that the first step of the search counts on at the least.
pub const LEAST_TOLD: Constant =
    constant("information on the logarithm of a level's variance at the first step, at the least", 0.005, "", SEARCH);
/// How much longer than plain expectation-maximisation the scales of the airspeed's disturbances step, in the logarithm.
pub const SCALE_LENGTHENED: Constant =
    constant("steps of the scales of the airspeed's disturbances are lengthened by", 1.7, "", SEARCH);
/// A level falls no lower than this factor of the typical standard deviation.
pub const LEAST_LEVEL_FACTOR: Constant =
    constant("a level is at least this factor of the typical one", 0.01, "", "engineering judgement: that is none");
/// A level rises no higher than this factor of the typical standard deviation.
pub const MOST_LEVEL_FACTOR: Constant = constant(
    "a level is at most this factor of the typical one",
    100.0,
    "",
    "engineering judgement: nothing flies in it",
);

// The scan for the period of the twist.

/// Slowest twist that is tried.
pub const SLOWEST_TWIST_RAD_S: Constant =
    constant("slowest twist that is tried", 0.95, "rad/s", "engineering judgement: a period of 6.6 s");
/// Fastest twist that is tried.
pub const FASTEST_TWIST_RAD_S: Constant =
    constant("fastest twist that is tried", 3.0, "rad/s", "a period of 2.1 s, just above twice the time between nodes");
/// Step between them.
pub const TWIST_STEP_RAD_S: Constant =
    constant("step of the first scan", 0.2, "rad/s", "the resonance is as wide as two over its correlation time");
/// Step of the second scan about the best.
pub const FINE_TWIST_STEP_RAD_S: Constant =
    constant("step of the second scan, two either side of the likeliest", 0.05, "rad/s", JUDGEMENT);
/// Twist period before the scan.
pub const FIRST_TWIST_PERIOD_S: Constant = constant("period before the scan", 3.5, "s", JUDGEMENT);

// Wind that changes.

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

// Receivers that smooth, and receivers whose velocities err slowly.

/// Correlation time of the error of a recorded velocity. Longer than what receivers do: how long is not known of a log, and a
/// velocity comes of the same filter as the positions beside it.
pub const VELOCITY_ERROR_TAU_S: Constant = constant(
    "time that the error of a recorded velocity lasts, at the most",
    10.0,
    "s",
    "tuned on simulated flights: with the three seconds of a typical receiver intervals held 93 %",
);

/// A receiver whose fixes scatter less than this about the flight may smooth them: then it is looked for.
pub const SMOOTHED_BELOW_M: Constant =
    constant("scatter of single fixes below which smoothing is looked for", 0.06, "m", JUDGEMENT);
/// A receiver that smooths has at least this much white error, per axis of a node, to smooth.
pub const SMOOTHED_NOISE_M: Constant =
    constant("least white error, per axis, under a smoothing that is believed", 0.05, "m", JUDGEMENT);
/// Shortest smoothing that is looked for.
pub const SHORTEST_SMOOTHING_S: Constant = constant(
    "shortest smoothing by a receiver that is looked for",
    0.6,
    "s",
    "engineering judgement: less moves nothing",
);
/// Longest smoothing that is looked for.
pub const LONGEST_SMOOTHING_S: Constant = constant("longest smoothing that is looked for", 7.0, "s", JUDGEMENT);
/// Step between those tried.
pub const SMOOTHING_STEP: Constant = constant("factor between the smoothing times tried", 1.6, "", JUDGEMENT);
/// How much more likely a flight must be with smoothing undone.
pub const SMOOTHING_EVIDENCE_LN: Constant = constant(
    "logarithm of the likelihood that smoothing must gain to be believed",
    5.0,
    "",
    "engineering judgement: no flight of a plain receiver comes near it by chance",
);

// How far it is trusted.

/// Change of the logarithm of a variance over which the derivatives for degrees of freedom are taken.
pub const MOVED_LN: Constant =
    constant("change of the logarithm of a level's variance for its derivatives", 0.3, "", JUDGEMENT);
/// Fewest degrees of freedom claimed: below that a t interval says little but "hardly known".
pub const FEWEST_DOF: Constant = constant("fewest degrees of freedom claimed", 4.0, "", JUDGEMENT);
/// Share of the information about the levels that is real. The windows alone speak for the levels, while their errors come
/// from the whole flight.
pub const REAL_SHARE: Constant = constant(
    "share of the information about the levels that is believed",
    0.5,
    "",
    "tuned on simulated flights: the logarithm of the gust's variance scattered by 0.27 where the information promised 0.19",
);
/// Information on the logarithm of a level taken for granted, so that its inverse exists.
pub const LEAST_INFORMATION: Constant = constant(
    "information on the logarithm of a level's variance taken for granted",
    0.25,
    "",
    "engineering judgement: nobody doubts a level by more than a factor of three",
);
/// Wind known worse than this over most of the flight is not known.
pub const WORST_WIND_STD_U_MPS: Constant = constant(
    "wind known worse than this, per axis, is not known",
    1.5,
    "m/s",
    "engineering judgement: at 11 m/s it lets the heading err by 8°",
);
/// Headings within less than this do not tell airspeed from wind by themselves.
pub const NARROW_HEADINGS_RAD: Constant = constant(
    "headings within less than this tell airspeed from wind only by luck",
    std::f64::consts::PI,
    "rad",
    JUDGEMENT,
);
/// Airspeed known worse than this over most of such a flight is hardly more than what is believed of paramotors beforehand,
/// and the wind is as far off as it is.
pub const WORST_AIRSPEED_NARROW_STD_U_MPS: Constant = constant(
    "airspeed known worse than this leaves the wind of such a flight unknown",
    0.65,
    "m/s",
    "tuned on simulated flights straight into the wind: what is stated there is mostly the prior",
);
/// Slowest airspeed that is believed of a flight without a full turn.
pub const SLOWEST_BELIEVED_MPS: Constant = constant(
    "slower than this a flight without a full turn is not believed to be",
    7.5,
    "m/s",
    "engineering judgement: wings are flown at 9 to 16 m/s, and slower only on the brakes",
);
/// Fastest airspeed that is believed of one.
pub const FASTEST_BELIEVED_MPS: Constant = constant(
    "nor faster than this",
    18.0,
    "m/s",
    "engineering judgement: small wings with their trimmers open fly no faster",
);
/// Time within which a turn must be full to show the airspeed by itself.
pub const FULL_TURN_WITHIN_S: Constant =
    constant("a full turn within this shows the airspeed by itself", 180.0, "s", JUDGEMENT);
/// The same of any other flight.
pub const WORST_AIRSPEED_STD_U_MPS: Constant = constant(
    "airspeed known worse than this leaves the wind of any flight unknown",
    1.4,
    "m/s",
    "engineering judgement: the trim speeds of paramotors scatter by no more than 2 m/s",
);

// What is believed of sensors before the track is looked at.

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

/// The whole record, in the order of the method page.
pub const GROUPS: [Group; 10] = [
    Group {
        name: "method-nodes",
        title: "How a flight is taken",
        constants: &[
            GROUND_MARGIN_S,
            BIN_S,
            MOST_FREE_BINS,
            WIDEST_BIN_S,
            WINDOW_MARGIN_S,
            BREAK_S,
            CLIMB_HALF_SPAN_S,
            SAME_TIME_S,
            LONGEST_SPLIT_S,
            CLOCK_AVERAGED_NODES,
            SCALE_AVERAGED_STEPS,
        ],
    },
    Group {
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
    },
    Group {
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
    },
    Group {
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
            TYPICAL_TWIST_RAD,
            TYPICAL_COMPASS_WHITE_RAD,
            TYPICAL_COMPASS_SLOW_RAD,
            LEVEL_PRIOR_LN,
        ],
    },
    Group {
        name: "method-starts",
        title: "Where the estimate starts",
        constants: &[
            FASTEST_WIND_MPS,
            WIND_GRID_MPS,
            WIND_GROWTH_PER_M,
            TRIM_BLOCK_S,
            SCANNED_EVERY_S,
            SCANNED_SCATTER_MPS,
            AIRSPEED_SPREAD_MPS,
            HOPELESS_UNEVENNESS,
            SCANNED_STARTS,
            SCANNED_APART_MPS,
            SAME_START_MPS,
            SAME_PATH_RAD,
            LOST_LN_PER_NODE,
            START_HALF_SPAN_S,
        ],
    },
    Group {
        name: "method-passes",
        title: "How the passes go",
        constants: &[
            FEWEST_NODES,
            PASSES_PER_START,
            PASSES_BEFORE_LEVELS,
            MOST_PASSES,
            HEADING_SETTLED_RAD,
            LEVEL_SETTLED,
            HUBER_LIMIT,
            FARTHEST_TURN_RAD,
            LARGEST_FACTOR,
            SLOWEST_FLIGHT_MPS,
            FARTHEST_FALL_LN,
            FARTHEST_RISE_LN,
            LEAST_CURVATURE_SHARE,
            SOFTENED_BY,
            LEAST_TOLD,
            LEAST_LEVEL_FACTOR,
            MOST_LEVEL_FACTOR,
            SCALE_LENGTHENED,
        ],
    },
    Group {
        name: "method-twist",
        title: "The scan for the period of the twist",
        constants: &[
            SLOWEST_TWIST_RAD_S,
            FASTEST_TWIST_RAD_S,
            TWIST_STEP_RAD_S,
            FINE_TWIST_STEP_RAD_S,
            FIRST_TWIST_PERIOD_S,
        ],
    },
    Group {
        name: "method-smoothing",
        title: "What receivers do",
        constants: &[
            VELOCITY_ERROR_TAU_S,
            SMOOTHED_BELOW_M,
            SMOOTHED_NOISE_M,
            SHORTEST_SMOOTHING_S,
            LONGEST_SMOOTHING_S,
            SMOOTHING_STEP,
            SMOOTHING_EVIDENCE_LN,
        ],
    },
    Group {
        name: "method-trust",
        title: "How far it is trusted",
        constants: &[
            MOVED_LN,
            REAL_SHARE,
            LEAST_INFORMATION,
            FEWEST_DOF,
            WORST_WIND_STD_U_MPS,
            NARROW_HEADINGS_RAD,
            WORST_AIRSPEED_NARROW_STD_U_MPS,
            WORST_AIRSPEED_STD_U_MPS,
            SLOWEST_BELIEVED_MPS,
            FASTEST_BELIEVED_MPS,
            FULL_TURN_WITHIN_S,
        ],
    },
    Group {
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
    },
];

#[cfg(test)]
mod tests {
    use super::*;

    /// A constant that is written down and not listed would be missing on the method page.
    #[test]
    fn every_constant_is_listed_once() {
        let written = include_str!("constants.rs").matches(": Constant =").count() - 1;
        let mut listed: Vec<&str> = GROUPS.iter().flat_map(|g| g.constants).map(|c| c.what).collect();
        assert_eq!(listed.len(), written);
        listed.sort_unstable();
        listed.dedup();
        assert_eq!(listed.len(), written);
    }
}
