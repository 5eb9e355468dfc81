//! The fixed part of a B record (A4.1): bytes 1 to 35.
//!
//! | bytes | 1 | 2–7 | 8–15 | 16–24 | 25 | 26–30 | 31–35 |
//! |---|---|---|---|---|---|---|---|
//! | field | B | HHMMSS | DDMMmmmN | DDDMMmmmE | A/V | pressure altitude | GNSS altitude |

use super::fields::Values;
use super::hhmmss_ns;
use crate::sane;
use driftless_track::{Fix, FixQuality};

/// Where the fixed part ends; extensions begin here (0-based).
pub(super) const END: usize = 35;

/// A position as written, before the extra digits of LAD and LOD.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Position {
    pub(super) of_day_ns: i64,
    lat: Arc,
    lon: Arc,
    valid: bool,
    pressure_altitude_m: Option<f64>,
    gnss_altitude_m: Option<f64>,
}

/// Whole degrees, thousandths of minutes, and the sign of the hemisphere.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Arc {
    degrees: u32,
    milliminutes: u32,
    sign: f64,
}

impl Arc {
    /// Degrees, with `extra` thousandths of a minute (below 1) behind the written ones.
    fn deg(self, extra: f64) -> f64 {
        self.sign * (f64::from(self.degrees) + (f64::from(self.milliminutes) + extra) / 60_000.0)
    }
}

impl Position {
    /// Parses the fixed part, or says what is wrong with it.
    pub(super) fn parse(line: &[u8]) -> Result<Self, &'static str> {
        let Some((head, _)) = line.split_first_chunk::<END>() else { return Err("too short") };
        #[rustfmt::skip]
        let [
            _, h1, h2, m1, m2, s1, s2,
            p1, p2, q1, q2, q3, q4, q5, north,
            l1, l2, l3, n1, n2, n3, n4, n5, east,
            validity, b1, b2, b3, b4, b5, g1, g2, g3, g4, g5,
        ] = *head;
        let of_day_ns = hhmmss_ns(&[h1, h2, m1, m2, s1, s2]).ok_or("bad time")?;
        let lat = arc([p1, p2], [q1, q2, q3, q4, q5], north, b'N', b'S').ok_or("bad latitude")?;
        let lon = arc([l1, l2, l3], [n1, n2, n3, n4, n5], east, b'E', b'W').ok_or("bad longitude")?;
        sane::latitude(lat.deg(0.0)).ok_or("latitude out of range")?;
        sane::longitude(lon.deg(0.0)).ok_or("longitude out of range")?;
        let valid = match validity {
            b'A' => true,
            b'V' => false,
            _ => return Err("neither A nor V behind the position"),
        };
        Ok(Self {
            of_day_ns,
            lat,
            lon,
            valid,
            pressure_altitude_m: altitude([b1, b2, b3, b4, b5]),
            // Of a V fix the recorder writes zero here (A4.1).
            gnss_altitude_m: altitude([g1, g2, g3, g4, g5]).filter(|_| valid),
        })
    }

    pub(super) fn fill(self, fix: &mut Fix, values: &Values) {
        fix.lat_deg = self.lat.deg(values.extra_lat_milliminutes);
        fix.lon_deg = self.lon.deg(values.extra_lon_milliminutes);
        fix.pressure_altitude_m = self.pressure_altitude_m.into();
        fix.gnss_altitude_m = self.gnss_altitude_m.into();
        fix.quality = if self.valid { FixQuality::ThreeD } else { FixQuality::TwoD };
    }
}

/// Degrees of two or three digits, and thousandths of minutes.
fn arc<const DIGITS: usize>(
    degrees: [u8; DIGITS],
    milliminutes: [u8; 5],
    letter: u8,
    positive: u8,
    negative: u8,
) -> Option<Arc> {
    let degrees = number(degrees)?;
    let milliminutes = number(milliminutes)?;
    let sign = match letter {
        l if l == positive => 1.0,
        l if l == negative => -1.0,
        _ => return None,
    };
    (milliminutes < 60_000).then_some(Arc { degrees, milliminutes, sign })
}

/// Five characters of metres, the first may be a minus sign.
fn altitude(text: [u8; 5]) -> Option<f64> {
    let [first, b, c, d, e] = text;
    let (sign, metres) = match first {
        b'-' => (-1.0, number([b, c, d, e])?),
        _ => (1.0, number(text)?),
    };
    sane::altitude_m(sign * f64::from(metres))
}

/// Digits and nothing else; as many as a B record has together, which is no more than five.
fn number<const WIDTH: usize>(digits: [u8; WIDTH]) -> Option<u32> {
    let mut value = 0;
    let mut good = true;
    for byte in digits {
        let digit = byte.wrapping_sub(b'0');
        good &= digit <= 9;
        value = value * 10 + u32::from(digit);
    }
    good.then_some(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every character of a good record set to every byte: digits stay digits, and nothing else is taken for one.
    #[test]
    fn each_character_is_looked_at() {
        let good = b"B1101355206343N00006198EA0058700558";
        assert!(Position::parse(good).is_ok());
        for at in 1..good.len() {
            for byte in 0..=u8::MAX {
                let mut line = *good;
                line[at] = byte;
                let digit = byte.is_ascii_digit();
                let may = match at {
                    14 => matches!(byte, b'N' | b'S'),
                    23 => matches!(byte, b'E' | b'W'),
                    24 => matches!(byte, b'A' | b'V'),
                    // Altitudes that are no numbers are missing.
                    25.. => true,
                    // Hours, minutes, seconds (60 is a leap second), degrees and minutes have their ranges.
                    1 => matches!(byte, b'0'..=b'2'),
                    3 | 9 | 18 => matches!(byte, b'0'..=b'5'),
                    5 => matches!(byte, b'0'..=b'5'),
                    7 => matches!(byte, b'0'..=b'8'),
                    15 => matches!(byte, b'0' | b'1'),
                    _ => digit,
                };
                assert_eq!(Position::parse(&line).is_ok(), may, "byte {byte} at {at}");
                if at >= 25 && !digit {
                    let position = Position::parse(&line).expect("a position");
                    let altitudes = (position.pressure_altitude_m, position.gnss_altitude_m);
                    let minus = byte == b'-' && matches!(at, 25 | 30);
                    assert_eq!((altitudes.0.is_none(), altitudes.1.is_none()), (at < 30 && !minus, at >= 30 && !minus));
                }
            }
        }
    }
}
