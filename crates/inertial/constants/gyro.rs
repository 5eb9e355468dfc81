//! The gyro as a measurement.

use driftless_units::constant::{Constant, Group, constant};

/// Random walk of the bias of a small sensor.
pub const BIAS_WALK: Constant =
    constant("random walk of the bias", 3.5e-5, "rad/s per √s", "common practice, no source: 0.1 °/s in 40 minutes");
/// Angle random walk where none could be read off.
pub const WALK_OPEN: Constant = constant(
    "angle random walk where none could be read off",
    5e-4,
    "rad per √s",
    "common practice, no source: worse than data sheets of such sensors",
);
/// Share of the twist that the filter may leave, since swings are not of one period only.
pub const LEFT_SHARE: Constant = constant(
    "share of the twist that the filter leaves",
    0.68,
    "",
    "tuned on simulated flights: swings are not of one period only",
);
/// Least uncertainty of a heading: so much the attitude leaves without any twist.
pub const LEAST_HEADING_RAD: Constant =
    constant("least uncertainty of a heading", 0.004_4, "rad", "tuned on simulated flights: 0.25° without any twist");
/// The heading is averaged over so long before its twist is read.
pub const TWIST_MEAN_S: Constant = constant(
    "the heading is averaged over, before its twist is read",
    0.2,
    "s",
    "engineering judgement: long against an engine, short against a swing",
);

/// Their table on the method page.
pub(super) const GROUP: Group = Group {
    name: "method-gyro",
    title: "The gyro as a measurement",
    constants: &[BIAS_WALK, WALK_OPEN, LEFT_SHARE, LEAST_HEADING_RAD, TWIST_MEAN_S],
};
