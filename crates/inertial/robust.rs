//! Small robust statistics.

/// The median; NaN when empty.
pub(crate) fn median(values: &mut [f64]) -> f64 {
    if values.is_empty() {
        return f64::NAN;
    }
    let middle = values.len() / 2;
    *values.select_nth_unstable_by(middle, f64::total_cmp).1
}

/// Standard deviation from the median absolute deviation (Gaussian consistency factor 1.4826); NaN when empty.
pub(crate) fn spread(values: &[f64]) -> f64 {
    let centre = median(&mut values.to_vec());
    let mut distances: Vec<f64> = values.iter().map(|v| (v - centre).abs()).collect();
    1.4826 * median(&mut distances)
}

/// Huber's weight of a residual in units of the spread (2.5 keeps 99 % of the efficiency on Gaussian errors).
pub(crate) fn huber(residual: f64) -> f64 {
    const LIMIT: f64 = 2.5;
    let size = residual.abs();
    if size > LIMIT { LIMIT / size } else { 1.0 }
}
