//! Medians, quantiles and weights that single wrong values do not move far.

/// The median of the finite values; `None` when there are none. Of an even number the upper of the middle two: it is always
/// one of the values. Linear in their number.
pub fn median(values: impl IntoIterator<Item = f64>) -> Option<f64> {
    quantile(values, 0.5)
}

/// The quantile `share` (0 to 1) of the finite values, by nearest rank; `None` when there are none. Linear in their number.
///
/// ```
/// use driftless_units::{median, quantile};
/// assert_eq!(median([3.0, f64::NAN, 1.0, 2.0]), Some(2.0));
/// assert_eq!(quantile([4.0, 1.0, 2.0, 3.0], 0.9), Some(4.0));
/// assert_eq!(median([]), None);
/// ```
pub fn quantile(values: impl IntoIterator<Item = f64>, share: f64) -> Option<f64> {
    // Selected on integers that sort as the numbers do (IEEE 754-2008, section 5.10: total order), which is quicker.
    let flipped = |bits: i64| bits ^ (((bits >> 63) as u64) >> 1) as i64;
    let finite = values.into_iter().filter(|v| v.is_finite());
    let mut keys: Vec<i64> = finite.map(|v| flipped(v.to_bits() as i64)).collect();
    let last = keys.len().checked_sub(1)?;
    let rank = (last as f64 * share.clamp(0.0, 1.0)).round() as usize;
    let (_, key, _) = keys.select_nth_unstable(rank.min(last));
    Some(f64::from_bits(flipped(*key) as u64))
}

/// Huber's weight of a residual: 1 up to the limit, falling as its inverse beyond, so that the pull of a residual stops growing
/// there (P. J. Huber, Ann. Math. Statist. 35 (1964) 73-101). Both in the same unit, mostly standard deviations.
pub fn huber_weight(residual: f64, limit: f64) -> f64 {
    let size = residual.abs();
    if size > limit { limit / size } else { 1.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranks_are_those_of_the_sorted_values() {
        let values = [7.0, f64::INFINITY, 1.0, 5.0, 3.0];
        for (share, value) in [(0.0, 1.0), (0.2, 3.0), (0.5, 5.0), (0.66, 5.0), (1.0, 7.0), (9.0, 7.0)] {
            assert_eq!(quantile(values, share), Some(value), "{share}");
        }
        assert_eq!(median([1.0, 2.0]), Some(2.0));
        assert_eq!(median([f64::NAN]), None);
    }

    /// The pull, weight times residual, is the residual itself and then the limit.
    #[test]
    fn derived_the_pull_of_a_residual_is_limited() {
        for residual in [-40.0, -1.9, 0.0, 0.3, 2.0, 2.1, 1e9] {
            let pull = huber_weight(residual, 2.0) * residual;
            assert!((pull - residual.clamp(-2.0, 2.0)).abs() < 1e-12, "{residual}");
        }
    }

    #[test]
    fn derived_the_median_keeps_signs_and_takes_the_upper_middle() {
        assert_eq!(median([3.0, -7.5, -0.25]), Some(-0.25));
        assert_eq!(median([4.0, 1.0, 3.0, 2.0]), Some(3.0));
        assert_eq!(median([-4.0, -1.0, f64::INFINITY, f64::NEG_INFINITY]), Some(-1.0));
    }
}
