//! Columns a recorder has but never fills are zero from end to end: they are missing, not zero.

use super::extension::Extensions;
use super::fields::Code;
use crate::builder::LogBuilder;
use crate::number::pow10;
use crate::sane;
use driftless_track::Fix;

/// Where a fix keeps the value of a column.
type Slot = fn(&mut Fix) -> &mut Option<f64>;
type Column = (&'static str, Slot);

/// What a column has shown so far.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Found {
    Nothing,
    Zeros,
    Values,
}

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

/// The values of a fix in the order of [`COLUMNS`].
fn values(fix: &Fix) -> [Option<f64>; COLUMNS.len()] {
    [
        fix.pressure_altitude_m,
        fix.gnss_altitude_m,
        fix.ground_speed_mps,
        fix.course_deg,
        fix.heading_true_deg,
        fix.heading_magnetic_deg,
        fix.true_airspeed_mps,
        fix.indicated_airspeed_mps,
        fix.engine_rpm,
        fix.engine_noise,
        fix.climb_mps,
    ]
}

const DIRECTIONS: &[(Code, Slot)] = &[
    (Code::Trt, |fix| &mut fix.course_deg),
    (Code::Hdt, |fix| &mut fix.heading_true_deg),
    (Code::Hdm, |fix| &mut fix.heading_magnetic_deg),
];

/// Directions in fields wider than three digits: whole degrees if no value of the segment is above 360, else three
/// digits and decimals (A2.4.1).
pub(super) fn settle_directions(fixes: &mut [Fix], by: [&Extensions; 2]) {
    for &(code, column) in DIRECTIONS {
        let Some(width) = by.iter().find_map(|extensions| extensions.wide(code)) else { continue };
        let whole = fixes.iter_mut().filter_map(|fix| *column(fix)).all(|digits| digits <= 360.0);
        let scale = if whole { 1.0 } else { pow10(width.saturating_sub(3)) };
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
    // One pass over the fixes, not one per column: a long log does not fit into any cache.
    let mut found = [Found::Nothing; COLUMNS.len()];
    for fix in &builder.fixes {
        for (found, value) in found.iter_mut().zip(values(fix)) {
            match value {
                Some(0.0) if *found == Found::Nothing => *found = Found::Zeros,
                Some(value) if value != 0.0 => *found = Found::Values,
                _ => {}
            }
        }
    }
    let mut empty = Vec::new();
    for (_, &(name, column)) in found.iter().zip(COLUMNS).filter(|(found, _)| **found == Found::Zeros) {
        builder.fixes.iter_mut().for_each(|fix| *column(fix) = None);
        empty.push(name);
    }
    if !empty.is_empty() {
        builder.note_all(
            "column-empty",
            || format!("zero from end to end, taken as not recorded: {}", empty.join(", ")),
            "",
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_and_values_are_in_the_same_order() {
        for (index, &(name, column)) in COLUMNS.iter().enumerate() {
            let mut fix = Fix::default();
            *column(&mut fix) = Some(1.0);
            assert_eq!(values(&fix).iter().position(Option::is_some), Some(index), "{name}");
        }
    }
}
