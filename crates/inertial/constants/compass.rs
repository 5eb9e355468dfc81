//! Compass: calibration and what it is held against.

use driftless_units::constant::{Constant, Group, JUDGEMENT, TRADE, constant};

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

/// Their table on the method page.
pub(super) const GROUP: Group = Group {
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
};
