//! What residuals that follow each other cost.

use crate::columns::sums;

/// Longest lag looked at.
const MAX_LAG: usize = 120;

/// Factor by which the white-noise variance of a mean of these residuals is too small: `1 + 2 Σ ρ_k`.
///
/// The sum runs over the autocorrelations up to the first that is not positive, with the `(1 - k/n)` taper of the
/// variance of a mean (G. Box, G. Jenkins, *Time Series Analysis*, section 2.1.5). Sample autocorrelations about a
/// fitted mean are low by about the sum itself over `n`; one step of that correction is made. Never below 1: a
/// residual that alternates is no reason to trust a fit more.
pub(crate) fn variance_inflation(residuals: &[f64]) -> f64 {
    let n = residuals.len();
    if n < 8 {
        return 1.0;
    }
    let mean = residuals.iter().sum::<f64>() / n as f64;
    let centred: Vec<f64> = residuals.iter().map(|r| r - mean).collect();
    let [variance] = sums([&centred], |[r]| [r * r]);
    if variance <= 0.0 {
        return 1.0;
    }
    let mut sum = 0.0;
    for lag in 1..(n / 3).min(MAX_LAG) {
        let [products] = sums([&centred, &centred[lag..]], |[a, b]| [a * b]);
        let rho = products / variance;
        if rho <= 0.0 {
            break;
        }
        sum += rho * (1.0 - lag as f64 / n as f64);
    }
    let first = 1.0 + 2.0 * sum;
    (first * (1.0 + first / n as f64)).clamp(1.0, n as f64 / 4.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::{RngExt, SeedableRng};

    /// For a first-order process the factor is (1 + φ)/(1 - φ); 0.83 was found in GPS tracks of soaring storks at
    /// 1 Hz (vignette of the R package moveWindSpeed).
    #[test]
    fn published_first_order_process() {
        let mut rng = rand_chacha::ChaCha8Rng::seed_from_u64(7);
        for phi in [0.0, 0.5, 0.83_f64] {
            let mut x = 0.0;
            let series: Vec<f64> = (0..200_000)
                .map(|_| {
                    x = phi * x + rng.random_range(-1.0..1.0);
                    x
                })
                .collect();
            let expected = (1.0 + phi) / (1.0 - phi);
            assert!((variance_inflation(&series) / expected - 1.0).abs() < 0.1, "phi {phi}");
        }
    }
}
