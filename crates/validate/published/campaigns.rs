//! The spread that cells share, on the worked example of hierarchical models.

use super::{Check, Group};
use driftless_analysis::campaign::statistics::shared_spread::{
    Belief, CellOfRuns, RunOfCell, SpreadPrior, share_spread,
};
use driftless_units::Estimate;

const SCHOOLS: &str =
    "eight schools (Rubin 1981; Gelman et al., Bayesian Data Analysis, section 5.5): Stan's output, 20,000 draws";

/// Effects of coaching in eight schools and their standard errors.
const EFFECTS: [(f64, f64); 8] =
    [(28.0, 15.0), (8.0, 10.0), (-3.0, 16.0), (7.0, 11.0), (-1.0, 9.0), (1.0, 11.0), (18.0, 10.0), (12.0, 18.0)];

pub(super) fn checks() -> Vec<Check> {
    let run = |(effect, std_u): (f64, f64)| RunOfCell { rate: Estimate::new(effect, std_u), by_hand: false };
    let cell = CellOfRuns { group: 0, runs: EFFECTS.map(run).to_vec() };
    // All spreads alike likely beforehand, as in the example.
    let prior = SpreadPrior {
        absolute: 5.0,
        share: 0.0,
        belief: Belief::Flat,
        departures: vec![(0.0, 1.0)],
        ..SpreadPrior::default()
    };
    let Ok(shared) = share_spread(&[cell], &[], &prior) else { return Vec::new() };
    let mean = shared.mean(0);
    let (ends, spread) = (mean.interval(0.95), shared.absolute());
    // Two or three Monte Carlo errors; for the median of the spread also the steps of the grid.
    [
        ("common mean", 8.02, mean.value(), 0.15),
        ("its standard deviation", 5.15, mean.variance().sqrt(), 0.15),
        ("lower end of its 95 % interval", -1.96, ends.low, 0.35),
        ("upper end of its 95 % interval", 18.44, ends.high, 0.35),
        ("median of the spread between schools", 5.27, spread.median, 0.3),
    ]
    .map(|(what, expected, got, tolerance)| Check::new(Group::SharedSpread, what, SCHOOLS, expected, got, tolerance))
    .to_vec()
}
