//! A figure beside the limit it misses: the two never read the same.

use super::{DisplayUnits, fixed, round_to_places};

/// Most decimals of a limit that is printed in full.
const MOST_DECIMALS: u8 = 3;
/// Most decimals that are tried to tell two figures apart.
const FINEST_DECIMALS: u8 = 9;

/// A figure and the limit it misses, both in the unit shown, as text: "1.6" and "1.5" for 1.52 beside 1.5.
///
/// The figure gets `decimals`, or as many as the limit needs if that is more. Where rounding would hide on which side of
/// the limit it lies, it is rounded away from the limit instead. A sign is kept, and does not count against the limit. The
/// limit is printed in full when three decimals are enough for it, else (a limit in another unit) rounded like the figure. Where
/// that would move the figure by more than a step, both get one decimal more: 110.79 beside 110.69 is "110.8", not "112".
pub(crate) fn beside_limit(value: f64, limit: f64, decimals: u8) -> (String, String) {
    let in_full = (0..=MOST_DECIMALS).find(|few| is_whole(limit * 10f64.powi(i32::from(*few))));
    let decimals = decimals.max(in_full.unwrap_or(0));
    let per_unit = 10f64.powi(i32::from(decimals));
    let (size, edge) = (value.abs(), (limit * per_unit).round());
    let rounded = (size * per_unit).round();
    let steps = if size > limit {
        rounded.max(edge + 1.0)
    } else if size < limit {
        rounded.min(edge - 1.0).max(0.0)
    } else {
        rounded
    };
    let moves_far = (steps - size * per_unit).abs() > 1.0 + 1e-9;
    if moves_far && in_full.is_none() && decimals < FINEST_DECIMALS {
        return beside_limit(value, limit, decimals + 1);
    }
    (
        fixed((steps / per_unit).copysign(value), decimals),
        round_to_places(limit, i32::from(in_full.unwrap_or(decimals))),
    )
}

/// With a plus in front of what is above zero.
pub(crate) fn with_plus(value: f64, number: String) -> String {
    if value > 0.0 { format!("+{number}") } else { number }
}

impl DisplayUnits {
    /// "1.6 m/s" and "1.5 m/s": a speed and the limit it misses.
    pub fn speed_beside_limit(&self, mps: f64, limit_mps: f64) -> (String, String) {
        let factor = self.speed.per_mps();
        with_sign(beside_limit(mps * factor, limit_mps * factor, 1), self.speed.sign())
    }

    /// The same for a turn rate in °/s, with this many decimals of °/s.
    pub fn turn_beside_limit(&self, deg_s: f64, limit_deg_s: f64, decimals: u8) -> (String, String) {
        let factor = self.turn.per_deg_s();
        with_sign(beside_limit(deg_s * factor, limit_deg_s * factor, self.turn_decimals(decimals)), self.turn.sign())
    }

    /// The same for a height in metres.
    pub fn height_beside_limit(&self, m: f64, limit_m: f64) -> (String, String) {
        let factor = self.height.per_m();
        with_sign(beside_limit(m * factor, limit_m * factor, 0), self.height.sign())
    }

    /// A turn rate in °/s in the unit of a scale, with this many decimals of °/s, without the unit.
    pub fn turn_number(&self, deg_s: f64, decimals: u8) -> String {
        fixed(deg_s * self.turn.per_deg_s(), self.turn_decimals(decimals))
    }

    /// Decimals that say as much as so many of °/s.
    fn turn_decimals(&self, of_deg_s: u8) -> u8 {
        // A sixtieth of the unit is worth nearly two decimals.
        if self.turn.per_deg_s() > 1.0 { of_deg_s.saturating_sub(2) } else { of_deg_s }
    }
}

fn with_sign((value, limit): (String, String), sign: &str) -> (String, String) {
    (format!("{value}\u{a0}{sign}"), format!("{limit}\u{a0}{sign}"))
}

/// A whole number, but for what a change of units does to its last digits.
fn is_whole(value: f64) -> bool {
    (value - value.round()).abs() <= 1e-9 * value.abs().max(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn shown(value: f64, limit: f64, decimals: u8) -> (String, String) {
        beside_limit(value, limit, decimals)
    }

    fn pair(value: &str, limit: &str) -> (String, String) {
        (value.to_owned(), limit.to_owned())
    }

    #[test]
    fn derived_a_figure_just_over_its_limit_is_rounded_up() {
        assert_eq!(shown(1.52, 1.5, 1), pair("1.6", "1.5"));
        assert_eq!(shown(1.500_000_1, 1.5, 1), pair("1.6", "1.5"));
        assert_eq!(shown(1.58, 1.5, 1), pair("1.6", "1.5"));
        assert_eq!(shown(2.34, 1.5, 1), pair("2.3", "1.5"), "far from the limit it is rounded as ever");
    }

    #[test]
    fn derived_a_figure_just_under_its_limit_is_rounded_down() {
        assert_eq!(shown(19.97, 20.0, 1), pair("19.9", "20"));
        assert_eq!(shown(149.8, 150.0, 0), pair("149", "150"));
    }

    #[test]
    fn derived_a_limit_is_printed_in_full() {
        assert_eq!(shown(8.1, 7.5, 0), pair("8.1", "7.5"));
        assert_eq!(shown(0.8, 0.5, 2), pair("0.80", "0.5"));
        assert_eq!(shown(0.3, 0.125, 1), pair("0.300", "0.125"));
    }

    #[test]
    fn derived_a_limit_in_another_unit_is_rounded_like_the_figure() {
        let knots = 3600.0 / 1852.0;
        assert_eq!(shown(1.52 * knots, 1.5 * knots, 1), pair("3.0", "2.9"));
        assert_eq!(shown(1.505 * knots, 1.5 * knots, 1), pair("3.0", "2.9"));
        assert_eq!(shown(1.52 * 3.6, 1.5 * 3.6, 1), pair("5.5", "5.4"));
    }

    /// Found by the property below: both lie between two whole numbers, and the limit was rounded up.
    #[test]
    fn derived_a_figure_is_not_moved_by_more_than_a_step() {
        assert_eq!(shown(110.79, 110.686_023, 0), pair("110.8", "110.7"));
        assert_eq!(shown(110.58, 110.686_023, 0), pair("110", "111"));
        assert_eq!(shown(110.44, 110.450_01, 0), pair("110.4", "110.5"));
    }

    #[test]
    fn derived_a_sign_is_kept_and_does_not_count() {
        assert_eq!(shown(-1.52, 1.5, 1), pair("\u{2212}1.6", "1.5"));
        assert_eq!(with_plus(1.52, shown(1.52, 1.5, 1).0), "+1.6");
        assert_eq!(with_plus(-1.52, shown(-1.52, 1.5, 1).0), "\u{2212}1.6");
    }

    proptest! {
        /// Whatever the figures, the reader sees on which side of the limit the value lies.
        #[test]
        fn derived_the_side_of_the_limit_shows(value in 0.001f64..500.0, limit in 0.01f64..200.0, decimals in 0u8..4) {
            let (value_text, limit_text) = beside_limit(value, limit, decimals);
            let number = |text: &str| text.parse::<f64>().unwrap();
            let (said, said_limit) = (number(&value_text), number(&limit_text));
            if value > limit {
                prop_assert!(said > said_limit, "{value} beside {limit}: {value_text}, {limit_text}");
            } else if value < limit && said_limit > 0.0 {
                prop_assert!(said < said_limit, "{value} beside {limit}: {value_text}, {limit_text}");
            }
            prop_assert!((said - value).abs() <= 1.01 * 10f64.powi(-i32::from(decimals)), "{value}: {value_text}");
        }
    }
}
