//! The spread and the weights that inertial data is judged by.

use crate::constants::HUBER_LIMIT;
use driftless_units::{huber_weight, median};

/// Standard deviation from the median absolute deviation (Gaussian consistency factor 1.4826); NaN when empty.
pub(crate) fn spread(values: &[f64]) -> f64 {
    let centre = median(values.iter().copied()).unwrap_or(f64::NAN);
    1.4826 * median(values.iter().map(|v| (v - centre).abs())).unwrap_or(f64::NAN)
}

/// Huber's weight of a residual in units of the spread.
pub(crate) fn huber(residual: f64) -> f64 {
    huber_weight(residual, HUBER_LIMIT.value)
}
