//! How far it is trusted.

use driftless_units::constant::{Constant, Group, JUDGEMENT, constant};

/// Change of the logarithm of a variance over which the derivatives for degrees of freedom are taken.
pub const MOVED_LN: Constant =
    constant("change of the logarithm of a level's variance for its derivatives", 0.3, "", JUDGEMENT);
/// Fewest degrees of freedom claimed: below that a t interval says little but "hardly known".
pub const FEWEST_DOF: Constant = constant("fewest degrees of freedom claimed", 4.0, "", JUDGEMENT);
/// Share of the information about the levels that is real. The windows alone speak for the levels, while their errors come
/// from the whole flight.
pub const REAL_SHARE: Constant = constant(
    "share of the information about the levels that is believed",
    0.5,
    "",
    "tuned on simulated flights: the logarithm of the gust's variance scattered by 0.27 where the information promised 0.19",
);
/// Information on the logarithm of a level taken for granted, so that its inverse exists.
pub const LEAST_INFORMATION: Constant = constant(
    "information on the logarithm of a level's variance taken for granted",
    0.25,
    "",
    "engineering judgement: nobody doubts a level by more than a factor of three",
);
/// Wind known worse than this over most of the flight is not known.
pub const WORST_WIND_STD_U_MPS: Constant = constant(
    "wind known worse than this, per axis, is not known",
    1.5,
    "m/s",
    "engineering judgement: at 11 m/s it lets the heading err by 8°",
);
/// Headings within less than this do not tell airspeed from wind by themselves.
pub const NARROW_HEADINGS_RAD: Constant = constant(
    "headings within less than this tell airspeed from wind only by luck",
    std::f64::consts::PI,
    "rad",
    JUDGEMENT,
);
/// Airspeed known worse than this over most of such a flight is hardly more than what is believed of paramotors beforehand,
/// and the wind is as far off as it is.
pub const WORST_AIRSPEED_NARROW_STD_U_MPS: Constant = constant(
    "airspeed known worse than this leaves the wind of such a flight unknown",
    0.65,
    "m/s",
    "tuned on simulated flights straight into the wind: what is stated there is mostly the prior",
);
/// Slowest airspeed that is believed of a flight without a full turn.
pub const SLOWEST_BELIEVED_MPS: Constant = constant(
    "slower than this a flight without a full turn is not believed to be",
    7.5,
    "m/s",
    "engineering judgement: wings are flown at 9 to 16 m/s, and slower only on the brakes",
);
/// Fastest airspeed that is believed of one.
pub const FASTEST_BELIEVED_MPS: Constant = constant(
    "nor faster than this",
    18.0,
    "m/s",
    "engineering judgement: small wings with their trimmers open fly no faster",
);
/// Time within which a turn must be full to show the airspeed by itself.
pub const FULL_TURN_WITHIN_S: Constant =
    constant("a full turn within this shows the airspeed by itself", 180.0, "s", JUDGEMENT);
/// The same of any other flight.
pub const WORST_AIRSPEED_STD_U_MPS: Constant = constant(
    "airspeed known worse than this leaves the wind of any flight unknown",
    1.4,
    "m/s",
    "engineering judgement: the trim speeds of paramotors scatter by no more than 2 m/s",
);

/// Their table on the method page.
pub(super) const GROUP: Group = Group {
    name: "method-trust",
    title: "How far it is trusted",
    constants: &[
        MOVED_LN,
        REAL_SHARE,
        LEAST_INFORMATION,
        FEWEST_DOF,
        WORST_WIND_STD_U_MPS,
        NARROW_HEADINGS_RAD,
        WORST_AIRSPEED_NARROW_STD_U_MPS,
        WORST_AIRSPEED_STD_U_MPS,
        SLOWEST_BELIEVED_MPS,
        FASTEST_BELIEVED_MPS,
        FULL_TURN_WITHIN_S,
    ],
};
