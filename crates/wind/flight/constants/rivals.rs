//! What is carried of a flight whose wind cannot be told.

use driftless_units::constant::{Constant, Group, JUDGEMENT, constant};

/// Middle of the mean airspeeds believed of such a flight.
pub const BELIEVED_AIRSPEED_MPS: Constant = constant(
    "mean airspeed believed of a flight that does not tell it",
    10.5,
    "m/s",
    "engineering judgement: between the slowest trainer and a wing with open trimmers",
);
/// How far about it.
pub const BELIEVED_AIRSPEED_STD_U_MPS: Constant = constant("about which flights scatter by", 2.0, "m/s", JUDGEMENT);
/// The belief is strained by a flight whose solutions lie farther from its middle on the whole.
pub const STRAINED_BEYOND: Constant = constant(
    "the belief is strained where the solutions lie off its middle, on the mean, by more than",
    1.5,
    "standard deviations",
    JUDGEMENT,
);
/// Wind believed of such a flight, per axis.
pub const BELIEVED_WIND_MPS: Constant = constant(
    "mean wind believed of it, per axis, about still air",
    5.0,
    "m/s",
    "engineering judgement: few take off in more than 7 m/s, and hardly anybody flies backwards for long",
);
/// Slowest airspeed that is tried.
pub const SLOWEST_TRIED_MPS: Constant =
    constant("slowest airspeed tried", 6.5, "m/s", "engineering judgement: slower is flown only on the brakes");
/// Fastest.
pub const FASTEST_TRIED_MPS: Constant =
    constant("fastest tried", 15.0, "m/s", "engineering judgement: small wings with their trimmers open");
/// Step between them, how closely the trim airspeed of each solution is held, and how near solutions are one.
pub const TRIED_STEP_MPS: Constant = constant(
    "step between them, standard deviation of the trim airspeed of each, and distance of winds below which two are one",
    0.85,
    "m/s",
    "engineering judgement: less than a tenth of the airspeed, and as much of the turn rate",
);
/// How closely the airspeed of each node is held. A flight of minutes is held to a part of a metre per second, and a power setting
/// of a minute may depart by metres per second.
pub const HELD_NODE_MPS: Constant = constant(
    "standard deviation with which each node is held there",
    10.0,
    "m/s",
    "engineering judgement: 0.4 m/s of the mean of ten minutes",
);
/// Share of the logarithm of the likelihood that is believed.
pub const BELIEVED_LIKELIHOOD_SHARE: Constant = constant(
    "share of the logarithm of a solution's likelihood that is believed",
    0.3,
    "",
    "tuned on simulated flights straight into the wind: all of it is surer of the airspeed than it is right",
);
/// Headings of the first starts, around the compass.
pub const TRIED_HEADINGS: Constant = constant("mean headings tried around the compass", 8.0, "headings", JUDGEMENT);
/// A solution that weighs less than the heaviest by more is given up.
pub const RULED_OUT_LN: Constant = constant(
    "a solution is ruled out that weighs less than the heaviest by, in the logarithm",
    6.0,
    "",
    "engineering judgement: by a factor of four hundred",
);

/// Their table on the method page.
pub(super) const GROUP: Group = Group {
    name: "method-rivals",
    title: "What is carried of a flight whose wind cannot be told",
    constants: &[
        BELIEVED_AIRSPEED_MPS,
        BELIEVED_AIRSPEED_STD_U_MPS,
        STRAINED_BEYOND,
        BELIEVED_WIND_MPS,
        SLOWEST_TRIED_MPS,
        FASTEST_TRIED_MPS,
        TRIED_STEP_MPS,
        HELD_NODE_MPS,
        BELIEVED_LIKELIHOOD_SHARE,
        TRIED_HEADINGS,
        RULED_OUT_LN,
    ],
};
