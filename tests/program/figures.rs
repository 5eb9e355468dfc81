//! Figures for golden texts: rounded so far that neither another machine's last bits nor a new order of a sum moves them,
//! and so little that a figure that goes wrong does.

use serde_json::Value;

/// A value to the power of ten at or below its standard uncertainty, with that to one digit.
pub(crate) fn figure(value: &Value, std_u: &Value) -> String {
    match (value.as_f64(), std_u.as_f64()) {
        (Some(value), Some(std_u)) if std_u > 0.0 => {
            let places = -std_u.log10().floor();
            format!("{} u {}", rounded(value, places), rounded(std_u, places))
        }
        _ => "none".to_owned(),
    }
}

/// A value of which no uncertainty is told, to two digits.
pub(crate) fn two_digits(value: &Value) -> String {
    match value.as_f64() {
        Some(0.0) => "0".to_owned(),
        Some(value) => rounded(value, 1.0 - value.abs().log10().floor()),
        None => "none".to_owned(),
    }
}

fn rounded(value: f64, places: f64) -> String {
    let step = 10_f64.powf(-places);
    let decimals = places.max(0.0) as usize;
    // Adding zero turns a negative zero around.
    format!("{:.decimals$}", (value / step).round() * step + 0.0)
}

#[test]
fn figures_are_rounded_by_their_uncertainty() {
    let of = |value: f64, std_u: f64| figure(&value.into(), &std_u.into());
    assert_eq!(of(-1.6213, 0.0148), "-1.62 u 0.01");
    assert_eq!(of(233.92, 1.17), "234 u 1");
    assert_eq!(of(2677.0, 31.0), "2680 u 30");
    assert_eq!(of(-0.001, 0.02), "0.00 u 0.02");
    assert_eq!(two_digits(&0.012_34.into()), "0.012");
    assert_eq!(figure(&Value::Null, &1.0.into()), "none");
}
