//! One sentence: what it is, whether its checksum is right, what it says.

use crate::number::{parse_digits, parse_f64};
use crate::sane;
use crate::time::{fraction_ns, of_day_ns, parse_ddmmyy};
use chrono::NaiveDate;
use driftless_track::FixQuality;

const KNOT_MPS: f64 = 1852.0 / 3600.0;

/// The sentences that matter here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Rmc,
    Gga,
    Vtg,
    Zda,
}

impl Kind {
    /// Any talker of two characters; proprietary sentences (`P…`) are none of these.
    pub(super) fn of(text: &[u8]) -> Option<Self> {
        match text.get(..6)? {
            [b'P', ..] => None,
            [_, _, b'R', b'M', b'C', b','] => Some(Self::Rmc),
            [_, _, b'G', b'G', b'A', b','] => Some(Self::Gga),
            [_, _, b'V', b'T', b'G', b','] => Some(Self::Vtg),
            [_, _, b'Z', b'D', b'A', b','] => Some(Self::Zda),
            _ => None,
        }
    }
}

/// Outcome of the checksum; the body is what stands before `*`.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Checksum<'a> {
    Good(&'a [u8]),
    Missing(&'a [u8]),
    Wrong,
}

impl<'a> Checksum<'a> {
    /// Blanks inside of the sentence are part of it and are never trimmed away.
    pub(super) fn check(text: &'a [u8]) -> Self {
        let Some(star) = memchr::memrchr(b'*', text) else { return Self::Missing(text) };
        let (body, sum) = text.split_at(star);
        let sum = sum.get(1..3).and_then(|hex| std::str::from_utf8(hex).ok());
        let written = sum.and_then(|hex| u8::from_str_radix(hex, 16).ok());
        let computed = body.iter().fold(0, |sum, byte| sum ^ byte);
        if written == Some(computed) { Self::Good(body) } else { Self::Wrong }
    }
}

/// What a sentence says; `None` where it says nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Sentence {
    pub(super) kind: Kind,
    pub(super) talker: [u8; 2],
    pub(super) of_day_ns: Option<i64>,
    pub(super) date: Option<NaiveDate>,
    pub(super) position_deg: Option<(f64, f64)>,
    pub(super) quality: FixQuality,
    /// Above mean sea level, as GGA writes it.
    pub(super) altitude_m: Option<f64>,
    /// Of the geoid above the ellipsoid, as GGA writes it.
    pub(super) geoid_m: Option<f64>,
    pub(super) ground_speed_mps: Option<f64>,
    pub(super) course_deg: Option<f64>,
    pub(super) hdop: Option<f64>,
    /// An optional value that cannot be.
    pub(super) bad_value: Option<&'static str>,
}

impl Sentence {
    /// Parses the fields of a checked body (`GPRMC,…` without `$` and checksum), or says why not.
    pub(super) fn parse(kind: Kind, body: &[u8]) -> Result<Self, &'static str> {
        let mut fields = body.split(|&b| b == b',');
        let talker = fields.next().and_then(|address| address.first_chunk::<2>()).copied().unwrap_or_default();
        let mut sentence = Self {
            kind,
            talker,
            of_day_ns: None,
            date: None,
            position_deg: None,
            quality: FixQuality::Unstated,
            altitude_m: None,
            geoid_m: None,
            ground_speed_mps: None,
            course_deg: None,
            hdop: None,
            bad_value: None,
        };
        match kind {
            Kind::Rmc => sentence.rmc(fields)?,
            Kind::Gga => sentence.gga(fields)?,
            Kind::Vtg => sentence.vtg(fields),
            Kind::Zda => sentence.zda(fields)?,
        }
        Ok(sentence)
    }

    fn rmc<'a>(&mut self, mut fields: impl Iterator<Item = &'a [u8]>) -> Result<(), &'static str> {
        let mut next = || fields.next().unwrap_or_default();
        self.of_day_ns = time_of_day(next())?;
        let status = next();
        let [lat, north, lon, east] = [next(), next(), next(), next()];
        self.position_deg = position(lat, north, lon, east)?;
        let (speed, course, date) = (next(), next(), next());
        let (_variation, _east, mode) = (next(), next(), next());
        self.date = if date.is_empty() { None } else { Some(parse_ddmmyy(date).ok_or("bad date")?) };
        self.ground_speed_mps = self.value(speed, "speed", |kt| sane::speed_mps(kt * KNOT_MPS));
        self.course_deg = self.value(course, "course", sane::direction_deg);
        // Modes of version 2.3 on: N no fix, E dead reckoning; neither is a measured position.
        self.quality = match (status, mode) {
            (b"A", b"N" | b"E") => FixQuality::TwoD,
            (b"A", _) => FixQuality::Unstated,
            _ => FixQuality::TwoD,
        };
        Ok(())
    }

    fn gga<'a>(&mut self, mut fields: impl Iterator<Item = &'a [u8]>) -> Result<(), &'static str> {
        let mut next = || fields.next().unwrap_or_default();
        self.of_day_ns = time_of_day(next())?;
        let [lat, north, lon, east] = [next(), next(), next(), next()];
        self.position_deg = position(lat, north, lon, east)?;
        // 0 no fix, 6 dead reckoning.
        self.quality = if matches!(next(), b"0" | b"6" | b"") { FixQuality::TwoD } else { FixQuality::Unstated };
        let _satellites = next();
        let (hdop, altitude, _unit, geoid) = (next(), next(), next(), next());
        self.hdop = self.value(hdop, "hdop", |h| (h >= 0.0).then_some(h)).and_then(sane::positive);
        self.altitude_m = self.value(altitude, "altitude", sane::altitude_m);
        self.geoid_m = self.value(geoid, "geoid height", sane::altitude_m);
        Ok(())
    }

    fn vtg<'a>(&mut self, mut fields: impl Iterator<Item = &'a [u8]>) {
        let mut next = || fields.next().unwrap_or_default();
        let (course, mark, third, fourth) = (next(), next(), next(), next());
        // Before version 2.3: true course, magnetic course, knots, km/h, without letters.
        let speed = if mark == b"T" { next() } else { third };
        let _ = fourth;
        self.course_deg = self.value(course, "course", sane::direction_deg);
        self.ground_speed_mps = self.value(speed, "speed", |kt| sane::speed_mps(kt * KNOT_MPS));
    }

    fn zda<'a>(&mut self, mut fields: impl Iterator<Item = &'a [u8]>) -> Result<(), &'static str> {
        let mut next = || fields.next().unwrap_or_default();
        self.of_day_ns = time_of_day(next())?;
        let [day, month, year] = [next(), next(), next()];
        if day.is_empty() || month.is_empty() || year.is_empty() {
            return Ok(());
        }
        let number = |text| parse_digits(text).and_then(|n| u32::try_from(n).ok());
        let year = number(year).and_then(|y| i32::try_from(y).ok()).filter(|&y| crate::time::plausible_year(y));
        let date = year.and_then(|year| NaiveDate::from_ymd_opt(year, number(month)?, number(day)?));
        self.date = Some(date.ok_or("bad date")?);
        Ok(())
    }

    fn value(&mut self, text: &[u8], name: &'static str, check: impl FnOnce(f64) -> Option<f64>) -> Option<f64> {
        if text.is_empty() {
            return None;
        }
        let value = parse_f64(text).and_then(check);
        if value.is_none() {
            self.bad_value = Some(name);
        }
        value
    }
}

/// `hhmmss[.sss]`; nothing when the receiver has no clock yet.
fn time_of_day(text: &[u8]) -> Result<Option<i64>, &'static str> {
    if text.is_empty() {
        return Ok(None);
    }
    let parse = || {
        let (&[h1, h2, m1, m2, s1, s2], rest) = text.split_first_chunk::<6>()?;
        let number = |digits: [u8; 2]| parse_digits(&digits).and_then(|n| i64::try_from(n).ok());
        let fraction = match rest.split_first() {
            None => 0,
            Some((b'.', [])) => 0,
            Some((b'.', digits)) => fraction_ns(digits)?,
            Some(_) => return None,
        };
        of_day_ns(number([h1, h2])?, number([m1, m2])?, number([s1, s2])?, fraction)
    };
    parse().map(Some).ok_or("bad time")
}

/// Latitude and longitude in degrees; `Ok(None)` when all four fields are empty.
fn position(lat: &[u8], north: &[u8], lon: &[u8], east: &[u8]) -> Result<Option<(f64, f64)>, &'static str> {
    if lat.is_empty() && lon.is_empty() {
        return Ok(None);
    }
    let lat = arc(lat, 2, north, b'N', b'S').and_then(sane::latitude).ok_or("bad latitude")?;
    let lon = arc(lon, 3, east, b'E', b'W').and_then(sane::longitude).ok_or("bad longitude")?;
    Ok(Some((lat, lon)))
}

/// `ddmm.mmmm` or `dddmm.mmmm`.
fn arc(text: &[u8], degree_digits: usize, letter: &[u8], positive: u8, negative: u8) -> Option<f64> {
    let (degrees, minutes) = text.split_at_checked(degree_digits)?;
    let minutes = Some(minutes).filter(|m| m.first().is_some_and(u8::is_ascii_digit)).and_then(parse_f64)?;
    let sign = match *letter {
        [l] if l == positive => 1.0,
        [l] if l == negative => -1.0,
        _ => return None,
    };
    (minutes < 60.0).then_some(sign * (parse_digits(degrees)? as f64 + minutes / 60.0))
}
