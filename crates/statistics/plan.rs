//! How many more runs, and of which cell.

use super::StatisticsError;
use super::distributions::welch_satterthwaite_dof;
use super::error::{finite, positive};
use super::stopwatch::{StopwatchErrors, one_lap_std_u};
use driftless_units::coverage_factor;

#[cfg(test)]
mod tests;

/// Most runs that a plan adds; beyond it the wish is out of reach.
pub(crate) const MOST_ADDED_RUNS: usize = 200;

/// Fewest runs of a cell for its scatter to say anything.
const FEWEST_RUNS: usize = 2;

/// A cell as known so far.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CellSoFar {
    /// Its turn, °/s.
    pub turn: f64,
    /// Spread between runs, standard deviation. From few runs it is often found zero by chance, and the plan is then too
    /// hopeful: where several cells have repeats, give their common spread.
    pub between_run_sd: f64,
    /// Uncertainty of one typical run.
    pub within_run_std_u: f64,
    /// Runs flown.
    pub runs: usize,
}

impl CellSoFar {
    fn run_sd(&self) -> f64 {
        self.between_run_sd.hypot(self.within_run_std_u)
    }

    /// The same cell to be timed by hand from the start: `degrees` per run with these errors.
    pub fn timed_by_hand(&self, degrees: f64, errors: &StopwatchErrors) -> Self {
        Self { within_run_std_u: one_lap_std_u(self.turn, degrees, errors), runs: 0, ..*self }
    }
}

/// Runs to fly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CompensationPlan {
    /// More runs with the device.
    pub more_with_device: usize,
    /// More runs of the baseline.
    pub more_of_baseline: usize,
    /// Expected half-width of the 95 % interval afterwards, percentage points; `None` when still unbounded.
    pub expected_half_width: Option<f64>,
    /// Half-width expected from the runs so far; `None` when there are too few, or the baseline is not clearly turning.
    pub half_width_so_far: Option<f64>,
    /// Whether the wish is met within `MOST_ADDED_RUNS` more runs.
    pub within_reach: bool,
}

/// Half the length of the 95 % Fieller interval of the compensation that so many runs of each cell lead one to expect.
///
/// Each cell's mean has variance (τ² + s²)/n and n - 1 degrees of freedom, as Hartung-Knapp will give it; the contrast
/// has Welch-Satterthwaite's. `None` for fewer than two runs of a cell or an interval without bounds.
pub fn expected_half_width(
    device: &CellSoFar,
    device_runs: usize,
    baseline: &CellSoFar,
    baseline_runs: usize,
) -> Option<f64> {
    if device_runs < FEWEST_RUNS || baseline_runs < FEWEST_RUNS {
        return None;
    }
    let (n_a, n_b) = (device_runs as f64, baseline_runs as f64);
    let (v_a, v_b) = (device.run_sd().powi(2) / n_a, baseline.run_sd().powi(2) / n_b);
    let ratio = device.turn / baseline.turn;
    let dof = welch_satterthwaite_dof(&[(v_a, n_a - 1.0), (ratio * ratio * v_b, n_b - 1.0)]);
    let t = coverage_factor(0.95, dof);
    let g = (coverage_factor(0.95, n_b - 1.0) / baseline.turn).powi(2) * v_b;
    if g.is_nan() || g >= 1.0 {
        return None;
    }
    let half = t / baseline.turn.abs() * (v_a + ratio * ratio * v_b - g * v_a).max(0.0).sqrt() / (1.0 - g);
    Some(100.0 * half)
}

/// The fewest more runs, shared out in the best way, for a half-width of at most `wished_half_width` percentage points.
///
/// # Errors
/// A wish or a spread that is not above zero, or a turn that is no number.
pub fn plan_compensation(
    device: &CellSoFar,
    baseline: &CellSoFar,
    wished_half_width: f64,
) -> Result<CompensationPlan, StatisticsError> {
    let what = "a plan of runs";
    positive(what, "the wished half-width", wished_half_width)?;
    for cell in [device, baseline] {
        finite(what, "a turn", cell.turn)?;
        positive(what, "the uncertainty of a run", cell.run_sd())?;
    }
    let so_far = expected_half_width(device, device.runs, baseline, baseline.runs);
    let met = |share: &Share| share.half_width.is_some_and(|half| half <= wished_half_width);
    let most = best_share(device, baseline, MOST_ADDED_RUNS);
    // More runs never widen the best interval, so halving finds the fewest.
    let (mut low, mut high, mut best) = (0, MOST_ADDED_RUNS, most);
    while low < high && met(&most) {
        let middle = (low + high) / 2;
        let share = best_share(device, baseline, middle);
        if met(&share) {
            (high, best) = (middle, share);
        } else {
            low = middle + 1;
        }
    }
    Ok(CompensationPlan {
        more_with_device: best.device,
        more_of_baseline: best.baseline,
        expected_half_width: best.half_width,
        half_width_so_far: so_far,
        within_reach: met(&most),
    })
}

#[derive(Debug, Clone, Copy)]
struct Share {
    device: usize,
    baseline: usize,
    half_width: Option<f64>,
}

/// The narrowest interval that `added` more runs can give. All ways to share them out are tried: no rule of thumb has
/// to hold for few runs, where the quantile changes as fast as the variance.
fn best_share(device: &CellSoFar, baseline: &CellSoFar, added: usize) -> Share {
    let shares = (0..=added).map(|to_device| Share {
        device: to_device,
        baseline: added - to_device,
        half_width: expected_half_width(device, device.runs + to_device, baseline, baseline.runs + added - to_device),
    });
    let width = |share: &Share| share.half_width.unwrap_or(f64::INFINITY);
    let even = Share { device: added.div_ceil(2), baseline: added / 2, half_width: None };
    shares.min_by(|a, b| width(a).total_cmp(&width(b))).filter(|s| s.half_width.is_some()).unwrap_or(even)
}
