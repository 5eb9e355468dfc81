//! The straight line through a series, with its uncertainty.

/// A straight line through evenly spaced samples.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Trend {
    /// Mean of the samples.
    pub mean: f64,
    /// Change of the line from first to last sample.
    pub change: f64,
    /// Standard uncertainty of `change`, correlation of neighbouring residuals allowed for.
    pub change_std_u: f64,
    /// Standard deviation of the samples about the line.
    pub scatter: f64,
}

/// Least-squares line through evenly spaced samples; `None` for fewer than four.
///
/// The residuals are taken as first-order Markov: with lag-one correlation ρ, n samples are worth n (1-ρ)/(1+ρ)
/// (G. V. Bayley, J. M. Hammersley, *The "effective" number of independent observations in an autocorrelated time
/// series*, J. R. Stat. Soc. Suppl. 8 (1946) 184-197; from memory).
pub(crate) fn trend(samples: &[f64]) -> Option<Trend> {
    let n = samples.len();
    if n < 4 {
        return None;
    }
    let count = n as f64;
    let middle = 0.5 * (count - 1.0);
    let mean = samples.iter().sum::<f64>() / count;
    let spread = count * (count * count - 1.0) / 12.0;
    let slope = samples.iter().enumerate().map(|(k, v)| (k as f64 - middle) * (v - mean)).sum::<f64>() / spread;
    let residuals: Vec<f64> = samples.iter().enumerate().map(|(k, v)| v - mean - slope * (k as f64 - middle)).collect();
    let variance = residuals.iter().map(|r| r * r).sum::<f64>() / (count - 2.0);
    let lagged = residuals.iter().zip(residuals.iter().skip(1)).map(|(a, b)| a * b).sum::<f64>() / (count - 1.0);
    // A negative correlation is not used to claim a better slope than white noise would give.
    let correlation = if variance > 0.0 { (lagged / variance).clamp(0.0, 0.95) } else { 0.0 };
    let inflation = (1.0 + correlation) / (1.0 - correlation);
    Some(Trend {
        mean,
        change: slope * (count - 1.0),
        change_std_u: (variance * inflation / spread).sqrt() * (count - 1.0),
        scatter: variance.sqrt(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn derived_a_line_is_its_own_trend() {
        let samples: Vec<f64> = (0..50).map(|k| 3.0 + 0.1 * f64::from(k)).collect();
        let line = trend(&samples).expect("enough samples");
        assert!((line.change - 4.9).abs() < 1e-12);
        assert!((line.mean - 5.45).abs() < 1e-12);
        assert!(line.scatter < 1e-12);
    }
}
