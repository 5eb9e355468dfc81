//! The overlapping Allan deviation of evenly sampled rates.

use crate::constants::{ALLAN_FEWEST_GROUPS, ALLAN_POINTS_PER_DECADE};

/// One point of the curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AllanPoint {
    /// Averaging time, seconds.
    pub tau_s: f64,
    /// Deviation, in the unit of the rates.
    pub deviation: f64,
    /// Relative standard error of the deviation: 1/√(2 (N/m - 1)) for N samples averaged in groups of m (IEEE Std
    /// 952-1997, annex C, from memory). That is the count of groups that do not overlap, so it errs to the safe side.
    pub relative_std_u: f64,
}

/// The curve from one sample to a ninth of the data, logarithmically spaced. `rates` are evenly sampled each
/// `interval_s`. Empty when there are fewer than nine samples.
pub fn overlapping(rates: &[f64], interval_s: f64) -> Vec<AllanPoint> {
    let sums = cumulated(rates);
    let most = rates.len() / ALLAN_FEWEST_GROUPS.count();
    let mut points: Vec<AllanPoint> = Vec::new();
    let mut step = 0.0;
    loop {
        let m = 10_f64.powf(step / ALLAN_POINTS_PER_DECADE.value).round() as usize;
        step += 1.0;
        if m > most {
            return points;
        }
        let tau_s = m as f64 * interval_s;
        if points.last().is_some_and(|p| p.tau_s >= tau_s) {
            continue;
        }
        let groups = rates.len() as f64 / m as f64;
        points.push(AllanPoint {
            tau_s,
            deviation: two_sample(&sums, m, 1),
            relative_std_u: 1.0 / (2.0 * (groups - 1.0)).sqrt(),
        });
    }
}

/// Sums of the rates from the start ("phase" over the interval), one more than there are rates. The mean is taken
/// off first, which changes no difference and keeps digits.
fn cumulated(rates: &[f64]) -> Vec<f64> {
    let mean = rates.iter().sum::<f64>() / rates.len().max(1) as f64;
    let mut sum = 0.0;
    std::iter::once(0.0)
        .chain(rates.iter().map(|rate| {
            sum += rate - mean;
            sum
        }))
        .collect()
}

/// Square root of half the mean square difference of neighbouring means of `m` samples, taken at every `stride`-th
/// place: NIST SP 1065, equation 11 (stride 1, overlapping) and equation 7 (stride m).
fn two_sample(sums: &[f64], m: usize, stride: usize) -> f64 {
    let places = sums.len().saturating_sub(2 * m);
    let (mut squares, mut count) = (0.0, 0.0);
    for i in (0..places).step_by(stride) {
        let difference = (sums[i + 2 * m] - 2.0 * sums[i + m] + sums[i]) / m as f64;
        squares += difference * difference;
        count += 1.0;
    }
    (0.5 * squares / count).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// NIST SP 1065 (2008), section 12.4, p. 107, 10-point frequency data, printed to seven digits there (1e-6 relative).
    #[test]
    fn published_ten_points() {
        let rates = [892.0, 809.0, 823.0, 798.0, 671.0, 644.0, 883.0, 903.0, 677.0];
        let sums = cumulated(&rates);
        for (m, plain, over) in [(1, 91.22945, 91.22945), (2, 115.8082, 85.95287)] {
            let close = |value: f64, printed: f64| (value / printed - 1.0).abs() < 1e-6;
            assert!(close(two_sample(&sums, m, m), plain), "{}", two_sample(&sums, m, m));
            assert!(close(two_sample(&sums, m, 1), over), "{}", two_sample(&sums, m, 1));
        }
    }

    /// NIST SP 1065 (2008), section 12.4, p. 108, 1000-point data of the generator n' = 16807 n mod 2147483647, seven digits.
    #[test]
    fn published_thousand_points() {
        let mut n = 1_234_567_890_u64;
        let rates: Vec<f64> = (0..1000)
            .map(|_| {
                let y = n as f64 / 2_147_483_647.0;
                n = 16_807 * n % 2_147_483_647;
                y
            })
            .collect();
        let sums = cumulated(&rates);
        let printed =
            [(1, 2.922_319e-1, 2.922_319e-1), (10, 9.965_736e-2, 9.159_953e-2), (100, 3.897_804e-2, 3.241_343e-2)];
        for (m, plain, over) in printed {
            let close = |value: f64, printed: f64| (value / printed - 1.0).abs() < 1e-6;
            assert!(close(two_sample(&sums, m, m), plain), "{}", two_sample(&sums, m, m));
            assert!(close(two_sample(&sums, m, 1), over), "{}", two_sample(&sums, m, 1));
        }
        let curve = overlapping(&rates, 1.0);
        let ten = curve.iter().find(|p| p.tau_s == 10.0).unwrap();
        assert!((ten.deviation / 9.159_953e-2 - 1.0).abs() < 1e-6);
    }

    #[test]
    fn a_curve_has_rising_times_and_enough_groups() {
        let rates: Vec<f64> = (0..1000).map(|k| f64::from(k % 7)).collect();
        let curve = overlapping(&rates, 0.01);
        assert!(curve.windows(2).all(|w| w[1].tau_s > w[0].tau_s));
        assert!(curve.last().is_some_and(|p| p.tau_s <= 1.11 && p.relative_std_u < 0.26));
        assert!(overlapping(&rates[..8], 0.01).is_empty());
    }
}
