//! Attitude.

use driftless_units::constant::{Constant, Group, JUDGEMENT, constant};

/// Grid step of the attitude.
pub const ATTITUDE_STEP_S: Constant =
    constant("grid step", 0.05, "s", "engineering judgement: the engine is averaged out, the swing is followed");
/// Time constant of the tilt feedback: some swing periods, so that swings do not tilt the level, and short against the drift
/// of such gyros.
pub const TILT_TAU_S: Constant = constant(
    "time constant of the tilt feedback",
    10.0,
    "s",
    "engineering judgement: some swings of 2 to 4 s, and short against a drift of 0.1 °/s",
);
/// Gain of the bias feedback over the square of the tilt gain.
pub const BIAS_SHARE: Constant =
    constant("gain of the bias feedback over the square of the tilt gain", 0.25, "", "a damping of 1 (double root)");
/// Specific force below this share of gravity is left out: landing bumps and aerobatics say nothing about level.
pub const LEAST_FELT: Constant = constant(
    "least specific force that speaks of level, over gravity",
    0.6,
    "",
    "engineering judgement: landing bumps and aerobatics say nothing about it",
);
/// The same above this share.
pub const MOST_FELT: Constant =
    constant("most specific force that speaks of level, over gravity", 1.6, "", "as the one before");
/// Specific force and rates are averaged over about so long before they speak of level: the direction of a force that an
/// engine shakes is not on average that of the force, and the shaking of two axes goes together.
pub const SHAKEN_TAU_S: Constant = constant(
    "specific force and rates are averaged over, before they speak of level",
    0.3,
    "s",
    "engineering judgement: long against an engine, short against a swing",
);
/// Specific force over so many seconds sets the first level of a run.
pub const LEVELLING_S: Constant = constant("time that sets the first level of a run", 3.0, "s", "a typical swing");
/// Stamps of an even sampling are averaged over so long on either side.
pub const STAMPS_HALF_S: Constant =
    constant("stamps of an even sampling are averaged over, either side", 0.5, "s", JUDGEMENT);
/// Cosine of the tilt below which a heading is no direction of flight.
pub const STEEP_COS: Constant =
    constant("cosine of the tilt below which a heading is none", 0.5, "", "60°: aerobatics");
/// How often the tilt is looked at for that.
pub const STEEP_LOOK_S: Constant = constant("the tilt is looked at every", 0.5, "s", JUDGEMENT);
/// Residuals in units of the spread beyond which a weight falls.
pub const HUBER_LIMIT: Constant = constant(
    "Huber's limit of the robust fits here",
    2.5,
    "standard deviations",
    "99 % of the efficiency on Gaussian errors, as in the whole-flight estimate",
);

/// Their table on the method page.
pub(super) const GROUP: Group = Group {
    name: "method-attitude",
    title: "Attitude",
    constants: &[
        ATTITUDE_STEP_S,
        TILT_TAU_S,
        BIAS_SHARE,
        LEAST_FELT,
        MOST_FELT,
        SHAKEN_TAU_S,
        LEVELLING_S,
        STAMPS_HALF_S,
        STEEP_COS,
        STEEP_LOOK_S,
        HUBER_LIMIT,
    ],
};
