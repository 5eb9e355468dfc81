//! The constants of the road of a flight, beside those of the crates it leads through: sensors that are laid on a flight, and
//! whether a compass may stay. One record, from which docs/method.md has its tables.
//!
//! What was found on the simulator was found on its tuning seeds only.

use driftless_units::constant::{Constant, Group, JUDGEMENT, constant};

// A first look at a flight.

/// Circles tried as starts. Each costs a few passes over the flight; the estimate adds the starts of its own scan.
pub const MOST_CIRCLES: Constant = constant(
    "circles that the estimate starts from, at the most",
    2.0,
    "",
    "engineering judgement: each costs some passes",
);

// Sensors on a flight.

/// A sensor whose clock was not set writes a year before this.
pub const UNSET_BEFORE_YEAR: Constant = constant(
    "a clock that was not set writes a year before",
    2005.0,
    "",
    "clocks of small loggers begin in 1970, 1980 or 2000",
);
/// How far the wind behind the headings of the whole-flight estimate may be off, for the alignment.
pub const ESTIMATE_WIND_MPS: Constant =
    constant("wind of the whole-flight estimate, for the alignment, per axis", 0.5, "m/s", JUDGEMENT);
/// Error of the velocities of a track, where there is no estimate to align with.
pub const TRACK_VELOCITY_MPS: Constant =
    constant("velocities of a track, where no estimate is, per axis", 0.3, "m/s", JUDGEMENT);
/// Averaging of the gyro's turns: hardly any, because the estimate follows the pilot's swing itself.
pub const AVERAGED_S: Constant = constant(
    "the gyro's turns are averaged over",
    0.2,
    "s",
    "engineering judgement: hardly at all, as the estimate follows the swing itself",
);
/// Bias that moves by more than this with the temperature of a flight is told.
pub const WARMING_RAD_S: Constant =
    constant("a bias that warms by more is told", 0.001_75, "rad/s", "engineering judgement: 0.1 °/s");
/// Slowest motion that counts as swing of a window.
pub const SLOWEST_SWING_HZ: Constant = constant("swing of a window, from", 0.14, "Hz", "engineering judgement: 7 s");
/// Fastest motion that counts as swing of a window.
pub const FASTEST_SWING_HZ: Constant = constant("swing of a window, to", 0.8, "Hz", "where brake inputs begin");

// A compass before the estimate with it.

/// Points that are compared at the least: fewer say nothing about an offset.
pub const FEWEST_COMPARED: Constant = constant("fewest headings that are compared", 60.0, "", JUDGEMENT);
/// Headings that the estimate knows worse than this are left out.
pub const WORST_STD_U_DEG: Constant =
    constant("headings that the estimate knows worse are left out", 15.0, "°", JUDGEMENT);
/// Furthest that two nodes, or two recorded headings, may lie apart to take a heading between them.
pub const WIDEST_STEP_S: Constant = constant("headings farther apart are not joined", 2.5, "s", JUDGEMENT);
/// Offset of a compass of the log that is taken at the most once the declination is off.
pub const OFFSET_MOST_DEG: Constant = constant("compass of a log: offset, declination taken off", 10.0, "°", JUDGEMENT);
/// Scatter about the estimate that is taken at the most: as for a magnetometer.
pub const SCATTER_MOST_DEG: Constant = constant("compass of a log: scatter", 8.0, "°", "as for a magnetometer");
/// Constant deviation that nothing calibrates.
pub const CONSTANT_DEVIATION_DEG: Constant = constant("compass of a log: coefficient A (prior)", 5.0, "°", JUDGEMENT);
/// Semicircular deviation that nothing calibrates.
pub const SEMICIRCULAR_DEVIATION_DEG: Constant =
    constant("compass of a log: coefficients B and C (prior)", 6.0, "°", JUDGEMENT);
/// Quadrantal deviation that nothing calibrates.
pub const QUADRANTAL_DEVIATION_DEG: Constant =
    constant("compass of a log: coefficients D and E (prior)", 2.0, "°", JUDGEMENT);
/// Heeling.
pub const LOG_HEELING: Constant = constant("compass of a log: heeling coefficient (prior)", 0.3, "°/°", JUDGEMENT);
/// Lag of the instrument's own filter.
pub const LOG_LAG_S: Constant = constant("compass of a log: lag (prior)", 0.5, "s", JUDGEMENT);

// A compass after it.

/// A coefficient of the deviation may come out this many times its prior standard uncertainty.
pub const COEFFICIENT_SIGMAS: Constant =
    constant("a coefficient of the deviation, over its prior", 4.0, "standard uncertainties", JUDGEMENT);
/// Slow error of a compass that is worth having.
pub const SLOW_MOST_DEG: Constant = constant("slow error, rms", 6.0, "°", JUDGEMENT);
/// The same of its white error.
pub const WHITE_MOST_DEG: Constant = constant("white error, rms", 10.0, "°", JUDGEMENT);
/// Steps of the slow error beyond this are none of a steady process.
pub const JUMP_SIGMAS: Constant = constant(
    "a step of the slow error",
    6.0,
    "standard deviations",
    "of ten thousand normal seconds the greatest is 3.9 (median); simulated flights reached 4.5",
);
/// What the compass moves must lie within this many standard uncertainties of what there was without: if both are right, the
/// variance of the difference is that of the one without less that of the one with.
pub const MOVED_SIGMAS: Constant = constant(
    "a turn, or the wind, moves by",
    3.5,
    "standard uncertainties",
    "the mildest form of the test of J. A. Hausman, Econometrica 46 (1978) 1251-1271",
);

/// The whole record, in the order of the method page.
pub const GROUPS: [Group; 3] = [
    Group {
        name: "method-on-flight",
        title: "Sensors on a flight",
        constants: &[
            MOST_CIRCLES,
            UNSET_BEFORE_YEAR,
            ESTIMATE_WIND_MPS,
            TRACK_VELOCITY_MPS,
            AVERAGED_S,
            WARMING_RAD_S,
            SLOWEST_SWING_HZ,
            FASTEST_SWING_HZ,
        ],
    },
    Group {
        name: "method-compass-before",
        title: "A recorded heading, before the estimate with it",
        constants: &[
            FEWEST_COMPARED,
            WORST_STD_U_DEG,
            WIDEST_STEP_S,
            OFFSET_MOST_DEG,
            SCATTER_MOST_DEG,
            CONSTANT_DEVIATION_DEG,
            SEMICIRCULAR_DEVIATION_DEG,
            QUADRANTAL_DEVIATION_DEG,
            LOG_HEELING,
            LOG_LAG_S,
        ],
    },
    Group {
        name: "method-compass-after",
        title: "The most that a compass that stays may show",
        constants: &[COEFFICIENT_SIGMAS, SLOW_MOST_DEG, WHITE_MOST_DEG, JUMP_SIGMAS, MOVED_SIGMAS],
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
