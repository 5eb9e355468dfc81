//! Rest and sensor health.

use driftless_units::constant::{Constant, Group, JUDGEMENT, constant};

/// Blocks into which the log is cut to find rest.
pub const REST_BLOCK_S: Constant = constant("blocks that are at rest or not", 1.0, "s", JUDGEMENT);
/// Fewest samples of a block.
pub const FEWEST_REST_SAMPLES: Constant = constant("fewest samples of a block", 5.0, "samples", JUDGEMENT);
/// A block is still when its rates spread less than this about their mean, ...
pub const STILL_RAD_S: Constant = constant(
    "at rest: spread of the rates",
    0.005_2,
    "rad/s",
    "common practice, no source: 0.3 °/s; a phone on a table shows 0.05 to 0.2 °/s, a hand some °/s",
);
/// ... its mean is within this of nothing, ...
pub const BIAS_MOST_RAD_S: Constant = constant(
    "at rest: mean of the rates",
    0.09,
    "rad/s",
    "engineering judgement: biases of such sensors stay below 5 °/s",
);
/// ... and its specific force does not move more than this.
pub const STILL_MPS2: Constant = constant("at rest: spread of the specific force", 0.15, "m/s²", JUDGEMENT);
/// Shortest period that counts.
pub const LEAST_REST_S: Constant = constant("shortest period at rest", 5.0, "s", JUDGEMENT);
/// Shortest period at rest from which noise is read.
pub const NOISE_REST_S: Constant = constant("shortest period at rest from which noise is read", 10.0, "s", JUDGEMENT);
/// Points in a factor of ten of averaging time.
pub const ALLAN_POINTS_PER_DECADE: Constant =
    constant("points of the Allan curve in a factor of ten", 8.0, "points", JUDGEMENT);
/// Groups that must fit into the data: fewer and a point is chance.
pub const ALLAN_FEWEST_GROUPS: Constant = constant(
    "groups that fit into the data at the least",
    9.0,
    "groups",
    "engineering judgement: fewer and a point is chance",
);
/// White noise falls with slope -1/2 in the logarithms; taken as such within this.
pub const SLOPE_TOLERANCE: Constant = constant("slope of white noise, about -1/2", 0.15, "", JUDGEMENT);
/// Longest averaging time from which white noise is read off; beyond, slow errors mix in.
pub const WHITE_MOST_S: Constant = constant(
    "longest averaging time at which white noise is read",
    10.0,
    "s",
    "engineering judgement: beyond, slow errors mix in",
);
/// A minimum must be this far below the end of the curve, in standard errors of its end, to be one.
pub const RISE_SIGMAS: Constant =
    constant("a minimum lies below the end of the curve by", 1.0, "standard errors", JUDGEMENT);
/// A gyro is quiet when its noise over a minute is below this share of the uncertainty by GPS alone.
pub const QUIET_BESIDE_GPS: Constant =
    constant("quiet: noise over a minute, over the uncertainty by GPS", 0.5, "", JUDGEMENT);
/// Time at either end over which the temperature is read.
pub const TEMPERATURE_END_S: Constant = constant("the temperature of start and end is read over", 30.0, "s", JUDGEMENT);
/// Pieces into which periods at rest are cut to see a bias move with temperature.
pub const TEMPERATURE_PIECE_S: Constant = constant("pieces of rest in which a bias is read", 10.0, "s", JUDGEMENT);
/// They are longer where there would be more than this many.
pub const MOST_TEMPERATURE_PIECES: Constant =
    constant("such pieces at the most", 200.0, "pieces", "what a computer has time for");
/// Fewest of them.
pub const FEWEST_TEMPERATURE_PIECES: Constant = constant("such pieces at the least", 4.0, "pieces", JUDGEMENT);
/// Least difference of temperature at rest from which a slope is told.
pub const LEAST_WARMING_K: Constant =
    constant("least difference of temperature that tells a slope", 1.0, "K", JUDGEMENT);
/// A slope is clear from this many standard uncertainties on.
pub const CLEAR_SLOPE_SIGMAS: Constant = constant(
    "a slope is clear from",
    3.0,
    "standard uncertainties",
    "of three axes one in a hundred gets there without a slope",
);

/// Their table on the method page.
pub(super) const GROUP: Group = Group {
    name: "method-rest",
    title: "Rest and sensor health",
    constants: &[
        REST_BLOCK_S,
        FEWEST_REST_SAMPLES,
        STILL_RAD_S,
        BIAS_MOST_RAD_S,
        STILL_MPS2,
        LEAST_REST_S,
        NOISE_REST_S,
        ALLAN_POINTS_PER_DECADE,
        ALLAN_FEWEST_GROUPS,
        SLOPE_TOLERANCE,
        WHITE_MOST_S,
        RISE_SIGMAS,
        QUIET_BESIDE_GPS,
        TEMPERATURE_END_S,
        TEMPERATURE_PIECE_S,
        MOST_TEMPERATURE_PIECES,
        FEWEST_TEMPERATURE_PIECES,
        LEAST_WARMING_K,
        CLEAR_SLOPE_SIGMAS,
    ],
};
