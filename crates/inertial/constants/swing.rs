//! Swing and hands.

use driftless_units::constant::{Constant, Group, JUDGEMENT, constant};

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

/// Their table on the method page.
pub(super) const GROUP: Group = Group {
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
};
