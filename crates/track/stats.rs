//! Medians, linear in the number of values.

/// Median of finite values; reorders them. `None` when there are none.
pub(crate) fn median(values: &mut [f64]) -> Option<f64> {
    quantile(values, 0.5)
}

/// Quantile `p` in `[0, 1]` by nearest rank; reorders the values. `None` when there are none.
pub(crate) fn quantile(values: &mut [f64], p: f64) -> Option<f64> {
    let last = values.len().checked_sub(1)?;
    let rank = ((last as f64) * p.clamp(0.0, 1.0)).round() as usize;
    let (_, value, _) = values.select_nth_unstable_by(rank.min(last), f64::total_cmp);
    Some(*value)
}
