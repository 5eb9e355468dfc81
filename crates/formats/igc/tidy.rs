//! Columns a recorder has but never fills are zero from end to end: they are missing, not zero.

use super::extension::Extensions;
use super::fields::Code;
use crate::builder::LogBuilder;
use crate::sane;
use driftless_track::Fix;

/// Where a fix keeps the value of a column.
type Slot = fn(&mut Fix) -> &mut Option<f64>;
type Column = (&'static str, Slot);

const COLUMNS: &[Column] = &[
    ("pressure altitude", |fix| &mut fix.pressure_altitude_m),
    ("GNSS altitude", |fix| &mut fix.gnss_altitude_m),
    ("ground speed", |fix| &mut fix.ground_speed_mps),
    ("course", |fix| &mut fix.course_deg),
    ("true heading", |fix| &mut fix.heading_true_deg),
    ("magnetic heading", |fix| &mut fix.heading_magnetic_deg),
    ("true airspeed", |fix| &mut fix.true_airspeed_mps),
    ("indicated airspeed", |fix| &mut fix.indicated_airspeed_mps),
    ("engine speed", |fix| &mut fix.engine_rpm),
    ("engine noise", |fix| &mut fix.engine_noise),
    ("climb", |fix| &mut fix.climb_mps),
];

const DIRECTIONS: &[(Code, Slot)] = &[
    (Code::Trt, |fix| &mut fix.course_deg),
    (Code::Hdt, |fix| &mut fix.heading_true_deg),
    (Code::Hdm, |fix| &mut fix.heading_magnetic_deg),
];

/// Directions in fields wider than three digits: whole degrees if no value of the stretch is above 360, else three
/// digits and decimals (A2.4.1).
pub(super) fn settle_directions(fixes: &mut [Fix], by: [&Extensions; 2]) {
    for &(code, column) in DIRECTIONS {
        let Some(width) = by.iter().find_map(|extensions| extensions.wide(code)) else { continue };
        let whole = fixes.iter_mut().filter_map(|fix| *column(fix)).all(|digits| digits <= 360.0);
        let scale = if whole { 1.0 } else { 10_f64.powi(i32::try_from(width - 3).unwrap_or(0)) };
        for fix in fixes.iter_mut() {
            let slot = column(fix);
            *slot = slot.map(|digits| digits / scale).and_then(sane::direction_deg);
        }
    }
}

/// Turns all-zero columns into missing ones, with a note that names them. A zero in a column that varies stays.
///
/// One or two fixes cannot tell a dead sensor from a quiet one, so nothing is done below three.
pub(super) fn forget_empty_columns(builder: &mut LogBuilder) {
    if builder.fixes.len() < 3 {
        return;
    }
    let mut empty = Vec::new();
    for &(name, column) in COLUMNS {
        let mut any = false;
        let all_zero = builder.fixes.iter_mut().filter_map(|fix| *column(fix)).all(|value| {
            any = true;
            value == 0.0
        });
        if any && all_zero {
            builder.fixes.iter_mut().for_each(|fix| *column(fix) = None);
            empty.push(name);
        }
    }
    if !empty.is_empty() {
        builder.note_all(
            "column-empty",
            || format!("zero from end to end, taken as not recorded: {}", empty.join(", ")),
            "",
        );
    }
}
