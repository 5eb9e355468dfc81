//! Means over windows, with standard errors that know that the windows of a flight err together.

/// A figure and its standard error.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure {
    /// The figure; NaN when there was nothing to make it from.
    pub value: f64,
    /// Its standard error.
    pub std_error: f64,
    /// How many values went into it.
    pub count: usize,
}

/// Mean of all values; `flights` holds the values of each flight.
///
/// The standard error takes flights as the independent units: the mean is a ratio of two sums over flights, whose
/// linearised variance is F/(F-1) Σ (s_f - m n_f)² / N² (Cochran, *Sampling Techniques*, 3rd ed. 1977, chapter 6 and
/// section 9A; from memory, and checked in the tests against drawn flights).
pub fn mean(flights: &[Vec<f64>]) -> Figure {
    let count: usize = flights.iter().map(Vec::len).sum();
    let total: f64 = flights.iter().flatten().sum();
    let value = total / count as f64;
    let used = flights.iter().filter(|f| !f.is_empty()).count() as f64;
    let spread: f64 = flights.iter().map(|f| (f.iter().sum::<f64>() - value * f.len() as f64).powi(2)).sum();
    let std_error = (used / (used - 1.0) * spread).sqrt() / count as f64;
    Figure { value, std_error, count }
}

/// Root mean square of all values; its standard error follows from that of the mean square.
pub fn rms(flights: &[Vec<f64>]) -> Figure {
    let squares: Vec<Vec<f64>> = flights.iter().map(|f| f.iter().map(|v| v * v).collect()).collect();
    let square = mean(&squares);
    let value = square.value.sqrt();
    Figure { value, std_error: square.std_error / (2.0 * value), count: square.count }
}

/// Share of true values.
pub fn share(flights: &[Vec<bool>]) -> Figure {
    let numbers: Vec<Vec<f64>> = flights.iter().map(|f| f.iter().map(|v| f64::from(u8::from(*v))).collect()).collect();
    mean(&numbers)
}

/// Ratio of the root mean squares of two values that belong together.
pub fn rms_ratio(flights: &[Vec<(f64, f64)>]) -> Figure {
    let part = |pick: fn(&(f64, f64)) -> f64| -> Vec<Vec<f64>> {
        flights.iter().map(|f| f.iter().map(|pair| pick(pair).powi(2)).collect()).collect()
    };
    let (above, below) = (mean(&part(|p| p.0)), mean(&part(|p| p.1)));
    let ratio = above.value / below.value;
    let left: Vec<Vec<f64>> =
        flights.iter().map(|f| f.iter().map(|p| p.0 * p.0 - ratio * p.1 * p.1).collect()).collect();
    let value = ratio.sqrt();
    Figure { value, std_error: mean(&left).std_error / below.value / (2.0 * value), count: above.count }
}

/// Ratio of the root mean squares of two kinds of flights, paired by flight (same seed): what they share cancels in the
/// standard error, as in [`mean`].
pub(crate) fn paired_rms_ratio(above: &[Vec<f64>], below: &[Vec<f64>]) -> Figure {
    let square = |flights: &[Vec<f64>]| {
        let squares: Vec<Vec<f64>> = flights.iter().map(|f| f.iter().map(|v| v * v).collect()).collect();
        let figure = mean(&squares);
        let off: Vec<f64> = squares
            .iter()
            .map(|f| (f.iter().sum::<f64>() - figure.value * f.len() as f64) / (figure.count as f64 * figure.value))
            .collect();
        (figure, off)
    };
    let ((a, off_a), (b, off_b)) = (square(above), square(below));
    let used = off_a.len() as f64;
    let spread: f64 = off_a.iter().zip(&off_b).map(|(x, y)| (x - y).powi(2)).sum();
    let value = (a.value / b.value).sqrt();
    Figure { value, std_error: 0.5 * value * (used / (used - 1.0) * spread).sqrt(), count: a.count }
}

/// Median; its standard error is half the distance between the order statistics √n/2 ranks to either side, one
/// standard deviation of the binomial rank.
pub fn median(values: impl IntoIterator<Item = f64>) -> Figure {
    let mut sorted: Vec<f64> = values.into_iter().filter(|v| v.is_finite()).collect();
    sorted.sort_by(f64::total_cmp);
    let n = sorted.len();
    let Some(last) = n.checked_sub(1) else {
        return Figure { value: f64::NAN, std_error: f64::NAN, count: 0 };
    };
    let at = |rank: f64| sorted[(rank.round().max(0.0) as usize).min(last)];
    let middle = 0.5 * last as f64;
    let reach = 0.5 * (n as f64).sqrt();
    let value = 0.5 * (at(middle.floor()) + at(middle.ceil()));
    Figure { value, std_error: 0.5 * (at(middle + reach) - at(middle - reach)), count: n }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand_chacha::ChaCha8Rng;
    use rand_chacha::rand_core::SeedableRng;
    use rand_distr::{Distribution, StandardNormal};

    /// Flights whose windows share half of their variance: the stated standard error of the mean against the scatter of
    /// 2,000 drawn means, whose own relative error is 1/√4000 = 1.6 %. Taking windows for independent would be 1.6 times
    /// too small.
    #[test]
    fn simulated_standard_error_knows_that_windows_of_a_flight_err_together() {
        let mut rng = ChaCha8Rng::seed_from_u64(7);
        let mut normal = || -> f64 { StandardNormal.sample(&mut rng) };
        let runs = 2000;
        let (mut means, mut stated, mut rms_scatter, mut rms_stated) = (0.0, 0.0, Vec::new(), 0.0);
        for _ in 0..runs {
            let flights: Vec<Vec<f64>> = (0..50)
                .map(|k| {
                    let shared = normal();
                    (0..3 + k % 3).map(|_| (shared + normal()) * 0.5_f64.sqrt()).collect()
                })
                .collect();
            let figure = mean(&flights);
            means += figure.value * figure.value / f64::from(runs);
            stated += figure.std_error * figure.std_error / f64::from(runs);
            let figure = rms(&flights);
            rms_scatter.push(figure.value);
            rms_stated += figure.std_error * figure.std_error / f64::from(runs);
        }
        assert!((stated / means - 1.0).abs() < 0.12, "{stated} against {means}");
        let middle = rms_scatter.iter().sum::<f64>() / f64::from(runs);
        let scatter = rms_scatter.iter().map(|v| (v - middle).powi(2)).sum::<f64>() / f64::from(runs);
        assert!((rms_stated / scatter - 1.0).abs() < 0.12, "{rms_stated} against {scatter}");
    }

    #[test]
    fn median_of_many_normals_has_its_standard_error() {
        let mut rng = ChaCha8Rng::seed_from_u64(8);
        let mut draw = || -> Vec<f64> { (0..401).map(|_| StandardNormal.sample(&mut rng)).collect() };
        let figures: Vec<Figure> = (0..500).map(|_| median(draw())).collect();
        // √(π/2n) for a normal sample.
        let expected = (std::f64::consts::FRAC_PI_2 / 401.0).sqrt();
        let stated = figures.iter().map(|f| f.std_error).sum::<f64>() / 500.0;
        assert!((stated / expected - 1.0).abs() < 0.05, "{stated} against {expected}");
        let scatter = (figures.iter().map(|f| f.value * f.value).sum::<f64>() / 500.0).sqrt();
        assert!((scatter / expected - 1.0).abs() < 0.10, "{scatter} against {expected}");
        assert_eq!(median([3.0, f64::NAN, 1.0, 2.0]).value, 2.0);
        assert!(median([]).value.is_nan());
    }

    #[test]
    fn ratio_of_root_mean_squares() {
        let (above, below) = (vec![vec![2.0, 4.0], vec![-6.0]], vec![vec![1.0, -2.0], vec![3.0]]);
        let figure = paired_rms_ratio(&above, &below);
        assert!((figure.value - 2.0).abs() < 1e-12 && figure.std_error.abs() < 1e-12);
        let figure = rms_ratio(&[vec![(2.0, 1.0), (4.0, 2.0)], vec![(-6.0, 3.0)]]);
        assert!((figure.value - 2.0).abs() < 1e-12 && figure.std_error.abs() < 1e-12);
    }
}
