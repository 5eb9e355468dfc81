//! Where the estimate starts.

use driftless_units::constant::{Constant, Group, JUDGEMENT, constant};

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

/// Their table on the method page.
pub(super) const GROUP: Group = Group {
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
};
