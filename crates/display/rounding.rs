//! Rounding at display: at most two digits of uncertainty, the value to match, once.

/// The minus sign of typography (U+2212): as wide as a plus, never broken from its number.
const MINUS: char = '\u{2212}';

/// Decimal places (negative: tens, hundreds …) to which a value of this uncertainty is rounded.
///
/// Two digits of the uncertainty when its leading three digits are below 355 or from 950 on, else one: the rule of
/// the Particle Data Group (Review of Particle Physics, Introduction, "Rounding"). `None` when the uncertainty is
/// zero, negative or not finite: then it says nothing about the digits.
pub fn places_for(uncertainty: f64) -> Option<i32> {
    if !uncertainty.is_finite() || uncertainty <= 0.0 {
        return None;
    }
    let mut exponent = uncertainty.log10().floor() as i32;
    // The logarithm may be off by one in the last bit at powers of ten; bring the leading digits into [1, 10).
    let mut leading = scale(uncertainty, -exponent);
    if leading >= 10.0 {
        (exponent, leading) = (exponent + 1, leading / 10.0);
    } else if leading < 1.0 {
        (exponent, leading) = (exponent - 1, leading * 10.0);
    }
    Some(if leading < 3.55 {
        1 - exponent
    } else if leading < 9.5 {
        -exponent
    } else {
        // Rounds up to 10: keep two digits of that.
        -exponent
    })
}

/// A value with `places` decimals (negative: rounded to tens, hundreds …), with a true minus sign and no "-0".
pub fn round_to_places(value: f64, places: i32) -> String {
    if !value.is_finite() {
        return super::NOT_KNOWN.to_owned();
    }
    let text = if places >= 0 {
        format!("{value:.*}", usize::try_from(places.min(12)).unwrap_or(0))
    } else {
        let places = places.max(-300);
        format!("{:.0}", scale(scale(value, places).round(), -places))
    };
    match text.strip_prefix('-') {
        Some(digits) if digits.chars().all(|c| matches!(c, '0' | '.')) => digits.to_owned(),
        Some(digits) => format!("{MINUS}{digits}"),
        None => text,
    }
}

/// A value with a fixed number of decimals.
pub fn fixed(value: f64, decimals: u8) -> String {
    round_to_places(value, i32::from(decimals))
}

/// A value with about `digits` significant digits, for numbers that come without uncertainty.
pub fn significant(value: f64, digits: i32) -> String {
    if value == 0.0 || !value.is_finite() {
        return round_to_places(value, 0);
    }
    round_to_places(value, digits - 1 - value.abs().log10().floor() as i32)
}

/// "3.1 ± 0.1", held together on one line: a value and the half-width of its 95 % interval. `default_places` when the half-width says nothing.
pub fn plus_minus(value: f64, half_width: f64, default_places: i32) -> String {
    match places_for(half_width) {
        Some(places) => {
            format!("{}\u{a0}±\u{a0}{}", round_to_places(value, places), round_to_places(half_width, places))
        }
        None => format!("{}\u{a0}±\u{a0}{}", round_to_places(value, default_places), super::NOT_KNOWN),
    }
}

fn scale(value: f64, power: i32) -> f64 {
    if power >= 0 { value * 10f64.powi(power) } else { value / 10f64.powi(-power) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plain(value: f64, half_width: f64, default_places: i32) -> String {
        plus_minus(value, half_width, default_places).replace('\u{a0}', " ")
    }

    /// The worked cases of the Particle Data Group's own text: 0.827 ± 0.119 and 0.827 ± 0.367.
    #[test]
    fn published_pdg_rounding() {
        assert_eq!(plain(0.827, 0.119, 2), "0.83 ± 0.12");
        assert_eq!(plain(0.827, 0.367, 2), "0.8 ± 0.4");
    }

    #[test]
    fn derived_the_value_is_rounded_to_match_its_uncertainty() {
        assert_eq!(plain(3.13159, 0.1, 2), "3.13 ± 0.10");
        assert_eq!(plain(3.13159, 0.06, 2), "3.13 ± 0.06");
        assert_eq!(plain(-3.13159, 0.4, 2), "−3.1 ± 0.4");
        assert_eq!(plain(1234.0, 45.0, 2), "1230 ± 50");
        assert_eq!(plain(1234.0, 24.0, 2), "1234 ± 24");
        assert_eq!(plain(0.001, 0.0962, 2), "0.00 ± 0.10");
        assert_eq!(plain(12345.0, 678.0, 0), "12300 ± 700");
    }

    #[test]
    fn no_digit_is_invented_without_an_uncertainty() {
        assert_eq!(places_for(0.0), None);
        assert_eq!(places_for(f64::NAN), None);
        assert_eq!(places_for(f64::INFINITY), None);
        assert_eq!(plain(1.25, f64::INFINITY, 1), "1.2 ± not known");
    }

    #[test]
    fn zero_has_no_sign_and_nothing_infinite_is_printed() {
        assert_eq!(fixed(-0.04, 1), "0.0");
        assert_eq!(fixed(-0.06, 1), "−0.1");
        assert_eq!(fixed(f64::NAN, 1), "not known");
        assert_eq!(fixed(f64::NEG_INFINITY, 1), "not known");
    }

    #[test]
    fn derived_powers_of_ten_keep_two_digits() {
        for exponent in -9..9 {
            let places = places_for(10f64.powi(exponent));
            assert_eq!(places, Some(1 - exponent), "10^{exponent}");
        }
    }

    #[test]
    fn derived_significant_digits_without_uncertainty() {
        assert_eq!(significant(191.04, 2), "190");
        assert_eq!(significant(0.0123, 2), "0.012");
        assert_eq!(significant(0.0, 2), "0");
    }
}
