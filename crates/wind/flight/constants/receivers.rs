//! What receivers do.

use driftless_units::constant::{Constant, Group, JUDGEMENT, constant};

/// Correlation time of the error of a recorded velocity. Longer than what receivers do: how long is not known of a log, and a
/// velocity comes of the same filter as the positions beside it.
pub const VELOCITY_ERROR_TAU_S: Constant = constant(
    "time that the error of a recorded velocity lasts, at the most",
    10.0,
    "s",
    "tuned on simulated flights: with the three seconds of a typical receiver intervals held 93 %",
);
/// A receiver whose fixes scatter less than this about the flight may smooth them: then it is looked for.
pub const SMOOTHED_BELOW_M: Constant =
    constant("scatter of single fixes below which smoothing is looked for", 0.06, "m", JUDGEMENT);
/// A receiver that smooths has at least this much white error, per axis of a node, to smooth.
pub const SMOOTHED_NOISE_M: Constant =
    constant("least white error, per axis, under a smoothing that is believed", 0.05, "m", JUDGEMENT);
/// Shortest smoothing that is looked for.
pub const SHORTEST_SMOOTHING_S: Constant = constant(
    "shortest smoothing by a receiver that is looked for",
    0.6,
    "s",
    "engineering judgement: less moves nothing",
);
/// Longest smoothing that is looked for.
pub const LONGEST_SMOOTHING_S: Constant = constant("longest smoothing that is looked for", 7.0, "s", JUDGEMENT);
/// Step between those tried.
pub const SMOOTHING_STEP: Constant = constant("factor between the smoothing times tried", 1.6, "", JUDGEMENT);
/// Of a flight that is longer, this long a part is searched for smoothing.
pub const SMOOTHING_PART_S: Constant = constant(
    "part of a longer flight on which smoothing is looked for",
    1800.0,
    "s",
    "engineering judgement: as long as a short flight, on which it is found",
);
/// How much more likely a flight must be with smoothing undone.
pub const SMOOTHING_EVIDENCE_LN: Constant = constant(
    "logarithm of the likelihood that smoothing must gain to be believed",
    5.0,
    "",
    "engineering judgement: no flight of a plain receiver comes near it by chance",
);

/// Their table on the method page.
pub(super) const GROUP: Group = Group {
    name: "method-smoothing",
    title: "What receivers do",
    constants: &[
        VELOCITY_ERROR_TAU_S,
        SMOOTHED_BELOW_M,
        SMOOTHED_NOISE_M,
        SHORTEST_SMOOTHING_S,
        LONGEST_SMOOTHING_S,
        SMOOTHING_STEP,
        SMOOTHING_PART_S,
        SMOOTHING_EVIDENCE_LN,
    ],
};
