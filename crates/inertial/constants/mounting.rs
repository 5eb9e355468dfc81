//! How a sensor is mounted.

use driftless_units::constant::{Constant, Group, JUDGEMENT, constant};

/// Means are taken over this long, which averages swings.
pub const MOUNTING_MEAN_S: Constant = constant("means of specific force and rates", 3.0, "s", "a typical swing");
/// Fewest means that tell down.
pub const FEWEST_DOWN_MEANS: Constant = constant("fewest means that tell down", 10.0, "means", JUDGEMENT);
/// Means that point farther than this from the common axis, typically: the sensor does not sit still.
pub const LOOSE_DEG: Constant =
    constant("means typically farther from down than this: a sensor that does not sit firmly", 25.0, "°", JUDGEMENT);
/// A change of the axis between the parts of the flight that says the sensor was moved.
pub const MOVED_DEG: Constant =
    constant("a change of down between thirds of the flight that says it was moved", 15.0, "°", JUDGEMENT);
/// Fewest means that tell forward.
pub const FEWEST_FORWARD_MEANS: Constant = constant("fewest means that tell forward", 20.0, "means", JUDGEMENT);
/// Below this correlation forward is left open.
pub const FORWARD_LEAST_CORRELATION: Constant =
    constant("correlation below which forward stays open", 0.3, "", JUDGEMENT);

/// Their table on the method page.
pub(super) const GROUP: Group = Group {
    name: "method-mounting",
    title: "How a sensor is mounted",
    constants: &[
        MOUNTING_MEAN_S,
        FEWEST_DOWN_MEANS,
        LOOSE_DEG,
        MOVED_DEG,
        FEWEST_FORWARD_MEANS,
        FORWARD_LEAST_CORRELATION,
    ],
};
