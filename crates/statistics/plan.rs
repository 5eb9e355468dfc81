//! How many more runs, and of which cell.

use super::StatisticsError;
use super::error::positive;
use super::shared_spread::{Added, PairMixture};

#[cfg(test)]
mod tests;

/// Most runs that a plan adds; beyond it the wish is out of reach.
pub(crate) const MOST_ADDED_RUNS: usize = 200;

/// Runs to fly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CompensationPlan {
    /// More runs with the device.
    pub more_with_device: usize,
    /// More runs of the baseline.
    pub more_of_baseline: usize,
    /// Expected half-width of the 95 % interval afterwards, percentage points; `None` when still unbounded.
    pub expected_half_width: Option<f64>,
    /// Half-width of the interval as it stands; `None` when the baseline is not clearly turning.
    pub half_width_so_far: Option<f64>,
    /// Whether the wish is met within `MOST_ADDED_RUNS` more runs.
    pub within_reach: bool,
}

/// Half the length of the 95 % interval of the compensation of `pair` (device, baseline) once so many more runs of each are
/// flown, percentage points.
///
/// It is the interval of [`PairMixture::compensation`] with the variance of each mean as it will be: the spread between runs
/// is integrated as it is known now, so that no more runs is the interval as it stands, and every further run narrows it.
/// `None` for an interval without bounds.
pub fn expected_half_width(pair: &PairMixture, device: Added, baseline: Added) -> Option<f64> {
    pair.with(device, baseline).compensation().half_width()
}

/// The fewest more runs, shared out in the best way, for a half-width of at most `wished_half_width` percentage points.
/// `device_std_u` and `baseline_std_u` are the standard uncertainties of one run to come.
///
/// # Errors
/// A wish or an uncertainty that is not above zero.
pub fn plan_compensation(
    pair: &PairMixture,
    device_std_u: f64,
    baseline_std_u: f64,
    wished_half_width: f64,
) -> Result<CompensationPlan, StatisticsError> {
    let what = "a plan of runs";
    positive(what, "the wished half-width", wished_half_width)?;
    positive(what, "the uncertainty of a run", device_std_u)?;
    positive(what, "the uncertainty of a run", baseline_std_u)?;
    let order = Order::best(pair, device_std_u, baseline_std_u);
    let half_width = |added: usize| {
        let (device, baseline) = order.shares(added);
        expected_half_width(pair, device, baseline)
    };
    let met = |half: Option<f64>| half.is_some_and(|half| half <= wished_half_width);
    let within_reach = met(half_width(MOST_ADDED_RUNS));
    // Each run narrows the interval, so halving finds the fewest.
    let (mut low, mut high) = (0, MOST_ADDED_RUNS);
    while within_reach && low < high {
        let middle = (low + high) / 2;
        if met(half_width(middle)) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    let (device, baseline) = order.shares(high);
    Ok(CompensationPlan {
        more_with_device: device.runs,
        more_of_baseline: baseline.runs,
        expected_half_width: half_width(high),
        half_width_so_far: pair.compensation().half_width(),
        within_reach,
    })
}

/// Which cell each further run goes to.
struct Order {
    to_device: Vec<bool>,
    std_us: (f64, f64),
}

impl Order {
    /// Each run goes where it takes more from the variance of the ratio, V(a) + (a/b)² V(b) to first order. Both variances
    /// fall ever slower with their runs, so that going by the next step is the best division of any number (B. Fox, Management
    /// Science 13 (1966) 210-216).
    fn best(pair: &PairMixture, device_std_u: f64, baseline_std_u: f64) -> Self {
        let (device, baseline) = pair.values();
        let ratio = (device / baseline).powi(2);
        let variances = |to: (usize, usize)| {
            let with = |runs, std_u| Added { runs, std_u };
            pair.expected_variances(with(to.0, device_std_u), with(to.1, baseline_std_u))
        };
        let (mut flown, mut now) = ((0, 0), variances((0, 0)));
        let step = |_| {
            let next = variances((flown.0 + 1, flown.1 + 1));
            // From nothing, one of each comes first.
            let gain_of_device = if now.0.is_finite() { now.0 - next.0 } else { f64::INFINITY };
            let gain_of_baseline = if now.1.is_finite() { ratio * (now.1 - next.1) } else { f64::INFINITY };
            let to_device = gain_of_device >= gain_of_baseline;
            if to_device {
                flown.0 += 1;
                now.0 = next.0;
            } else {
                flown.1 += 1;
                now.1 = next.1;
            }
            to_device
        };
        Self { to_device: (0..MOST_ADDED_RUNS).map(step).collect(), std_us: (device_std_u, baseline_std_u) }
    }

    fn shares(&self, added: usize) -> (Added, Added) {
        let device = self.to_device.iter().take(added).filter(|to_device| **to_device).count();
        let (device_std_u, baseline_std_u) = self.std_us;
        (
            Added { runs: device, std_u: device_std_u },
            Added { runs: added.min(self.to_device.len()) - device, std_u: baseline_std_u },
        )
    }
}
