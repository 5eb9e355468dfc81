//! Columns a recorder has but never fills are zero from end to end: they are missing, not zero.

use super::extension::Extensions;
use super::fields::Code;
use crate::builder::LogBuilder;
use crate::number::pow10;
use crate::sane;
use driftless_track::Fix;

/// A value of a fix, and where an IGC file has it from.
struct Column {
    name: &'static str,
    /// Codes that fill it; without one it is part of every B record.
    codes: &'static [Code],
    get: fn(&Fix) -> Option<f64>,
    set: fn(&mut Fix, Option<f64>),
}

/// `"name" of [codes]: field`
macro_rules! columns {
    ($($name:literal of [$($code:ident),*]: $field:ident),* $(,)?) => {
        &[$(Column {
            name: $name,
            codes: &[$(Code::$code),*],
            get: |fix| fix.$field.into(),
            set: |fix, value| fix.$field = value.into(),
        }),*]
    };
}

/// What a column has shown so far.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Found {
    Nothing,
    Zeros,
    Values,
}

const COLUMNS: &[Column] = columns![
    "pressure altitude" of []: pressure_altitude_m,
    "GNSS altitude" of []: gnss_altitude_m,
    "ground speed" of [Gsp]: ground_speed_mps,
    "course" of [Trt]: course_deg,
    "true heading" of [Hdt]: heading_true_deg,
    "magnetic heading" of [Hdm]: heading_magnetic_deg,
    "true airspeed" of [Tas]: true_airspeed_mps,
    "indicated airspeed" of [Ias]: indicated_airspeed_mps,
    "engine speed" of [Rpm]: engine_rpm,
    "engine noise" of [Enl]: engine_noise,
    "climb" of [Var, Vat]: climb_mps,
];

const DIRECTIONS: &[Column] = columns![
    "course" of [Trt]: course_deg,
    "true heading" of [Hdt]: heading_true_deg,
    "magnetic heading" of [Hdm]: heading_magnetic_deg,
];

/// Directions in fields wider than three digits: whole degrees if no value of the segment is above 360, else three
/// digits and decimals (A2.4.1).
pub(super) fn settle_directions(fixes: &mut [Fix], by: [&Extensions; 2]) {
    for column in DIRECTIONS {
        let wide = |extensions: &&Extensions| column.codes.iter().find_map(|code| extensions.wide(*code));
        let Some(width) = by.iter().find_map(wide) else { continue };
        let whole = fixes.iter().filter_map(|fix| (column.get)(fix)).all(|digits| digits <= 360.0);
        let scale = if whole { 1.0 } else { pow10(width.saturating_sub(3)) };
        for fix in fixes.iter_mut() {
            let digits = (column.get)(fix);
            (column.set)(fix, digits.map(|digits| digits / scale).and_then(sane::direction_deg));
        }
    }
}

/// Turns all-zero columns into missing ones, with a note that names them. A zero in a column that varies stays; `named` are
/// the codes of all I and J records of the file.
///
/// One or two fixes cannot tell a dead sensor from a quiet one, so nothing is done below three.
pub(super) fn forget_empty_columns(named: &[Code], builder: &mut LogBuilder) {
    if builder.fixes.len() < 3 {
        return;
    }
    let can_be = |column: &Column| column.codes.is_empty() || column.codes.iter().any(|code| named.contains(code));
    let mut open: Vec<(&Column, Found)> =
        COLUMNS.iter().filter(|column| can_be(column)).map(|column| (column, Found::Nothing)).collect();
    // One pass over the fixes for all columns, since a long log does not fit into any cache; mostly a short one.
    for fix in &builder.fixes {
        for (column, found) in &mut open {
            match (column.get)(fix) {
                Some(0.0) => *found = Found::Zeros,
                Some(_) => *found = Found::Values,
                None => {}
            }
        }
        open.retain(|(_, found)| *found != Found::Values);
        if open.is_empty() {
            return;
        }
    }
    let mut empty = Vec::new();
    for (column, _) in open.iter().filter(|(_, found)| *found == Found::Zeros) {
        builder.fixes.iter_mut().for_each(|fix| (column.set)(fix, None));
        empty.push(column.name);
    }
    if !empty.is_empty() {
        builder.note_all(
            "column-empty",
            || format!("zero from end to end, taken as not recorded: {}", empty.join(", ")),
            "",
        );
    }
}
