//! Numbers from bytes: decimal, finite, nothing else ("nan", "inf" and hexadecimal are not numbers here).

/// Powers of ten that a double holds exactly.
const EXACT_POW10: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20,
    1e21, 1e22,
];

/// A finite decimal number, correctly rounded; blanks around it are allowed.
///
/// Short numbers take the exact path of W. D. Clinger, *How to read floating point numbers accurately* (PLDI 1990): an
/// integer below 2^53 divided by a power of ten up to 10^22 is rounded once, so it is right. All others go to the
/// standard library.
pub(crate) fn parse_f64(text: &[u8]) -> Option<f64> {
    parse_trimmed(text.trim_ascii())
}

/// The same, where no blanks are around it.
pub(crate) fn parse_trimmed(text: &[u8]) -> Option<f64> {
    let (negative, digits) = match text.split_first()? {
        (b'-', rest) => (true, rest),
        (b'+', rest) => (false, rest),
        _ => (false, text),
    };
    // As many digits as an integer of 64 bits holds, whatever they are.
    if digits.len() > 19 {
        return parse_f64_any_length(text);
    }
    let mut mantissa = 0_u64;
    let mut point = None;
    for (at, &byte) in digits.iter().enumerate() {
        let digit = byte.wrapping_sub(b'0');
        if digit <= 9 {
            mantissa = mantissa * 10 + u64::from(digit);
        } else if byte == b'.' && point.is_none() {
            point = Some(at);
        } else {
            return parse_f64_any_length(text);
        }
    }
    let decimals = point.map_or(0, |at| digits.len() - 1 - at);
    if digits.len() == usize::from(point.is_some()) {
        return None;
    }
    match EXACT_POW10.get(decimals) {
        Some(&power) if mantissa <= (1 << 53) => {
            let value = mantissa as f64 / power;
            Some(if negative { -value } else { value })
        }
        _ => parse_f64_any_length(text),
    }
}

#[cold]
fn parse_f64_any_length(text: &[u8]) -> Option<f64> {
    if !text.iter().all(|b| matches!(b, b'0'..=b'9' | b'+' | b'-' | b'.' | b'e' | b'E')) {
        return None;
    }
    let value = std::str::from_utf8(text).ok()?.parse::<f64>().ok()?;
    value.is_finite().then_some(value)
}

/// Ten to the power of `exponent`, exact up to 22.
pub(crate) fn pow10(exponent: usize) -> f64 {
    EXACT_POW10.get(exponent).copied().unwrap_or(f64::INFINITY)
}

/// An unsigned integer written in digits only (at least one, at most 18).
pub(crate) fn parse_digits(text: &[u8]) -> Option<u64> {
    if text.is_empty() || text.len() > 18 {
        return None;
    }
    let mut value = 0_u64;
    for &byte in text {
        let digit = byte.wrapping_sub(b'0');
        if digit > 9 {
            return None;
        }
        value = value * 10 + u64::from(digit);
    }
    Some(value)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn only_finite_decimals_are_numbers() {
        for bad in ["", " ", "nan", "NaN", "inf", "-inf", "1e999", "0x10", "1,5", "--1", ".", "-", "1.2.3", "infinity"]
        {
            assert_eq!(parse_f64(bad.as_bytes()), None, "{bad:?}");
        }
        assert_eq!(parse_f64(b" -1.50 "), Some(-1.5));
        assert_eq!(parse_f64(b"+.5"), Some(0.5));
        assert_eq!(parse_f64(b"1e3"), Some(1000.0));
        assert_eq!(parse_f64(b"37.24173816852271556854248046875"), Some(37.241_738_168_522_716));
    }

    #[test]
    fn digits_are_digits_only() {
        assert_eq!(parse_digits(b"007"), Some(7));
        for bad in ["", "-1", "1 ", "+1", "1234567890123456789"] {
            assert_eq!(parse_digits(bad.as_bytes()), None, "{bad:?}");
        }
    }

    proptest! {
        /// The exact path must agree with the standard library to the last bit.
        #[test]
        fn agrees_with_the_standard_library(whole in 0_u64..10_000_000_000, decimals in 0_u64..1_000_000_000_000, width in 0_usize..16, negative: bool) {
            let text = format!("{}{whole}.{decimals:0width$}", if negative { "-" } else { "" });
            prop_assert_eq!(parse_f64(text.as_bytes()), text.parse::<f64>().ok());
        }

        #[test]
        fn any_bytes_give_a_finite_number_or_none(bytes in proptest::collection::vec(any::<u8>(), 0..40)) {
            prop_assert!(parse_f64(&bytes).is_none_or(f64::is_finite));
        }
    }
}
