//! How much of the spread is between groups (flights, days), how much within them.

use super::StatisticsError;
use super::distributions::f_upper_p;
use super::error::finite;

/// One-way analysis of variance with random groups.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VarianceComponents {
    /// Sum of squares between groups.
    pub between_sum_of_squares: f64,
    /// Sum of squares within groups.
    pub within_sum_of_squares: f64,
    /// Degrees of freedom between groups.
    pub between_dof: f64,
    /// Degrees of freedom within groups.
    pub within_dof: f64,
    /// Ratio of the mean squares.
    pub f: f64,
    /// Probability of an F at least as large when groups do not differ.
    pub p: f64,
    /// Variance within groups.
    pub within_variance: f64,
    /// Variance between groups, zero where the estimate would be negative.
    pub between_variance: f64,
}

impl VarianceComponents {
    /// Share of the total variance that is between groups, per cent.
    pub fn between_share_percent(&self) -> f64 {
        let total = self.between_variance + self.within_variance;
        if total > 0.0 { 100.0 * self.between_variance / total } else { 0.0 }
    }
}

/// Splits the scatter of grouped values. Groups may differ in size: then n is replaced by
/// n₀ = (N - Σ nᵢ² / N) / (g - 1).
///
/// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 7.4.4; unequal groups: Searle, Casella and McCulloch,
/// *Variance Components* (1992), 3.6 (from memory).
///
/// # Errors
/// Fewer than two groups, no group with two values, an empty group, or a value that is not finite.
pub fn one_way(groups: &[&[f64]]) -> Result<VarianceComponents, StatisticsError> {
    let what = "the split of the spread";
    let too_few = |of, needed, got| StatisticsError::TooFew { what, of, needed, got };
    if groups.len() < 2 {
        return Err(too_few("groups", 2, groups.len()));
    }
    if groups.iter().any(|group| group.is_empty()) {
        return Err(too_few("values in a group", 1, 0));
    }
    groups.iter().copied().flatten().try_for_each(|value| finite(what, "a value", *value).map(|_| ()))?;
    let count: usize = groups.iter().map(|group| group.len()).sum();
    if count == groups.len() {
        return Err(too_few("values in some group", 2, 1));
    }
    // Taken from a value near all of them, so that large common offsets cost no digits.
    let origin = groups[0][0];
    let mean = |values: &[f64]| values.iter().map(|v| v - origin).sum::<f64>() / values.len() as f64;
    let means: Vec<f64> = groups.iter().map(|group| mean(group)).collect();
    let total = count as f64;
    let grand = means.iter().zip(groups).map(|(m, g)| m * g.len() as f64).sum::<f64>() / total;
    let between: f64 = means.iter().zip(groups).map(|(m, g)| g.len() as f64 * (m - grand).powi(2)).sum();
    let within: f64 = means.iter().zip(groups).flat_map(|(m, g)| g.iter().map(move |v| (v - origin - m).powi(2))).sum();
    let (between_dof, within_dof) = ((groups.len() - 1) as f64, (count - groups.len()) as f64);
    let within_variance = within / within_dof;
    let squares: f64 = groups.iter().map(|g| (g.len() as f64).powi(2)).sum();
    let typical_size = (total - squares / total) / between_dof;
    let f = between / between_dof / within_variance;
    Ok(VarianceComponents {
        between_sum_of_squares: between,
        within_sum_of_squares: within,
        between_dof,
        within_dof,
        f,
        p: f_upper_p(f, between_dof, within_dof),
        within_variance,
        between_variance: ((between / between_dof - within_variance) / typical_size).max(0.0),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// NIST/SEMATECH e-Handbook 7.4.4 prints 147.74 and 17.99 (rounded on the way; exact 147.7333 and 18), variance
    /// between batches 11.71 (from memory); the tolerance of 0.01 is that rounding.
    #[test]
    fn published_nist_batches() {
        let groups: [&[f64]; 5] =
            [&[74., 76., 75.], &[68., 71., 72.], &[75., 77., 77.], &[72., 74., 73.], &[79., 81., 79.]];
        let split = one_way(&groups).unwrap();
        assert!((split.between_sum_of_squares - 147.74).abs() < 0.01);
        assert!((split.within_sum_of_squares - 17.99).abs() < 0.011);
        assert!((split.f - 20.518_519).abs() < 1e-6 && (split.p - 8.246e-5).abs() < 1e-8);
        assert!((split.between_variance - 11.7111).abs() < 1e-4);
        assert!((split.between_share_percent() - 86.68).abs() < 0.005);
    }

    /// NIST StRD SiRstv, certified sums of squares and F (nine digits hold: the data carry four decimals on 196).
    #[test]
    fn published_nist_sirstv() {
        let groups: [&[f64]; 5] = [
            &[196.3052, 196.1240, 196.1890, 196.2569, 196.3403],
            &[196.3042, 196.3825, 196.1669, 196.3257, 196.0422],
            &[196.1303, 196.2005, 196.2889, 196.0343, 196.1811],
            &[196.2795, 196.1748, 196.1494, 196.1485, 195.9885],
            &[196.2119, 196.1051, 196.1850, 196.0052, 196.2090],
        ];
        let split = one_way(&groups).unwrap();
        assert!((split.between_sum_of_squares / 5.114_626_16e-2 - 1.0).abs() < 1e-8);
        assert!((split.within_sum_of_squares / 2.166_365_6e-1 - 1.0).abs() < 1e-8);
        assert!((split.f - 1.180_462_374_402_55).abs() < 1e-9);
        assert!((split.within_variance.sqrt() - 0.104_076_068_334_656).abs() < 1e-11);
        assert!((split.between_variance - 3.909_475e-4).abs() < 1e-9);
    }

    #[test]
    fn groups_alike_have_no_variance_between_them() {
        let split = one_way(&[&[1.0, 3.0], &[1.1, 3.1], &[0.9, 2.9]]).unwrap();
        assert!(split.f < 1.0);
        assert_eq!((split.between_variance, split.between_share_percent()), (0.0, 0.0));
        assert!(one_way(&[&[1.0], &[2.0]]).is_err() && one_way(&[&[1.0, 2.0]]).is_err());
    }
}
