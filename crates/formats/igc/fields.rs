//! The codes of appendix A7 that this job uses, and how their digits are to be read.

use crate::number::{parse_digits, pow10};
use crate::sane;
use crate::time::fraction_ns;
use driftless_track::{Fix, OptionalF64};

const KMH_MPS: f64 = 1.0 / 3.6;

/// A three-letter code that means something here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Code {
    /// Fix accuracy, m, two sigma.
    Fxa,
    /// Further decimals of the minutes of latitude.
    Lad,
    /// Further decimals of the minutes of longitude (the specification also prints LOF).
    Lod,
    /// Decimals of the second.
    Tds,
    /// Engine noise level.
    Enl,
    /// Ground speed, km/h.
    Gsp,
    /// True track, ° (TRT); some recorders call it CCO.
    Trt,
    /// True heading, °.
    Hdt,
    /// Magnetic heading, °.
    Hdm,
    /// True airspeed, km/h.
    Tas,
    /// Indicated airspeed, km/h.
    Ias,
    /// Engine speed, 1/min.
    Rpm,
    /// Uncompensated variometer.
    Var,
    /// Total-energy compensated variometer; used when there is no VAR.
    Vat,
}

impl Code {
    pub(super) fn of(name: &[u8]) -> Option<Self> {
        Some(match name {
            b"FXA" => Self::Fxa,
            b"LAD" => Self::Lad,
            b"LOD" | b"LOF" => Self::Lod,
            b"TDS" => Self::Tds,
            b"ENL" => Self::Enl,
            b"GSP" => Self::Gsp,
            b"TRT" | b"CCO" => Self::Trt,
            b"HDT" => Self::Hdt,
            b"HDM" => Self::Hdm,
            b"TAS" => Self::Tas,
            b"IAS" => Self::Ias,
            b"RPM" => Self::Rpm,
            b"VAR" => Self::Var,
            b"VAT" => Self::Vat,
            _ => return None,
        })
    }
}

/// What the extensions of one line said.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Values {
    pub(super) fraction_ns: i64,
    pub(super) extra_lat_milliminutes: f64,
    pub(super) extra_lon_milliminutes: f64,
    horizontal_error_m: OptionalF64,
    engine_noise: OptionalF64,
    ground_speed_mps: OptionalF64,
    course_deg: OptionalF64,
    heading_true_deg: OptionalF64,
    heading_magnetic_deg: OptionalF64,
    true_airspeed_mps: OptionalF64,
    indicated_airspeed_mps: OptionalF64,
    engine_rpm: OptionalF64,
    climb_mps: OptionalF64,
    /// The line was too short for some field.
    pub(super) incomplete: bool,
    /// Name of a field whose digits made no sense.
    pub(super) bad: Option<&'static str>,
}

impl Values {
    pub(super) fn set(&mut self, code: Code, text: &[u8]) {
        // Blanks, dashes or stars: the recorder had nothing to say.
        if text.iter().all(|b| matches!(b, b' ' | b'-' | b'*' | b'_')) {
            return;
        }
        let good = match code {
            // Zero means that the recorder does not know.
            Code::Fxa => whole(text).map(|m| self.horizontal_error_m = sane::positive(0.5 * m).into()),
            Code::Lad => decimals(text).map(|extra| self.extra_lat_milliminutes = extra),
            Code::Lod => decimals(text).map(|extra| self.extra_lon_milliminutes = extra),
            Code::Tds => fraction_ns(text).map(|ns| self.fraction_ns = ns),
            Code::Enl => store(&mut self.engine_noise, whole(text)),
            Code::Gsp => store(&mut self.ground_speed_mps, speed_mps(text)),
            Code::Trt => store(&mut self.course_deg, direction_deg(text)),
            Code::Hdt => store(&mut self.heading_true_deg, direction_deg(text)),
            Code::Hdm => store(&mut self.heading_magnetic_deg, direction_deg(text)),
            Code::Tas => store(&mut self.true_airspeed_mps, speed_mps(text)),
            Code::Ias => store(&mut self.indicated_airspeed_mps, speed_mps(text)),
            Code::Rpm => store(&mut self.engine_rpm, whole(text)),
            Code::Var => store(&mut self.climb_mps, climb_mps(text)),
            Code::Vat => climb_mps(text).map(|climb| self.climb_mps = self.climb_mps.or(climb.into())),
        };
        if good.is_none() {
            self.bad = Some(code.name());
        }
    }

    pub(super) fn fill(&self, fix: &mut Fix) {
        fix.horizontal_error_m = self.horizontal_error_m;
        fix.engine_noise = self.engine_noise;
        fix.ground_speed_mps = self.ground_speed_mps;
        fix.course_deg = self.course_deg;
        fix.heading_true_deg = self.heading_true_deg;
        fix.heading_magnetic_deg = self.heading_magnetic_deg;
        fix.true_airspeed_mps = self.true_airspeed_mps;
        fix.indicated_airspeed_mps = self.indicated_airspeed_mps;
        fix.engine_rpm = self.engine_rpm;
        fix.climb_mps = self.climb_mps;
    }

    /// Adds the values of a K record where the B record had none.
    pub(super) fn fill_from(&mut self, slow: &Self) {
        self.horizontal_error_m = self.horizontal_error_m.or(slow.horizontal_error_m);
        self.engine_noise = self.engine_noise.or(slow.engine_noise);
        self.ground_speed_mps = self.ground_speed_mps.or(slow.ground_speed_mps);
        self.course_deg = self.course_deg.or(slow.course_deg);
        self.heading_true_deg = self.heading_true_deg.or(slow.heading_true_deg);
        self.heading_magnetic_deg = self.heading_magnetic_deg.or(slow.heading_magnetic_deg);
        self.true_airspeed_mps = self.true_airspeed_mps.or(slow.true_airspeed_mps);
        self.indicated_airspeed_mps = self.indicated_airspeed_mps.or(slow.indicated_airspeed_mps);
        self.engine_rpm = self.engine_rpm.or(slow.engine_rpm);
        self.climb_mps = self.climb_mps.or(slow.climb_mps);
        self.bad = self.bad.or(slow.bad);
    }

    /// The same for a fix that is already in the log.
    pub(super) fn fill_gaps(&self, fix: &mut Fix) {
        let mut both = Self {
            horizontal_error_m: fix.horizontal_error_m,
            engine_noise: fix.engine_noise,
            ground_speed_mps: fix.ground_speed_mps,
            course_deg: fix.course_deg,
            heading_true_deg: fix.heading_true_deg,
            heading_magnetic_deg: fix.heading_magnetic_deg,
            true_airspeed_mps: fix.true_airspeed_mps,
            indicated_airspeed_mps: fix.indicated_airspeed_mps,
            engine_rpm: fix.engine_rpm,
            climb_mps: fix.climb_mps,
            ..Self::default()
        };
        both.fill_from(self);
        both.fill(fix);
    }
}

impl Code {
    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Fxa => "FXA",
            Self::Lad => "LAD",
            Self::Lod => "LOD",
            Self::Tds => "TDS",
            Self::Enl => "ENL",
            Self::Gsp => "GSP",
            Self::Trt => "TRT",
            Self::Hdt => "HDT",
            Self::Hdm => "HDM",
            Self::Tas => "TAS",
            Self::Ias => "IAS",
            Self::Rpm => "RPM",
            Self::Var => "VAR",
            Self::Vat => "VAT",
        }
    }
}

fn store(slot: &mut OptionalF64, value: Option<f64>) -> Option<()> {
    *slot = value?.into();
    Some(())
}

fn whole(text: &[u8]) -> Option<f64> {
    parse_digits(text).map(|n| n as f64)
}

/// Digits behind the third decimal of the minutes, as a part of a thousandth of a minute.
fn decimals(text: &[u8]) -> Option<f64> {
    Some(whole(text)? / pow10(text.len()))
}

/// Three integer digits, the rest of the field are decimals (A2.4.1, `SSSsss`).
fn three_and_decimals(text: &[u8]) -> Option<f64> {
    Some(whole(text)? / pow10(text.len().saturating_sub(3)))
}

fn speed_mps(text: &[u8]) -> Option<f64> {
    sane::speed_mps(three_and_decimals(text)? * KMH_MPS)
}

/// Three digits are degrees. A wider field may hold whole degrees with more leading zeros (the specification's own
/// `KHHMMSS00090`) or decimals; only the whole column can tell, so the digits are kept as they are until
/// [`settle_directions`](super::tidy::settle_directions).
fn direction_deg(text: &[u8]) -> Option<f64> {
    if text.len() <= 3 {
        return sane::direction_deg(whole(text)?);
    }
    let digits = whole(text)?;
    (digits <= 360.0 || three_and_decimals(text)? <= 360.0).then_some(digits)
}

/// Metres per second and tenths without a dot in up to four characters (A7); a fifth character is a hundredth (seen in
/// public files, where it agrees with the change of altitude and speed).
fn climb_mps(text: &[u8]) -> Option<f64> {
    let (sign, digits) = match text.split_first()? {
        (b'-', digits) => (-1.0, digits),
        (b'+', digits) => (1.0, digits),
        _ => (1.0, text),
    };
    let scale = if text.len() >= 5 { 0.01 } else { 0.1 };
    sane::climb_mps(sign * whole(digits)? * scale)
}
