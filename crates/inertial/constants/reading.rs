//! What an inertial file is held against.

use driftless_units::constant::{Constant, Group, JUDGEMENT, constant};

/// Shortest step between rows. Rows of several sensors may interleave, so that they come faster than samples; the range of
/// steps spans less than a factor of 1000, so that only one unit of time can fit.
pub const FASTEST_STEP_S: Constant = constant(
    "shortest step between rows",
    0.000_8,
    "s",
    "engineering judgement: rows of several sensors may interleave",
);
/// Longest step between rows.
pub const LONGEST_STEP_S: Constant = constant("longest step between rows", 0.11, "s", "10 Hz, with some slack");
/// Shortest step of a sensor that is fit for this work.
pub const FASTEST_GOOD_STEP_S: Constant =
    constant("shortest step of a sensor by itself", 0.002_4, "s", "400 Hz, with some slack");
/// Steps longer than this are no sampling, whatever the unit that is named.
pub const SLOWEST_STEP_S: Constant = constant("longer steps are no sampling in any unit", 10.0, "s", JUDGEMENT);
/// Slowest sampling that does for this work.
pub const LEAST_RATE_HZ: Constant =
    constant("slowest sampling that does", 10.0, "Hz", "engineering judgement: some samples in a tenth of a swing");
/// Fastest sampling that is expected.
pub const MOST_RATE_HZ: Constant = constant("fastest sampling that is expected", 400.0, "Hz", JUDGEMENT);
/// A sensor set to 10 Hz may run at 9.97.
pub const RATE_SLACK: Constant = constant("a sampling rate may lie beyond by a share of", 0.005, "", JUDGEMENT);
/// Steps this uneven (spread of the middle 90 % over the mean) are told.
pub const UNEVEN: Constant =
    constant("spread of the middle nine tenths of the steps, over the typical one, that is told", 1.0, "", JUDGEMENT);
/// A step of this many intervals is a gap, ...
pub const GAP_INTERVALS: Constant =
    constant("a gap is longer than, intervals of the sensor", 5.0, "intervals", JUDGEMENT);
/// ... and of this many seconds.
pub const GAP_LEAST_S: Constant = constant("and than", 0.25, "s", JUDGEMENT);
/// No flight of such an aircraft lasts longer. Whatever is laid on an even grid later is bounded by this.
pub const LONGEST_RECORDING_S: Constant = constant(
    "longest recording",
    24.0 * 3600.0,
    "s",
    "engineering judgement: no flight of such an aircraft lasts longer",
);
/// A first stamp this far from the middle one is of a clock that was not set yet.
pub const UNSET_CLOCK_S: Constant =
    constant("a first stamp so far from the middle one is of a clock not set yet", 12.0 * 3600.0, "s", JUDGEMENT);
/// A clock that leaps by more than this went wrong, was set, began anew or paused.
pub const LEAP_S: Constant = constant("a clock leaps by more than", 10.0, "s", JUDGEMENT);
/// The same in steps of the file, for slow columns (a temperature a minute).
pub const LEAP_STEPS: Constant =
    constant("the same in steps of the file, where that is more", 20.0, "steps", JUDGEMENT);
/// Times farther apart than this are not of one recording.
pub const FAR_APART_S: Constant =
    constant("times farther apart are not of one recording", 12.0 * 3600.0, "s", JUDGEMENT);
/// A run of samples between two leaps that has less than this share of the longest may be wrong stamps; longer runs are
/// recordings.
pub const SHORT_RUN_SHARE: Constant =
    constant("a run between leaps with less than this share of the longest may be wrong stamps", 0.05, "", JUDGEMENT);
/// A table with fewer samples of every sensor tells nothing.
pub const FEWEST_ROWS: Constant = constant("fewest samples of a table", 5.0, "samples", JUDGEMENT);
/// A stream this short tells nothing of what is wrong with it.
pub const FEWEST_TO_INSPECT: Constant =
    constant("fewest samples of a stream that is looked at for faults", 20.0, "samples", JUDGEMENT);
/// All three axes unchanged for longer than this: frozen. (Magnetometers often run slower than the log.)
pub const FROZEN_S: Constant = constant(
    "all axes unchanged for longer are frozen",
    1.0,
    "s",
    "engineering judgement: magnetometers often run slower than the log",
);
/// So many samples in a row at the very end of the scale, ...
pub const SATURATED_RUN: Constant =
    constant("saturated: samples in a row at the end of the scale", 3.0, "samples", JUDGEMENT);
/// ... on at least so many occasions or samples, are saturation.
pub const SATURATED_SAMPLES: Constant = constant("saturated: such samples in all", 6.0, "samples", JUDGEMENT);
/// A ratio of units counts as a known one within this factor.
pub const UNIT_NEAR: Constant = constant("a unit is recognised within a factor of", 1.25, "", JUDGEMENT);
/// No rate sensor of this kind measures more.
pub const FASTEST_RAD_S: Constant = constant(
    "fastest turn that such a gyro measures",
    36.0,
    "rad/s",
    "data sheets of small sensors: 2000 °/s full scale",
);
/// The strength of the Earth's field lies above this ...
pub const WEAKEST_FIELD_UT: Constant = constant(
    "weakest field of the Earth",
    15.0,
    "µT",
    "22 to 67 µT (NOAA, World Magnetic Model 2025 report), with some slack for the sensor's scale",
);
/// ... and below this.
pub const STRONGEST_FIELD_UT: Constant = constant("strongest field of the Earth", 100.0, "µT", "as the one before");
/// Small sensors work above this ...
pub const COLDEST_C: Constant = constant("coldest a sensor works", -60.0, "°C", "data sheets: -40 °C, with some slack");
/// ... and below this.
pub const HOTTEST_C: Constant =
    constant("hottest a sensor works", 130.0, "°C", "data sheets: 85 °C, with some slack for a hot box");
/// A typical temperature above this, without a unit, is in kelvin.
pub const KELVIN_FROM: Constant =
    constant("a temperature without a unit is in kelvin above", 200.0, "", "-73 °C, or 200 °C");
/// A typical temperature above this, without a unit, may as well be in °F.
pub const WARM_C: Constant = constant("a temperature without a unit may be in °F above", 55.0, "°C", JUDGEMENT);

/// Their table on the method page.
pub(super) const GROUP: Group = Group {
    name: "method-reading",
    title: "What an inertial file is held against",
    constants: &[
        FASTEST_STEP_S,
        LONGEST_STEP_S,
        FASTEST_GOOD_STEP_S,
        SLOWEST_STEP_S,
        LEAST_RATE_HZ,
        MOST_RATE_HZ,
        RATE_SLACK,
        UNEVEN,
        GAP_INTERVALS,
        GAP_LEAST_S,
        LONGEST_RECORDING_S,
        UNSET_CLOCK_S,
        LEAP_S,
        LEAP_STEPS,
        FAR_APART_S,
        SHORT_RUN_SHARE,
        FEWEST_ROWS,
        FEWEST_TO_INSPECT,
        FROZEN_S,
        SATURATED_RUN,
        SATURATED_SAMPLES,
        UNIT_NEAR,
        FASTEST_RAD_S,
        WEAKEST_FIELD_UT,
        STRONGEST_FIELD_UT,
        COLDEST_C,
        HOTTEST_C,
        KELVIN_FROM,
        WARM_C,
    ],
};
