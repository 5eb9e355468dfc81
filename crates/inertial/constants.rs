//! The constants of inertial data: one record, from which docs/method.md has its tables.
//!
//! What was found on the simulator was found on its tuning seeds only.

use driftless_units::constant::{Constant, Group, JUDGEMENT, TRADE, constant};

// Reading.

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

// Mounting.

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

// Attitude.

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

// Clock.

/// Swings have about this period, until it is measured.
pub const USUAL_SWING_S: Constant = constant("period of a swing before it is measured", 3.0, "s", TRADE);
/// Search range about a known offset.
pub const NEAR_CLOCK_S: Constant = constant(
    "search about a known clock, either side",
    120.0,
    "s",
    "engineering judgement: phones are right to a few seconds, loggers set by hand to a minute",
);
/// Grid step of the turn rates that are slid along each other.
pub const GRID_S: Constant = constant("grid of the turn rates that are slid along each other", 0.25, "s", JUDGEMENT);
/// The gyro's rates are means over this long, which evens out most of a swing and is as smooth as the estimate.
pub const GRID_MEAN_S: Constant = constant(
    "the gyro's rates are averaged over, for that",
    3.0,
    "s",
    "a typical swing, and about as smooth as the estimate",
);
/// Least time that both must share, or a third of the shorter.
pub const LEAST_SHARED_S: Constant =
    constant("least time that both share, or a third of the shorter", 60.0, "s", JUDGEMENT);
/// Lags this near belong to the same peak.
pub const SAME_PEAK_S: Constant = constant(
    "lags so near belong to the same peak",
    8.0,
    "s",
    "engineering judgement: two swings, or the flank of a turn",
);
/// Correlation below which a lag says nothing.
pub const LEAST_CORRELATION: Constant = constant("correlation below which an offset says nothing", 0.5, "", JUDGEMENT);
/// Score of a rival lag that makes the peak ambiguous.
pub const RIVAL_SHARE: Constant =
    constant("score of another offset over the best that makes it ambiguous", 0.85, "", JUDGEMENT);
/// An offset less sure than this is unknown.
pub const OFFSET_MOST_STD_U_S: Constant = constant("an offset less sure is unknown", 0.5, "s", JUDGEMENT);
/// Least turning that a lag is told from: root-mean-square of the flight's turn rate.
pub const LEAST_TURNING_RAD_S: Constant =
    constant("least turning of a flight, rms", 0.0175, "rad/s", "engineering judgement: 1 °/s");
/// The same over its own uncertainty.
pub const LEAST_TURNING_SIGMAS: Constant = constant("the same over its own uncertainty", 2.0, "", JUDGEMENT);
/// A gyro that turns 57.3 times too much or too little, within this factor, is in the wrong unit.
pub const UNIT_WITHIN: Constant =
    constant("57.3 times too fast or too slow is a wrong unit within a factor of", 1.4, "", JUDGEMENT);
/// A gyro that turns less than this times as much as the flight is not the gyro of that flight, or a broken one.
pub const LEAST_FACTOR: Constant = constant(
    "a gyro turns at least so many times as the flight",
    0.7,
    "",
    "engineering judgement: no calibration is so far off",
);
/// The same the other way.
pub const MOST_FACTOR: Constant = constant("and at most", 1.4, "", "as the one before");
/// Length over which headings are compared.
pub const CHANGE_S: Constant =
    constant("heading changes are compared over", 6.0, "s", "engineering judgement: two swings");
/// Fewest heading changes.
pub const FEWEST_CHANGES: Constant = constant("fewest heading changes", 30.0, "", JUDGEMENT);
/// Length of the blocks that are left out in turn: longer than errors go together.
pub const BLOCK_S: Constant =
    constant("blocks that are left out in turn", 40.0, "s", "engineering judgement: longer than errors go together");
/// Steps of Gauss-Newton at most.
pub const ALIGN_MOST_STEPS: Constant = constant("steps of Gauss-Newton at the most", 20.0, "steps", JUDGEMENT);
/// Drift prior.
pub const CLOCK_DRIFT: Constant =
    constant("drift of a clock (prior)", 50e-6, "", "common practice, no source: 50 parts in a million");
/// Scale prior.
pub const SCALE: Constant = constant("scale of a gyro (prior)", 0.02, "", TRADE);
/// Bias before anything is known.
pub const BIAS_OPEN_RAD_S: Constant =
    constant("bias of a gyro (prior)", 0.05, "rad/s", "common practice, no source: 3 °/s");
/// Bias left after a period at rest: warming up.
pub const BIAS_AFTER_STILL_RAD_S: Constant = constant(
    "bias left after a period at rest (prior)",
    0.005,
    "rad/s",
    "common practice, no source: 0.3 °/s, warming up",
);
/// How far the mean specific force may lie from across the direction of flight: thrust against drag and the lean of the pilot
/// differ between power settings, and an accelerometer has its bias.
pub const LEVEL_RAD: Constant = constant(
    "level as a sensor has it may be off by",
    0.026,
    "rad",
    "common practice, no source: 1.5°; thrust, drag and lean differ between power settings",
);
/// Nodes farther apart than this are not joined by a straight line.
pub const JOINED_S: Constant = constant("nodes farther apart are not joined", 5.0, "s", JUDGEMENT);
/// Air velocity below which its direction says nothing.
pub const SLOWEST_AIR_MPS: Constant = constant("slower through the air than this has no direction", 3.0, "m/s", TRADE);
/// How far a single wind for the flight may be off.
pub const ROUGH_WIND_MPS: Constant =
    constant("a single wind for a flight without an estimate may be off by, per axis", 3.0, "m/s", JUDGEMENT);
/// Half the span over which the rate of such a direction is taken.
pub const DIRECTION_HALF_S: Constant =
    constant("the rate of such a direction is taken over, either side", 1.0, "s", JUDGEMENT);

// The gyro as a measurement.

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

// Rest and sensor health.

/// Blocks into which the log is cut to find rest.
pub const REST_BLOCK_S: Constant = constant("blocks that are at rest or not", 1.0, "s", JUDGEMENT);
/// Fewest samples of a block.
pub const FEWEST_REST_SAMPLES: Constant = constant("fewest samples of a block", 5.0, "samples", JUDGEMENT);
/// A block is still when its rates spread less than this about their mean, ...
pub const STILL_RAD_S: Constant = constant(
    "at rest: spread of the rates",
    0.005_2,
    "rad/s",
    "common practice, no source: 0.3 °/s; a phone on a table shows 0.05 to 0.2 °/s, a hand some °/s",
);
/// ... its mean is within this of nothing, ...
pub const BIAS_MOST_RAD_S: Constant = constant(
    "at rest: mean of the rates",
    0.09,
    "rad/s",
    "engineering judgement: biases of such sensors stay below 5 °/s",
);
/// ... and its specific force does not move more than this.
pub const STILL_MPS2: Constant = constant("at rest: spread of the specific force", 0.15, "m/s²", JUDGEMENT);
/// Shortest period that counts.
pub const LEAST_REST_S: Constant = constant("shortest period at rest", 5.0, "s", JUDGEMENT);
/// Shortest period at rest from which noise is read.
pub const NOISE_REST_S: Constant = constant("shortest period at rest from which noise is read", 10.0, "s", JUDGEMENT);
/// Points in a factor of ten of averaging time.
pub const ALLAN_POINTS_PER_DECADE: Constant =
    constant("points of the Allan curve in a factor of ten", 8.0, "points", JUDGEMENT);
/// Groups that must fit into the data: fewer and a point is chance.
pub const ALLAN_FEWEST_GROUPS: Constant = constant(
    "groups that fit into the data at the least",
    9.0,
    "groups",
    "engineering judgement: fewer and a point is chance",
);
/// White noise falls with slope -1/2 in the logarithms; taken as such within this.
pub const SLOPE_TOLERANCE: Constant = constant("slope of white noise, about -1/2", 0.15, "", JUDGEMENT);
/// Longest averaging time from which white noise is read off; beyond, slow errors mix in.
pub const WHITE_MOST_S: Constant = constant(
    "longest averaging time at which white noise is read",
    10.0,
    "s",
    "engineering judgement: beyond, slow errors mix in",
);
/// A minimum must be this far below the end of the curve, in standard errors of its end, to be one.
pub const RISE_SIGMAS: Constant =
    constant("a minimum lies below the end of the curve by", 1.0, "standard errors", JUDGEMENT);
/// A gyro is quiet when its noise over a minute is below this share of the uncertainty by GPS alone.
pub const QUIET_BESIDE_GPS: Constant =
    constant("quiet: noise over a minute, over the uncertainty by GPS", 0.5, "", JUDGEMENT);
/// Time at either end over which the temperature is read.
pub const TEMPERATURE_END_S: Constant = constant("the temperature of start and end is read over", 30.0, "s", JUDGEMENT);
/// Pieces into which periods at rest are cut to see a bias move with temperature.
pub const TEMPERATURE_PIECE_S: Constant = constant("pieces of rest in which a bias is read", 10.0, "s", JUDGEMENT);
/// They are longer where there would be more than this many.
pub const MOST_TEMPERATURE_PIECES: Constant =
    constant("such pieces at the most", 200.0, "pieces", "what a computer has time for");
/// Fewest of them.
pub const FEWEST_TEMPERATURE_PIECES: Constant = constant("such pieces at the least", 4.0, "pieces", JUDGEMENT);
/// Least difference of temperature at rest from which a slope is told.
pub const LEAST_WARMING_K: Constant =
    constant("least difference of temperature that tells a slope", 1.0, "K", JUDGEMENT);
/// A slope is clear from this many standard uncertainties on.
pub const CLEAR_SLOPE_SIGMAS: Constant = constant(
    "a slope is clear from",
    3.0,
    "standard uncertainties",
    "of three axes one in a hundred gets there without a slope",
);

// Compass.

/// Time between samples of the field, and over which each is a mean.
pub const FIELD_MEAN_S: Constant = constant("samples of the field, each a mean over", 0.5, "s", JUDGEMENT);
/// Headings are counted in this many sectors, ...
pub const HEADING_SECTORS: Constant = constant("headings are counted in sectors", 12.0, "sectors", JUDGEMENT);
/// ... of which so many must be flown.
pub const FEWEST_SECTORS: Constant =
    constant("of which are flown at least", 9.0, "sectors", "three quarters of a circle: else iron and wind are one");
/// How far strength and downward part of the Earth's field may be off as the sensor has them: its own scale far more than the
/// model.
pub const EARTH_STD_U_UT: Constant = constant(
    "the Earth's field, as the sensor has it, may be off by",
    1.5,
    "µT",
    "common practice, no source: 3 % of scale of a middling field",
);
/// Strength of the field where no model is at hand.
pub const ANYWHERE_UT: Constant =
    constant("strength of the field where no model is at hand", 45.0, "µT", "22 to 67 µT on Earth");
/// How far it may be off.
pub const ANYWHERE_STD_U_UT: Constant = constant("and may be off by", 20.0, "µT", "as the one before");
/// Hard iron may be about this strong.
pub const IRON_UT: Constant = constant("hard iron, per axis (prior)", 100.0, "µT", TRADE);
/// Error of a sample that the fit begins with.
pub const FIRST_FIELD_ERROR_UT: Constant = constant("error of a sample at first", 5.0, "µT", JUDGEMENT);
/// Least error of a sample.
pub const LEAST_FIELD_ERROR_UT: Constant = constant("least error of a sample", 0.5, "µT", JUDGEMENT);
/// Errors go together over about so many samples: that many count as one.
pub const FIELD_ERRORS_TOGETHER: Constant =
    constant("samples whose errors go together", 40.0, "samples", "engineering judgement: 20 s");
/// Steps of Gauss and Newton; they settle within a few.
pub const IRON_STEPS: Constant =
    constant("steps of Gauss-Newton", 12.0, "steps", "engineering judgement: it settles within a few");
/// The strength of the field may differ from the Earth's by this share.
pub const STRENGTH_SHARE: Constant = constant("strength of the field, over the Earth's, within", 0.15, "", JUDGEMENT);
/// The same of its level part.
pub const LEVEL_SHARE: Constant = constant("its level part, within", 0.15, "", JUDGEMENT);
/// The dip may differ by this.
pub const DIP_DEG: Constant = constant("its dip, within", 8.0, "°", JUDGEMENT);
/// North may differ by this many standard uncertainties of the direction in which the sensor is mounted, ...
pub const DECLINATION_SIGMAS: Constant =
    constant("north, within so many standard uncertainties of the mounting", 2.5, "", JUDGEMENT);
/// ... but by this at the least ...
pub const DECLINATION_LEAST_DEG: Constant = constant("but no less than", 6.0, "°", JUDGEMENT);
/// ... and by this at the most.
pub const DECLINATION_MOST_DEG: Constant = constant("and no more than", 15.0, "°", JUDGEMENT);
/// Headings may differ from the flight's by this, typically.
pub const SPREAD_DEG: Constant = constant("headings from the flight's, typically", 8.0, "°", JUDGEMENT);
/// How far a pilot may sit twisted under his wing.
pub const TWISTED_RAD: Constant = constant("a pilot sits twisted by", 0.052, "rad", "common practice, no source: 3°");
/// Soft iron that nothing calibrates, as a deviation.
pub const SOFT_IRON_RAD: Constant =
    constant("soft iron, as a deviation", 0.017, "rad", "common practice, no source: 1°");
/// The heeling coefficient is no surer than this: level is off by a tenth of the bank in turns, and the field dips by about 63°.
pub const LEAST_HEELING: Constant = constant(
    "heeling coefficient, at the least",
    0.2,
    "rad/rad",
    "tuned on simulated flights; level is off by a tenth of the bank, the field dips by 63°",
);

// Swing and hands.

/// Length of a segment of a spectrum: fine enough to tell 2 s from 4 s, short enough for a window of a minute.
pub const SEGMENT_S: Constant = constant(
    "segments of a spectrum",
    20.0,
    "s",
    "engineering judgement: tells 2 s from 4 s, and fits a window of a minute",
);
/// Slowest swing that is looked for.
pub const SLOWEST_SWING_HZ: Constant = constant("slowest swing", 0.14, "Hz", "engineering judgement: 7 s");
/// Fastest swing that is looked for.
pub const FASTEST_SWING_HZ: Constant = constant("fastest swing", 0.7, "Hz", "engineering judgement: 1.4 s");
/// A peak must stand this far above the middle of its band to be a swing.
pub const PEAK_OVER_MEDIAN: Constant =
    constant("a swing stands above the middle of that band by a factor of", 4.0, "", JUDGEMENT);
/// Motion above the swing ...
pub const SLOWEST_CONTROL_HZ: Constant = constant(
    "brake inputs are faster than",
    0.8,
    "Hz",
    "engineering judgement: they come as jerks of some tenths of a second",
);
/// ... and below the engine.
pub const FASTEST_CONTROL_HZ: Constant =
    constant("and slower than", 4.0, "Hz", "engineering judgement: faster is the engine");
/// Length of the pieces that are compared.
pub const HINT_PIECE_S: Constant = constant("pieces of the flight that are compared", 24.0, "s", JUDGEMENT);
/// Fewest pieces flown by hand.
pub const FEWEST_HINT_PIECES: Constant = constant("fewest of them flown by hand", 3.0, "pieces", JUDGEMENT);
/// Ratio that speaks for hands off.
pub const OFF_BELOW: Constant = constant("hands perhaps off below", 0.7, "", "tuned on simulated flights");
/// Ratio that speaks for hands on.
pub const ON_ABOVE: Constant = constant("hands perhaps on above", 0.85, "", "tuned on simulated flights");

/// The whole record, in the order of the method page.
pub const GROUPS: [Group; 8] = [
    Group {
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
    },
    Group {
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
    },
    Group {
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
    },
    Group {
        name: "method-clock",
        title: "Clock, bias and scale against the flight",
        constants: &[
            USUAL_SWING_S,
            NEAR_CLOCK_S,
            GRID_S,
            GRID_MEAN_S,
            LEAST_SHARED_S,
            SAME_PEAK_S,
            LEAST_CORRELATION,
            RIVAL_SHARE,
            OFFSET_MOST_STD_U_S,
            LEAST_TURNING_RAD_S,
            LEAST_TURNING_SIGMAS,
            UNIT_WITHIN,
            LEAST_FACTOR,
            MOST_FACTOR,
            CHANGE_S,
            FEWEST_CHANGES,
            BLOCK_S,
            ALIGN_MOST_STEPS,
            CLOCK_DRIFT,
            SCALE,
            BIAS_OPEN_RAD_S,
            BIAS_AFTER_STILL_RAD_S,
            LEVEL_RAD,
            JOINED_S,
            SLOWEST_AIR_MPS,
            ROUGH_WIND_MPS,
            DIRECTION_HALF_S,
        ],
    },
    Group {
        name: "method-gyro",
        title: "The gyro as a measurement",
        constants: &[BIAS_WALK, WALK_OPEN, LEFT_SHARE, LEAST_HEADING_RAD, TWIST_MEAN_S],
    },
    Group {
        name: "method-rest",
        title: "Rest and sensor health",
        constants: &[
            REST_BLOCK_S,
            FEWEST_REST_SAMPLES,
            STILL_RAD_S,
            BIAS_MOST_RAD_S,
            STILL_MPS2,
            LEAST_REST_S,
            NOISE_REST_S,
            ALLAN_POINTS_PER_DECADE,
            ALLAN_FEWEST_GROUPS,
            SLOPE_TOLERANCE,
            WHITE_MOST_S,
            RISE_SIGMAS,
            QUIET_BESIDE_GPS,
            TEMPERATURE_END_S,
            TEMPERATURE_PIECE_S,
            MOST_TEMPERATURE_PIECES,
            FEWEST_TEMPERATURE_PIECES,
            LEAST_WARMING_K,
            CLEAR_SLOPE_SIGMAS,
        ],
    },
    Group {
        name: "method-iron",
        title: "Compass: calibration and what it is held against",
        constants: &[
            FIELD_MEAN_S,
            HEADING_SECTORS,
            FEWEST_SECTORS,
            EARTH_STD_U_UT,
            ANYWHERE_UT,
            ANYWHERE_STD_U_UT,
            IRON_UT,
            FIRST_FIELD_ERROR_UT,
            LEAST_FIELD_ERROR_UT,
            FIELD_ERRORS_TOGETHER,
            IRON_STEPS,
            STRENGTH_SHARE,
            LEVEL_SHARE,
            DIP_DEG,
            DECLINATION_SIGMAS,
            DECLINATION_LEAST_DEG,
            DECLINATION_MOST_DEG,
            SPREAD_DEG,
            TWISTED_RAD,
            SOFT_IRON_RAD,
            LEAST_HEELING,
        ],
    },
    Group {
        name: "method-swing",
        title: "Swing and hands",
        constants: &[
            SEGMENT_S,
            SLOWEST_SWING_HZ,
            FASTEST_SWING_HZ,
            PEAK_OVER_MEDIAN,
            SLOWEST_CONTROL_HZ,
            FASTEST_CONTROL_HZ,
            HINT_PIECE_S,
            FEWEST_HINT_PIECES,
            OFF_BELOW,
            ON_ABOVE,
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
        let listed: usize = GROUPS.iter().map(|g| g.constants.len()).sum();
        assert_eq!(listed, written);
        for group in GROUPS {
            let mut said: Vec<&str> = group.constants.iter().map(|c| c.what).collect();
            said.sort_unstable();
            said.dedup();
            assert_eq!(said.len(), group.constants.len(), "{}", group.title);
        }
    }
}
