//! The constants of finding, trimming, naming and judging windows: one record, from which docs/method.md has its tables.
//!
//! Those that can be set are the defaults of [`crate::Limits`], where each is explained. What was tuned was tuned on the
//! simulator, on its tuning seeds only.

use driftless_units::constant::{Constant, Group, JUDGEMENT, TRADE, constant};

const TRIED: &str = "engineering judgement, tried on simulated flights";

// How much a channel wanders while nothing changes.

/// Blocks whose means are compared to see how much a channel wanders while nothing changes.
pub const WANDER_BLOCK_S: Constant = constant(
    "blocks whose means are compared",
    10.0,
    "s",
    "engineering judgement: longer than turbulence hangs together (3 s in yaw, 8 s in gusts), shorter than windows",
);
/// The share of differences between blocks that is looked at first.
pub const QUIET_DIFFERENCES: Constant = constant(
    "share of their differences that gives a first value: the smallest",
    0.3,
    "",
    "engineering judgement: seven differences in ten may be turns and changes of power",
);
/// The size below which that share of normal values lies.
pub const NORMAL_QUIET_DIFFERENCES: Constant = constant(
    "size below which that share of normal values lies",
    0.385_320_466_407_567,
    "standard deviations",
    "normal distribution: Φ⁻¹(1/2 + 0.3/2)",
);
/// Differences beyond this are changes.
pub const CLIPPED_AT: Constant = constant("differences beyond this are changes", 2.0, "standard deviations", JUDGEMENT);
/// Variance of normal values clipped there.
pub const NORMAL_CLIPPED_VARIANCE: Constant = constant(
    "variance of normal values clipped there",
    0.773_741_303_5,
    "",
    "normal distribution: 1 - 2·2·φ(2)/(2Φ(2) - 1)",
);
/// Rounds of clipping at the most.
pub const MOST_CLIPPING_ROUNDS: Constant = constant("rounds of clipping at the most", 10.0, "", JUDGEMENT);
/// Fewest differences that tell a spread.
pub const FEWEST_DIFFERENCES: Constant = constant("fewest differences that tell a spread", 8.0, "", JUDGEMENT);
/// Long-run variance below which a turn rate that is quieter does not count as quieter.
pub const TURN_WANDER_FLOOR: Constant = constant(
    "a turn rate wanders no less (long-run variance)",
    0.3,
    "(°/s)²",
    "what a log of one fix a second without turbulence leaves in the estimate",
);
/// The same of the airspeed.
pub const AIRSPEED_WANDER_FLOOR: Constant =
    constant("an airspeed wanders no less (long-run variance)", 0.1, "(m/s)²", "as for the turn rate");
/// The same of the climb.
pub const CLIMB_WANDER_FLOOR: Constant =
    constant("a climb wanders no less (long-run variance)", 0.05, "(m/s)²", "as for the turn rate");
/// Yaw jitter below which a quieter flight does not count as quieter.
pub const JITTER_FLOOR_DEG_S: Constant = constant("yaw jitter of a quiet flight is no less", 0.3, "°/s", JUDGEMENT);
/// The length over which yaw jitter is measured.
pub const JITTER_SPAN_S: Constant = constant(
    "yaw jitter is measured over",
    20.0,
    "s",
    "engineering judgement: several swings of the pilot, 3 to 4 s each",
);
/// The share of the flight that is taken as its quiet part.
pub const QUIET_SHARE: Constant = constant("share of a flight that is its quiet part", 0.2, "", JUDGEMENT);

// Candidates.

/// Steps missing in a row that end a run.
pub const BREAK_STEPS: Constant = constant("steps missing in a row that end a run", 5.0, "steps", JUDGEMENT);
/// Shortest piece between two change points.
pub const MIN_PIECE_S: Constant = constant(
    "shortest piece between change points",
    4.0,
    "s",
    "engineering judgement: rolling into or out of a turn takes as long",
);
/// Longest piece; longer steady spans are joined from several.
pub const MAX_PIECE_S: Constant = constant("longest piece; longer ones are joined", 240.0, "s", JUDGEMENT);
/// Means that differ by less than this many of their standard uncertainties do not differ.
pub const SAME_MEAN_SIGMAS: Constant =
    constant("means that differ by less do not differ", 2.0, "standard uncertainties", JUDGEMENT);
/// Neighbouring pieces whose mean turn rates differ by less are one.
pub const MERGE_TURN_DEG_S: Constant = constant("neighbours are joined below, turn rate", 1.0, "°/s", TRIED);
/// Neighbouring pieces whose mean airspeeds differ by less are one.
pub const MERGE_AIRSPEED_MPS: Constant = constant("neighbours are joined below, airspeed", 0.8, "m/s", TRIED);
/// Neighbouring pieces whose mean climbs differ by less are one.
pub const MERGE_CLIMB_MPS: Constant = constant("neighbours are joined below, climb", 0.6, "m/s", TRIED);
/// Shortest candidate from end to end.
pub const MIN_CANDIDATE_S: Constant = constant("shortest candidate", 30.0, "s", TRIED);
/// Largest mean turn rate of a window nobody marked.
pub const MAX_CANDIDATE_RATE_DEG_S: Constant = constant(
    "fastest turn of a candidate",
    7.5,
    "°/s",
    "the trade reports a full turn in a minute hands off at the most (6 °/s); a quarter more",
);
/// A candidate's yaw jitter may be this many times the flight's quiet level.
pub const MAX_JITTER_RATIO: Constant =
    constant("yaw jitter of a candidate over that of the quiet flight, at the most", 3.0, "", TRIED);
/// Slowest airspeed of a candidate.
pub const MIN_CANDIDATE_AIRSPEED_MPS: Constant = constant(
    "slowest airspeed of a candidate",
    5.0,
    "m/s",
    "engineering judgement: slower is ground handling or a stall",
);
/// Cut at both ends of a candidate.
pub const CANDIDATE_MARGIN_S: Constant = constant(
    "a candidate loses at either end at least",
    2.0,
    "s",
    "the estimate smooths over about this time, so that a change shows as much early and late",
);

// Let-go and take-over.

/// Two marks of one kind within this time are one press of a button, or one event written twice.
pub const SAME_PRESS_S: Constant = constant("two marks of one kind within this are one", 2.0, "s", JUDGEMENT);
/// Marks given in seconds beyond this count from somewhere else, or are a slip.
pub const FARTHEST_MARK_S: Constant = constant(
    "a mark in seconds from the first fix lies within",
    30.0 * 86_400.0,
    "s",
    "engineering judgement: logs last hours; more counts from 1970",
);
/// How much of a window is looked at for its transient.
pub const TRANSIENT_LOOK_S: Constant =
    constant("time after let-go that is looked at for the transient", 30.0, "s", JUDGEMENT);
/// Fastest time constant tried.
pub const FASTEST_TRANSIENT_S: Constant = constant(
    "shortest time constant tried",
    0.75,
    "s",
    "a faster one cannot be told from the smoothing of the estimate",
);
/// Slowest time constant tried.
pub const SLOWEST_TRANSIENT_S: Constant =
    constant("longest time constant tried", 6.0, "s", "a slower one cannot be told from a drift of the turn rate");
/// Step between those tried.
pub const TRANSIENT_STEP_S: Constant = constant("step between time constants", 0.25, "s", JUDGEMENT);
/// Fewest samples that show a transient.
pub const FEWEST_TRANSIENT_SAMPLES: Constant = constant("fewest samples that show one", 12.0, "samples", JUDGEMENT);
/// Samples farther apart show no transient.
pub const WIDEST_TRANSIENT_STEP_S: Constant = constant("samples farther apart show none", 1.5, "s", JUDGEMENT);
/// How many times Schwarz' price for its two parameters a decay must gain.
pub const TRANSIENT_PRICE: Constant =
    constant("a decay must gain Schwarz' price of its two parameters so many times", 2.0, "", JUDGEMENT);
/// Time constant of the turn rate after let-go where the log does not show it.
pub const DEFAULT_TIME_CONSTANT_S: Constant = constant("time constant where none shows", 2.5, "s", TRADE);
/// How many time constants are cut after let-go.
pub const TIME_CONSTANTS: Constant =
    constant("time constants cut after let-go", 3.0, "", "three leave 5 % of the transient");
/// Cut before take-over.
pub const TAKE_OVER_MARGIN_S: Constant = constant(
    "time cut before take-over",
    1.0,
    "s",
    "engineering judgement: the hand reaches the brake before the mark is made",
);

// The verdict.

/// Shortest span for which a steady turn rate means anything to the whole-flight estimate.
pub const SHORTEST_STEADY_S: Constant =
    constant("shortest span that the estimate is told of as steady", 5.0, "s", JUDGEMENT);
/// Shortest steady span that is measured.
pub const MIN_LENGTH_S: Constant = constant(
    "shortest steady span that is measured",
    20.0,
    "s",
    "engineering judgement: headings known to 1° at both ends then give 0.07 °/s",
);
/// Longest time without a fix inside the steady span.
pub const MAX_GAP_S: Constant = constant("longest time without a fix", 5.0, "s", TRIED);
/// The same in logging intervals, where that is more.
pub const MAX_GAP_INTERVALS: Constant =
    constant("the same in logging intervals, where that is more", 3.0, "intervals", JUDGEMENT);
/// Farthest distance from the first place of the steady span over its length: less is standing.
pub const MIN_GROUND_SPEED_MPS: Constant = constant(
    "farthest from the first place over the length: less is standing",
    0.5,
    "m/s",
    "engineering judgement: a receiver that lies still wanders by metres in a minute; a wing that hangs in the wind is carried about by its gusts",
);
/// Change of the turn rate from end to end that is still called steady.
pub const MAX_TURN_DRIFT_DEG_S: Constant = constant("change of a steady turn rate, end to end", 1.5, "°/s", TRIED);
/// Length of the pieces of a candidate whose turn rates are compared.
pub const PIECE_S: Constant = constant("pieces of a candidate that are compared", 20.0, "s", JUDGEMENT);
/// Departure of such a piece from the mean that is still called steady.
pub const MAX_PIECE_DEPARTURE_DEG_S: Constant = constant("departure of such a piece from the mean", 0.8, "°/s", TRIED);
/// Change of airspeed from end to end that is still called steady.
pub const MAX_AIRSPEED_DRIFT_MPS: Constant = constant("change of a steady airspeed, end to end", 1.5, "m/s", TRIED);
/// Scatter of the airspeed about its trend that is still called steady.
pub const MAX_AIRSPEED_SCATTER_MPS: Constant =
    constant("scatter of a steady airspeed about its trend", 1.2, "m/s", TRIED);
/// Change of climb from end to end that is still called steady.
pub const MAX_CLIMB_DRIFT_MPS: Constant = constant("change of a steady climb, end to end", 1.2, "m/s", TRIED);
/// Scatter of the climb about its trend that is still called steady.
pub const MAX_CLIMB_SCATTER_MPS: Constant = constant("scatter of a steady climb about its trend", 1.0, "m/s", TRIED);
/// A drift counts only when it is this many times its own standard uncertainty.
pub const DRIFT_SIGNIFICANCE: Constant =
    constant("a change counts from so many of its standard uncertainties on", 3.0, "", TRIED);
/// Time over which a turn away from the mean must last to be put down to the pilot.
pub const EXCURSION_S: Constant = constant("a turn of the pilot lasts at least", 3.0, "s", JUDGEMENT);
/// Largest turn rate held so long, away from the mean, that turbulence alone explains.
pub const MAX_TURN_EXCURSION_DEG_S: Constant =
    constant("departure of the turn rate held so long that turbulence explains", 6.0, "°/s", TRIED);
/// Largest standard uncertainty of the wind per axis.
pub const MAX_WIND_STD_U_MPS: Constant = constant(
    "standard uncertainty of the wind, per axis",
    1.0,
    "m/s",
    "engineering judgement: at 10 m/s it turns the heading by up to 6°",
);
/// Largest standard uncertainty of the turn rate that is still a result.
pub const MAX_RATE_STD_U_DEG_S: Constant = constant("standard uncertainty of the turn rate", 0.5, "°/s", TRIED);
/// Largest margin of a turn rate by solutions of different airspeed that is still a result.
pub const MAX_RIVAL_MARGIN_DEG_S: Constant = constant(
    "margin of a turn rate of a flight whose wind is not known",
    0.6,
    "°/s",
    "engineering judgement: a tenth of a full turn per minute; more does not tell a set-up from another",
);
/// Height above take-off below which a window carries a caution.
pub const CAUTION_HEIGHT_M: Constant =
    constant("height above take-off below which a window is a caution", 150.0, "m", TRADE);
/// So long after take-off and before landing the aircraft is near the ground, whatever its height over either place.
pub const NEAR_GROUND_S: Constant = constant(
    "time after take-off and before landing that is a caution",
    60.0,
    "s",
    "engineering judgement: a climb of 2 m/s is then at 120 m",
);
/// Fixes after landing that tell the altitude of the landing place.
pub const LANDING_SEEN_S: Constant = constant(
    "altitude of the landing place: fixes after landing",
    10.0,
    "s",
    "engineering judgement: standing by then",
);
/// Two-sided 95 % quantile of the normal distribution: a second opinion differs, a turn is clear.
pub const NORMAL_95: Constant = constant(
    "a second opinion differs, and a turn is clear, beyond",
    1.959_963_984_540_054,
    "standard uncertainties",
    "normal distribution, 95 %",
);
/// Furthest that two nodes may lie apart to take a heading between them.
pub const WIDEST_NODE_STEP_S: Constant =
    constant("nodes farther apart give no heading between them", 10.0, "s", JUDGEMENT);
/// Ground velocities are averaged over this time before a course is taken.
pub const COURSE_MEAN_S: Constant = constant(
    "ground velocities are averaged over, for the course",
    3.0,
    "s",
    "engineering judgement: drowns the noise of a receiver and shortens no hands-off turn",
);
/// Below this ground speed a course means nothing.
pub const SLOWEST_COURSE_MPS: Constant = constant("slower than this has no course", 1.0, "m/s", JUDGEMENT);

// Scenarios.

/// Climb at or above which a window is a climb.
pub const CLIMB_MPS: Constant = constant("a climb climbs by at least", 0.8, "m/s", TRIED);
/// Climb at or below which a window is a glide.
pub const GLIDE_MPS: Constant = constant("a glide climbs by at most", -0.8, "m/s", TRIED);
/// Climb and descent up to which a window is level.
pub const LEVEL_MPS: Constant = constant("level is within", 0.5, "m/s", TRIED);
/// Share of the time at level, slowest first, whose airspeed is the flight's trim airspeed.
pub const TRIM_SHARE: Constant =
    constant("share of the time at level, slowest first, at which the trim airspeed is read", 0.25, "", JUDGEMENT);
/// Level airspeed over the trim airspeed up to which a window is at trim.
pub const TRIM_RATIO: Constant = constant("at trim up to, over the trim airspeed", 1.06, "", TRIED);
/// Level airspeed over the trim airspeed from which a window is accelerated.
pub const ACCELERATED_RATIO: Constant = constant("accelerated from, over the trim airspeed", 1.10, "", TRIED);
/// Quantile of the engine speeds that is the highest: odd samples left out.
pub const TOP_RPM_SHARE: Constant =
    constant("share of the engine speeds below the highest, odd samples left out", 0.99, "", JUDGEMENT);
/// Engine speed over the highest from which the power is called full.
pub const FULL_POWER_RPM_RATIO: Constant = constant("full power from, over the highest engine speed", 0.85, "", TRIED);
/// Engine speed over the highest up to which the engine is called idle or off.
pub const POWER_OFF_RPM_RATIO: Constant = constant("power off up to, over the highest engine speed", 0.45, "", TRIED);
/// Engine noise level at or above which an engine runs under load.
pub const ENGINE_NOISE_ON: Constant = constant(
    "engine noise under load",
    500.0,
    "",
    "recorders read low in glides and high under power: the middle of their scale of 0 to 999",
);

/// The whole record, in the order of the method page.
pub const GROUPS: [Group; 5] = [
    Group {
        name: "method-wander",
        title: "How much a channel wanders while nothing changes",
        constants: &[
            WANDER_BLOCK_S,
            QUIET_DIFFERENCES,
            NORMAL_QUIET_DIFFERENCES,
            CLIPPED_AT,
            NORMAL_CLIPPED_VARIANCE,
            MOST_CLIPPING_ROUNDS,
            FEWEST_DIFFERENCES,
            TURN_WANDER_FLOOR,
            AIRSPEED_WANDER_FLOOR,
            CLIMB_WANDER_FLOOR,
            JITTER_SPAN_S,
            QUIET_SHARE,
            JITTER_FLOOR_DEG_S,
        ],
    },
    Group {
        name: "method-candidates",
        title: "Candidates",
        constants: &[
            BREAK_STEPS,
            MIN_PIECE_S,
            MAX_PIECE_S,
            MERGE_TURN_DEG_S,
            MERGE_AIRSPEED_MPS,
            MERGE_CLIMB_MPS,
            SAME_MEAN_SIGMAS,
            MIN_CANDIDATE_S,
            MAX_CANDIDATE_RATE_DEG_S,
            MAX_JITTER_RATIO,
            MIN_CANDIDATE_AIRSPEED_MPS,
            CANDIDATE_MARGIN_S,
        ],
    },
    Group {
        name: "method-transient",
        title: "Let-go and take-over",
        constants: &[
            SAME_PRESS_S,
            FARTHEST_MARK_S,
            TRANSIENT_LOOK_S,
            FASTEST_TRANSIENT_S,
            SLOWEST_TRANSIENT_S,
            TRANSIENT_STEP_S,
            FEWEST_TRANSIENT_SAMPLES,
            WIDEST_TRANSIENT_STEP_S,
            TRANSIENT_PRICE,
            DEFAULT_TIME_CONSTANT_S,
            TIME_CONSTANTS,
            TAKE_OVER_MARGIN_S,
        ],
    },
    Group {
        name: "method-scenarios",
        title: "Scenarios",
        constants: &[
            CLIMB_MPS,
            GLIDE_MPS,
            LEVEL_MPS,
            TRIM_SHARE,
            TRIM_RATIO,
            ACCELERATED_RATIO,
            TOP_RPM_SHARE,
            FULL_POWER_RPM_RATIO,
            POWER_OFF_RPM_RATIO,
            ENGINE_NOISE_ON,
        ],
    },
    Group {
        name: "method-verdict",
        title: "The verdict on a window",
        constants: &[
            SHORTEST_STEADY_S,
            MIN_LENGTH_S,
            MAX_GAP_S,
            MAX_GAP_INTERVALS,
            MIN_GROUND_SPEED_MPS,
            MAX_TURN_DRIFT_DEG_S,
            PIECE_S,
            MAX_PIECE_DEPARTURE_DEG_S,
            MAX_AIRSPEED_DRIFT_MPS,
            MAX_AIRSPEED_SCATTER_MPS,
            MAX_CLIMB_DRIFT_MPS,
            MAX_CLIMB_SCATTER_MPS,
            DRIFT_SIGNIFICANCE,
            EXCURSION_S,
            MAX_TURN_EXCURSION_DEG_S,
            MAX_WIND_STD_U_MPS,
            MAX_RATE_STD_U_DEG_S,
            MAX_RIVAL_MARGIN_DEG_S,
            CAUTION_HEIGHT_M,
            NEAR_GROUND_S,
            LANDING_SEEN_S,
            NORMAL_95,
            WIDEST_NODE_STEP_S,
            COURSE_MEAN_S,
            SLOWEST_COURSE_MPS,
        ],
    },
];

#[cfg(test)]
mod tests {
    use super::*;

    /// A constant that is written down and not listed would be missing on the method page.
    #[test]
    fn every_constant_is_listed_once() {
        let written = include_str!("constants.rs").matches(": Constant =").count() - 1;
        let mut listed: Vec<&str> = GROUPS.iter().flat_map(|g| g.constants).map(|c| c.what).collect();
        assert_eq!(listed.len(), written);
        listed.sort_unstable();
        listed.dedup();
        assert_eq!(listed.len(), written);
    }
}
