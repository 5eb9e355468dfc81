//! The scan for the period of the twist.

use driftless_units::constant::{Constant, Group, JUDGEMENT, constant};

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

/// Their table on the method page.
pub(super) const GROUP: Group = Group {
    name: "method-twist",
    title: "The scan for the period of the twist",
    constants: &[
        SLOWEST_TWIST_RAD_S,
        FASTEST_TWIST_RAD_S,
        TWIST_STEP_RAD_S,
        FINE_TWIST_STEP_RAD_S,
        FIRST_TWIST_PERIOD_S,
    ],
};
