//! First clock offset: two turn-rate series slid past each other, all lags at once by the Fourier transform.

use rustfft::{FftPlanner, num_complex::Complex};

/// Samples on an even grid; `None` where nothing is known.
pub(super) type Series = Vec<Option<f64>>;

/// The best lag and how far it stands out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Peak {
    /// The second series comes this many steps after the first.
    pub(super) lag: i64,
    /// Correlation there.
    pub(super) correlation: f64,
    /// Score of the best lag that is not a neighbour, over that of the peak: near 1 is ambiguous.
    pub(super) rival: f64,
}

/// What lags are looked at, and what is asked of them.
#[derive(Debug, Clone, Copy)]
pub(super) struct Search {
    pub(super) lags: [i64; 2],
    /// Fewest samples that must overlap.
    pub(super) overlap: usize,
    /// Lags this near to the peak belong to it.
    pub(super) neighbours: i64,
    /// Also take turns the other way round (sign of the second series unknown).
    pub(super) either_sign: bool,
}

/// Slides `second` along `first`. `None` when no lag has the overlap or any correlation: unknown, not zero.
///
/// The score of a lag is Fisher's z, atanh r √(n - 3), so that a short accidental likeness at the end does not beat a
/// whole flight (R. A. Fisher, Metron 1 (1921) 3-32).
pub(super) fn best_lag(first: &Series, second: &Series, search: &Search) -> Option<Peak> {
    let size = (first.len() + second.len()).next_power_of_two();
    let sums = Sums::new(first, second, size);
    let score = |lag: i64| {
        let (correlation, overlap) = sums.correlation(lag)?;
        (overlap >= search.overlap as f64).then(|| (correlation, fisher(correlation, overlap)))
    };
    let lags = || search.lags[0].max(1 - first.len() as i64)..=search.lags[1].min(second.len() as i64 - 1);
    let size_of = |score: f64| if search.either_sign { score.abs() } else { score };
    let mut best: Option<(i64, f64, f64)> = None;
    for lag in lags() {
        let Some((correlation, score)) = score(lag) else { continue };
        // Of equal scores the smallest lag wins.
        let better = |(at, _, old): (i64, f64, f64)| {
            let gain = size_of(score) - size_of(old);
            gain > 1e-9 || (gain > -1e-9 && lag.abs() < at.abs())
        };
        if size_of(score) > 1e-6 && best.is_none_or(better) {
            best = Some((lag, correlation, score));
        }
    }
    let (lag, correlation, top) = best?;
    let rival = lags()
        .filter(|l| (l - lag).abs() > search.neighbours)
        .filter_map(|l| score(l).map(|(_, s)| size_of(s)))
        .fold(0.0, f64::max);
    Some(Peak { lag, correlation, rival: rival / size_of(top) })
}

/// Correlation in units of its standard error; finite for a perfect one.
fn fisher(correlation: f64, n: f64) -> f64 {
    let most = 1.0 - 1e-9;
    correlation.clamp(-most, most).atanh() * (n - 3.0).max(0.0).sqrt()
}

/// For every lag, the sums over the overlap that a correlation needs.
struct Sums {
    n: Vec<f64>,
    x: Vec<f64>,
    y: Vec<f64>,
    xx: Vec<f64>,
    yy: Vec<f64>,
    xy: Vec<f64>,
}

impl Sums {
    fn new(first: &Series, second: &Series, size: usize) -> Self {
        let mut planner = FftPlanner::new();
        let forward = planner.plan_fft_forward(size);
        let backward = planner.plan_fft_inverse(size);
        let transform = |series: &Series, value: fn(f64) -> f64| {
            let mut buffer: Vec<Complex<f64>> = series
                .iter()
                .map(|v| Complex::new(v.map_or(0.0, value), 0.0))
                .chain(std::iter::repeat(Complex::new(0.0, 0.0)))
                .take(size)
                .collect();
            forward.process(&mut buffer);
            buffer
        };
        let spectra = |series| [transform(series, |_| 1.0), transform(series, |v| v), transform(series, |v| v * v)];
        let ([m1, x1, xx1], [m2, x2, xx2]) = (spectra(first), spectra(second));
        let product = |a: &[Complex<f64>], b: &[Complex<f64>]| {
            let mut buffer: Vec<Complex<f64>> = a.iter().zip(b).map(|(a, b)| a.conj() * b).collect();
            backward.process(&mut buffer);
            buffer.into_iter().map(|c| c.re / size as f64).collect::<Vec<f64>>()
        };
        Self {
            n: product(&m1, &m2),
            x: product(&x1, &m2),
            y: product(&m1, &x2),
            xx: product(&xx1, &m2),
            yy: product(&m1, &xx2),
            xy: product(&x1, &x2),
        }
    }

    /// Correlation of the overlap at a lag, and how many samples overlap.
    fn correlation(&self, lag: i64) -> Option<(f64, f64)> {
        let at = lag.rem_euclid(self.n.len() as i64) as usize;
        let n = self.n[at].round();
        if n < 2.0 {
            return None;
        }
        let covariance = self.xy[at] - self.x[at] * self.y[at] / n;
        let variance_x = self.xx[at] - self.x[at] * self.x[at] / n;
        let variance_y = self.yy[at] - self.y[at] * self.y[at] / n;
        // Below this a series does not vary within the overlap but for the rounding of the transform.
        let least = 1e-9 * self.xx[at].max(self.yy[at]).max(1e-9);
        let known = variance_x > least && variance_y > least;
        known.then(|| (covariance / (variance_x * variance_y).sqrt(), n))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn series(values: &[f64]) -> Series {
        values.iter().map(|&v| Some(v)).collect()
    }

    /// Nothing stands before and behind the published examples, which are correlated as if that were zeros.
    fn in_zeros(values: &[f64]) -> Series {
        let zeros = || std::iter::repeat_n(Some(0.0), 20);
        zeros().chain(series(values)).chain(zeros()).collect()
    }

    fn peak(first: &[f64], second: &[f64]) -> Option<Peak> {
        let search = Search { lags: [-12, 12], overlap: 20, neighbours: 1, either_sign: false };
        best_lag(&in_zeros(first), &in_zeros(second), &search)
    }

    fn lag(first: &[f64], second: &[f64]) -> Option<i64> {
        peak(first, second).map(|p| p.lag)
    }

    /// Examples of the MATLAB reference page of `finddelay` (positive: the second comes late).
    #[test]
    fn published_delays() {
        assert_eq!(lag(&[1.0, 2.0, 3.0], &[0.0, 0.0, 1.0, 2.0, 3.0]), Some(2));
        assert_eq!(lag(&[0.0, 0.0, 0.0, 1.0, 2.0, 3.0, 0.0, 0.0], &[1.0, 2.0, 3.0, 0.0]), Some(-3));
        assert_eq!(lag(&[0.0, 0.0, 1.0, 2.0, 3.0, 0.0], &[0.02, 0.12, 1.08, 2.21, 2.95, -0.09]), Some(0));
    }

    /// The tie of the same page, as good at -1 as at +6: not decided, but seen to be ambiguous.
    #[test]
    fn published_tie_is_ambiguous() {
        let peak = peak(&[0.0, 1.0, 2.0, 3.0], &[1.0, 2.0, 3.0, 0.0, 0.0, 0.0, 0.0, 1.0, 2.0, 3.0, 0.0, 0.0]).unwrap();
        assert!([-1, 6].contains(&peak.lag) && peak.rival > 0.95, "{peak:?}");
    }

    /// A sine and the same a twentieth of a period early at 100 Hz (MATLAB Answers 19599 asks for x against y, +5 there).
    #[test]
    fn published_shift_of_a_sine() {
        let tau = std::f64::consts::TAU;
        let at =
            |phase: f64| series(&(0..=100).map(|k| (tau * f64::from(k) / 100.0 + phase).sin()).collect::<Vec<_>>());
        let search = Search { lags: [-20, 20], overlap: 80, neighbours: 20, either_sign: false };
        let peak = best_lag(&at(0.0), &at(tau / 20.0), &search).unwrap();
        assert!(peak.lag == -5 && peak.correlation > 0.9999, "{peak:?}");
    }

    /// Nothing to correlate is unknown, not lag 0 (MATLAB Answers 234687).
    #[test]
    fn published_zero_correlation_is_unknown() {
        assert_eq!(lag(&[0.0; 20], &[1.0, 2.0, 3.0, 2.0, 1.0]), None);
        assert_eq!(lag(&[0.0; 20], &[0.0; 20]), None);
    }

    /// Gaps weigh nothing, and a series turned over is found when the sign is open.
    #[test]
    fn gaps_and_signs() {
        let wave = |k: i64| ((k as f64) * 0.37).sin() + ((k as f64) * 0.113).cos();
        let first: Series = (0..400).map(|k| (k % 50 > 6).then(|| wave(k))).collect();
        let second: Series = (0..400).map(|k| (k % 70 > 10).then(|| -wave(k - 37))).collect();
        let mut search = Search { lags: [-200, 200], overlap: 100, neighbours: 10, either_sign: true };
        let peak = best_lag(&first, &second, &search).unwrap();
        assert!(peak.lag == 37 && peak.correlation < -0.999, "{peak:?}");
        search.either_sign = false;
        assert!(best_lag(&first, &second, &search).is_none_or(|p| p.lag != 37));
    }
}
