//! Windows of one set-up on one day: one figure.
//!
//! Random effects: window i measures y = μ + b + e, with e of its own standard uncertainty (the wander of the window
//! included) and b of a spread between windows of a day: another throttle hand, another seat. Two or five windows do not tell
//! that spread, so it is integrated over what is held likely of it, as [`super::shared_spread`] does between days.

use super::StatisticsError;
use super::error::sound;
use super::shared_spread::{Belief, CellOfRuns, RunOfCell, SpreadPrior, share_spread};
use driftless_units::Estimate;

/// What the windows of a day say together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SameDay {
    /// What the set-up does on that day.
    pub rate: Estimate<f64>,
    /// Spread between windows beyond their own uncertainties, a standard deviation; the typical one for a single window.
    pub between_windows: f64,
}

/// What is held likely of the spread between windows of a day, °/s: 0.03 °/s and 1 % are typical, and windows that contradict
/// each other are believed (engineering judgement: pilots hold power and posture better within a flight than from day to day).
fn within_a_day() -> SpreadPrior {
    SpreadPrior {
        absolute: 0.03,
        share: 0.01,
        belief: Belief::Typical { log_scale: 1.0 },
        departures: vec![(0.0, 1.0)],
        ..SpreadPrior::default()
    }
}

/// Combines the windows of one set-up and scenario on one day, °/s. What another day would add is not in it; a single window
/// stays as it is.
///
/// # Errors
/// No window, or one whose value, uncertainty or degrees of freedom is no sound number.
pub fn same_day(windows: &[Estimate<f64>]) -> Result<SameDay, StatisticsError> {
    let what = "the mean of windows";
    match windows {
        [] => Err(StatisticsError::TooFew { what, of: "windows", needed: 1, got: 0 }),
        [only] => {
            sound(what, only)?;
            let prior = within_a_day();
            Ok(SameDay { rate: *only, between_windows: prior.absolute.hypot(prior.share * only.value) })
        }
        several => {
            let runs = several.iter().map(|rate| RunOfCell { rate: *rate, by_hand: false }).collect();
            let shared = share_spread(&[CellOfRuns { group: 0, runs }], &[], &within_a_day())?;
            let mean = shared.mean(0);
            Ok(SameDay { rate: mean.estimate(), between_windows: mean.spread().median })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::Draws;

    fn windows(values: &[f64], std_u: f64) -> Vec<Estimate<f64>> {
        values.iter().map(|value| Estimate::new(*value, std_u)).collect()
    }

    #[test]
    fn a_single_window_stays_as_it_is() {
        let only = Estimate::with_dof(-1.693_195_979_504_358, 0.054_770_212, 6.005);
        assert_eq!(same_day(&[only]).expect("one window").rate, only);
        assert!(same_day(&[]).is_err());
        assert!(same_day(&[Estimate::new(1.0, f64::NAN)]).is_err());
    }

    /// Alike: no surer than their own uncertainties make the mean. Contradictory: about as unsure as half their distance.
    #[test]
    fn derived_windows_that_agree_and_windows_that_contradict() {
        let alike = same_day(&windows(&[1.0, 1.02], 0.1)).expect("two windows").rate;
        assert!((alike.value - 1.01).abs() < 1e-9);
        assert!(alike.std_u > 0.005_f64.sqrt() && alike.std_u < 1.2 * 0.005_f64.sqrt(), "{alike:?}");
        let apart = same_day(&windows(&[1.0, 2.0], 0.1)).expect("two windows").rate.interval(0.95);
        assert!(apart.high - apart.low > 1.0, "{apart:?}");
    }

    /// Two to five windows of a day in 600 draws each. Windows that spread by no more than their wander explains, or by what is
    /// typical: the intervals hold the truth in 95 to 99 %. By five times that: in 92 %, because two windows do not show it.
    #[test]
    fn simulated_intervals_hold_the_truth() {
        for (spread, held_of_600) in [(0.0, 570..=595), (0.05, 565..=592), (0.15, 535..=582)] {
            let mut draws = Draws::new(14);
            let held = (0..600)
                .filter(|number| {
                    let truth = 2.5;
                    let window = |draws: &mut Draws| truth + draws.normal(0.0, spread) + draws.normal(0.0, 0.15);
                    let values: Vec<f64> = (0..2 + number % 4).map(|_| window(&mut draws)).collect();
                    let ends = same_day(&windows(&values, 0.15)).expect("windows").rate.interval(0.95);
                    ends.low <= truth && truth <= ends.high
                })
                .count();
            assert!(held_of_600.contains(&held), "spread {spread}: {held} of 600");
        }
    }
}
