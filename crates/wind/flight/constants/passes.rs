//! How the passes go.

use super::SEARCH;
use driftless_units::constant::{Constant, Group, JUDGEMENT, constant};

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
    100.0,
    "passes",
    "tuned on simulated flights: more than the slowest of hundreds of estimates took; some thermal flights take that many",
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
    constant("and no level by more than a share of", 0.03, "", "tuned on simulated flights, with the one before");
/// Beyond this many standard deviations a measurement counts less.
pub const HUBER_LIMIT: Constant = constant(
    "Huber's limit, beyond which a measurement counts less",
    2.5,
    "standard deviations",
    "99 % of the efficiency on Gaussian errors: Huber & Ronchetti, Robust Statistics (2009), chapter 4, from memory",
);
/// Farthest that a heading may move in one pass.
pub const FARTHEST_TURN_RAD: Constant = constant("a heading moves in a pass by at most", 1.0, "rad", JUDGEMENT);
/// Headings that want to move by more than this, and back in the next pass, swing.
pub const SWING_RAD: Constant = constant("headings swing that go to and fro by more than", 0.05, "rad", JUDGEMENT);
/// Least share of a move that is made while headings swing.
pub const LEAST_SHARE: Constant =
    constant("share of its move that a pass makes while they swing, at the least", 0.1, "", SEARCH);
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
    constant("the logarithm of a level's variance falls in a pass by at most", 1.5, "", SEARCH);
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
/// The most that they are lengthened by where two passes tell how far it is.
pub const MOST_LENGTHENED: Constant =
    constant("and by no more than this where two passes tell how far it is", 4.0, "", SEARCH);
/// Change of the logarithm of such a scale in a pass that counts as settled.
pub const SCALE_SETTLED_LN: Constant = constant(
    "and the logarithm of no scale of the airspeed's disturbances by more than",
    0.2,
    "",
    "tuned on simulated flights, with those before",
);
/// Enough for a first look at a flight, on which windows are found.
pub const ROUGHLY_SETTLED: Constant = constant(
    "settled roughly, for a first look without windows, where nothing moves by more than so many times those limits",
    10.0,
    "",
    "tuned on simulated flights: the same windows are found",
);
/// An estimate with windows begins at a level of positions of at least this factor of the typical one.
pub const LEAST_START_FACTOR: Constant = constant(
    "a search that goes on from an earlier one begins its positions at this factor of the typical level, or above",
    0.2,
    "",
    SEARCH,
);
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

/// Their table on the method page.
pub(super) const GROUP: Group = Group {
    name: "method-passes",
    title: "How the passes go",
    constants: &[
        FEWEST_NODES,
        PASSES_PER_START,
        PASSES_BEFORE_LEVELS,
        MOST_PASSES,
        HEADING_SETTLED_RAD,
        LEVEL_SETTLED,
        SCALE_SETTLED_LN,
        ROUGHLY_SETTLED,
        HUBER_LIMIT,
        FARTHEST_TURN_RAD,
        SWING_RAD,
        LEAST_SHARE,
        LARGEST_FACTOR,
        SLOWEST_FLIGHT_MPS,
        FARTHEST_FALL_LN,
        FARTHEST_RISE_LN,
        LEAST_CURVATURE_SHARE,
        SOFTENED_BY,
        LEAST_TOLD,
        LEAST_START_FACTOR,
        LEAST_LEVEL_FACTOR,
        MOST_LEVEL_FACTOR,
        SCALE_LENGTHENED,
        MOST_LENGTHENED,
    ],
};
