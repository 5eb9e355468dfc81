//! How a flight is taken.

use driftless_units::constant::{Constant, Group, JUDGEMENT, constant};

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

/// Their table on the method page.
pub(super) const GROUP: Group = Group {
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
};
