//! Clock, bias and scale against the flight.

use driftless_units::constant::{Constant, Group, JUDGEMENT, TRADE, constant};

/// Swings have about this period, until it is measured.
pub const USUAL_SWING_S: Constant = constant("period of a swing before it is measured", 3.0, "s", TRADE);
/// Search range about a known offset.
pub const NEAR_CLOCK_S: Constant = constant(
    "search about a known clock, either side",
    120.0,
    "s",
    "engineering judgement: phones are right to a few seconds, loggers set by hand to a minute",
);
/// Grid step of the turn rates that are slid along each other.
pub const GRID_S: Constant = constant("grid of the turn rates that are slid along each other", 0.25, "s", JUDGEMENT);
/// The gyro's rates are means over this long, which evens out most of a swing and is as smooth as the estimate.
pub const GRID_MEAN_S: Constant = constant(
    "the gyro's rates are averaged over, for that",
    3.0,
    "s",
    "a typical swing, and about as smooth as the estimate",
);
/// Least time that both must share, or a third of the shorter.
pub const LEAST_SHARED_S: Constant =
    constant("least time that both share, or a third of the shorter", 60.0, "s", JUDGEMENT);
/// Lags this near belong to the same peak.
pub const SAME_PEAK_S: Constant = constant(
    "lags so near belong to the same peak",
    8.0,
    "s",
    "engineering judgement: two swings, or the flank of a turn",
);
/// Correlation below which a lag says nothing.
pub const LEAST_CORRELATION: Constant = constant("correlation below which an offset says nothing", 0.5, "", JUDGEMENT);
/// Score of a rival lag that makes the peak ambiguous.
pub const RIVAL_SHARE: Constant =
    constant("score of another offset over the best that makes it ambiguous", 0.85, "", JUDGEMENT);
/// An offset less sure than this is unknown.
pub const OFFSET_MOST_STD_U_S: Constant = constant("an offset less sure is unknown", 0.5, "s", JUDGEMENT);
/// Least turning that a lag is told from: root-mean-square of the flight's turn rate.
pub const LEAST_TURNING_RAD_S: Constant =
    constant("least turning of a flight, rms", 0.0175, "rad/s", "engineering judgement: 1 °/s");
/// The same over its own uncertainty.
pub const LEAST_TURNING_SIGMAS: Constant = constant("the same over its own uncertainty", 2.0, "", JUDGEMENT);
/// A gyro that turns 57.3 times too much or too little, within this factor, is in the wrong unit.
pub const UNIT_WITHIN: Constant =
    constant("57.3 times too fast or too slow is a wrong unit within a factor of", 1.4, "", JUDGEMENT);
/// A gyro that turns less than this times as much as the flight is not the gyro of that flight, or a broken one.
pub const LEAST_FACTOR: Constant = constant(
    "a gyro turns at least so many times as the flight",
    0.7,
    "",
    "engineering judgement: no calibration is so far off",
);
/// The same the other way.
pub const MOST_FACTOR: Constant = constant("and at most", 1.4, "", "as the one before");
/// Length over which headings are compared.
pub const CHANGE_S: Constant =
    constant("heading changes are compared over", 6.0, "s", "engineering judgement: two swings");
/// Fewest heading changes.
pub const FEWEST_CHANGES: Constant = constant("fewest heading changes", 30.0, "", JUDGEMENT);
/// Length of the blocks that are left out in turn: longer than errors go together.
pub const BLOCK_S: Constant =
    constant("blocks that are left out in turn", 40.0, "s", "engineering judgement: longer than errors go together");
/// Steps of Gauss-Newton at most.
pub const ALIGN_MOST_STEPS: Constant = constant("steps of Gauss-Newton at the most", 20.0, "steps", JUDGEMENT);
/// Drift prior.
pub const CLOCK_DRIFT: Constant =
    constant("drift of a clock (prior)", 50e-6, "", "common practice, no source: 50 parts in a million");
/// Scale prior.
pub const SCALE: Constant = constant("scale of a gyro (prior)", 0.02, "", TRADE);
/// Bias before anything is known.
pub const BIAS_OPEN_RAD_S: Constant =
    constant("bias of a gyro (prior)", 0.05, "rad/s", "common practice, no source: 3 °/s");
/// Bias left after a period at rest: warming up.
pub const BIAS_AFTER_STILL_RAD_S: Constant = constant(
    "bias left after a period at rest (prior)",
    0.005,
    "rad/s",
    "common practice, no source: 0.3 °/s, warming up",
);
/// How far the mean specific force may lie from across the direction of flight: thrust against drag and the lean of the pilot
/// differ between power settings, and an accelerometer has its bias.
pub const LEVEL_RAD: Constant = constant(
    "level as a sensor has it may be off by",
    0.026,
    "rad",
    "common practice, no source: 1.5°; thrust, drag and lean differ between power settings",
);
/// Nodes farther apart than this are not joined by a straight line.
pub const JOINED_S: Constant = constant("nodes farther apart are not joined", 5.0, "s", JUDGEMENT);
/// Air velocity below which its direction says nothing.
pub const SLOWEST_AIR_MPS: Constant = constant("slower through the air than this has no direction", 3.0, "m/s", TRADE);
/// How far a single wind for the flight may be off.
pub const ROUGH_WIND_MPS: Constant =
    constant("a single wind for a flight without an estimate may be off by, per axis", 3.0, "m/s", JUDGEMENT);
/// Half the span over which the rate of such a direction is taken.
pub const DIRECTION_HALF_S: Constant =
    constant("the rate of such a direction is taken over, either side", 1.0, "s", JUDGEMENT);

/// Their table on the method page.
pub(super) const GROUP: Group = Group {
    name: "method-clock",
    title: "Clock, bias and scale against the flight",
    constants: &[
        USUAL_SWING_S,
        NEAR_CLOCK_S,
        GRID_S,
        GRID_MEAN_S,
        LEAST_SHARED_S,
        SAME_PEAK_S,
        LEAST_CORRELATION,
        RIVAL_SHARE,
        OFFSET_MOST_STD_U_S,
        LEAST_TURNING_RAD_S,
        LEAST_TURNING_SIGMAS,
        UNIT_WITHIN,
        LEAST_FACTOR,
        MOST_FACTOR,
        CHANGE_S,
        FEWEST_CHANGES,
        BLOCK_S,
        ALIGN_MOST_STEPS,
        CLOCK_DRIFT,
        SCALE,
        BIAS_OPEN_RAD_S,
        BIAS_AFTER_STILL_RAD_S,
        LEVEL_RAD,
        JOINED_S,
        SLOWEST_AIR_MPS,
        ROUGH_WIND_MPS,
        DIRECTION_HALF_S,
    ],
};
