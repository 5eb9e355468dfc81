//! The fixed part of a B record (A4.1): bytes 1 to 35.
//!
//! | bytes | 1 | 2–7 | 8–15 | 16–24 | 25 | 26–30 | 31–35 |
//! |---|---|---|---|---|---|---|---|
//! | field | B | HHMMSS | DDMMmmmN | DDDMMmmmE | A/V | pressure altitude | GNSS altitude |

use super::fields::Values;
use super::hhmmss_ns;
use crate::number::parse_digits;
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
        let field = |from: usize, to: usize| head.get(from..to).unwrap_or_default();
        let of_day_ns = hhmmss_ns(field(1, 7)).ok_or("bad time")?;
        let lat = arc(field(7, 14), 2, field(14, 15), b'N', b'S').ok_or("bad latitude")?;
        let lon = arc(field(15, 23), 3, field(23, 24), b'E', b'W').ok_or("bad longitude")?;
        sane::latitude(lat.deg(0.0)).ok_or("latitude out of range")?;
        sane::longitude(lon.deg(0.0)).ok_or("longitude out of range")?;
        let valid = match field(24, 25) {
            b"A" => true,
            b"V" => false,
            _ => return Err("neither A nor V behind the position"),
        };
        Ok(Self {
            of_day_ns,
            lat,
            lon,
            valid,
            pressure_altitude_m: altitude(field(25, 30)),
            // Of a V fix the recorder writes zero here (A4.1).
            gnss_altitude_m: altitude(field(30, 35)).filter(|_| valid),
        })
    }

    pub(super) fn fill(self, fix: &mut Fix, values: &Values) {
        fix.lat_deg = self.lat.deg(values.extra_lat_milliminutes);
        fix.lon_deg = self.lon.deg(values.extra_lon_milliminutes);
        fix.pressure_altitude_m = self.pressure_altitude_m;
        fix.gnss_altitude_m = self.gnss_altitude_m;
        fix.quality = if self.valid { FixQuality::ThreeD } else { FixQuality::TwoD };
    }
}

fn arc(digits: &[u8], degree_digits: usize, letter: &[u8], positive: u8, negative: u8) -> Option<Arc> {
    let (degrees, minutes) = digits.split_at_checked(degree_digits)?;
    let degrees = u32::try_from(parse_digits(degrees)?).ok()?;
    let milliminutes = u32::try_from(parse_digits(minutes)?).ok()?;
    let sign = match letter.first() {
        Some(&l) if l == positive => 1.0,
        Some(&l) if l == negative => -1.0,
        _ => return None,
    };
    (milliminutes < 60_000).then_some(Arc { degrees, milliminutes, sign })
}

/// Five characters of metres, the first may be a minus sign.
fn altitude(text: &[u8]) -> Option<f64> {
    let (sign, digits) = match text.split_first()? {
        (b'-', digits) => (-1.0, digits),
        _ => (1.0, text),
    };
    // Exact: at most 99,999.
    sane::altitude_m(sign * parse_digits(digits)? as f64)
}
