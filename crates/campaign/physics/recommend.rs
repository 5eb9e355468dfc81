//! The setting that keeps the weighted residual turn smallest, what it leaves in each scenario, and whether any setting
//! does it all.
//!
//! Each scenario's turn is a straight line of the setting, T(s) = β + e s ([`super::devices`]). The recommended setting
//! minimises Σ w T(s)²: s* = -Σ w β e / Σ w e². Its interval is the set of settings at which the derivative
//! Σ w e (β + e s) is not told from zero (Fieller's idea: a quotient has no standard error worth trusting).

use super::devices::DeviceFit;
use driftless_statistics::StatisticsError;
use driftless_statistics::{finite, positive};
use driftless_units::{Estimate, Interval, coverage_factor};
use nalgebra::DVector;

#[cfg(test)]
mod tests;

/// What is asked of a setting.
#[derive(Debug, Clone, PartialEq)]
pub struct SettingWish {
    /// How much each scenario counts, in the order of the fit; zero leaves one out.
    pub weights: Vec<f64>,
    /// Settings that the device can take.
    pub range: Interval<f64>,
    /// Residual turn that is still fine in every scenario that counts, °/s.
    pub tolerance_deg_s: f64,
}

/// A recommended setting.
#[derive(Debug, Clone, PartialEq)]
pub struct Recommendation {
    /// The setting, within the device's range.
    pub setting: f64,
    /// The best setting if there were no range.
    pub unlimited_setting: f64,
    /// 95 % interval of the best setting, cut to the range.
    pub interval: Interval<f64>,
    /// The interval goes on beyond the lower or the higher end of the range.
    pub beyond_range: (bool, bool),
    /// Turn left in each scenario at the recommended setting, °/s.
    pub left_deg_s: Vec<Estimate<f64>>,
    /// Whether some setting of the range is expected to keep every scenario within the tolerance.
    pub does_it_all: DoesItAll,
}

/// Whether one setting serves every scenario.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DoesItAll {
    /// These settings do.
    Yes(Interval<f64>),
    /// None does: what the first scenario needs is more than what the second allows.
    No {
        /// The scenario that asks for the higher setting (or for one outside the range).
        needs_more: usize,
        /// The scenario that allows the lower one only.
        needs_less: usize,
    },
}

/// Residual against setting of one scenario.
#[derive(Debug, Clone, PartialEq)]
pub struct TradeOff {
    /// Place of the scenario.
    pub scenario: usize,
    /// Setting and turn, °/s.
    pub points: Vec<(f64, Estimate<f64>)>,
}

/// The trade-off between scenarios over a range of settings, in `points` equal steps (at least two).
pub fn trade_off(fit: &DeviceFit, range: &Interval<f64>, points: usize) -> Vec<TradeOff> {
    let last = points.max(2) - 1;
    let setting = |index: usize| range.low + (range.high - range.low) * index as f64 / last as f64;
    let curve = |scenario: usize| TradeOff {
        scenario,
        points: (0..=last).map(|index| (setting(index), fit.predict(scenario, setting(index)))).collect(),
    };
    (0..fit.scenarios()).map(curve).collect()
}

/// Recommends a setting.
///
/// # Errors
/// A number of weights that is not that of scenarios, weights that are negative or all zero, an empty range, a tolerance
/// that is not above zero, or a device that does nothing in any scenario that counts.
pub fn recommend(fit: &DeviceFit, wish: &SettingWish) -> Result<Recommendation, StatisticsError> {
    check(fit, wish)?;
    let counting: Vec<usize> = (0..fit.scenarios()).filter(|j| wish.weights[*j] > 0.0).collect();
    let lines: Vec<(f64, f64)> = counting.iter().map(|j| fit.turn_line(*j)).collect();
    let sum = |term: &dyn Fn((f64, f64)) -> f64| -> f64 {
        counting.iter().zip(&lines).map(|(j, line)| wish.weights[*j] * term(*line)).sum()
    };
    let steepness = sum(&|(_, e)| e * e);
    if steepness.is_nan() || steepness <= 0.0 {
        return Err(StatisticsError::NotIdentifiable { what: WHAT, parameter: "any effect of the device" });
    }
    let unlimited = -sum(&|(b, e)| b * e) / steepness;
    let setting = unlimited.clamp(wish.range.low, wish.range.high);
    let (interval, beyond_range) = not_ruled_out(fit, wish, &counting, unlimited);
    Ok(Recommendation {
        setting,
        unlimited_setting: unlimited,
        interval,
        beyond_range,
        left_deg_s: (0..fit.scenarios()).map(|j| fit.predict(j, setting)).collect(),
        does_it_all: does_it_all(wish, &counting, &lines),
    })
}

const WHAT: &str = "a recommended setting";

fn check(fit: &DeviceFit, wish: &SettingWish) -> Result<(), StatisticsError> {
    if wish.weights.len() != fit.scenarios() {
        return Err(StatisticsError::Unequal { what: WHAT, left: wish.weights.len(), right: fit.scenarios() });
    }
    for weight in &wish.weights {
        if finite(WHAT, "a weight", *weight)? < 0.0 {
            return Err(StatisticsError::NotPositive { what: WHAT, quantity: "a weight", value: *weight });
        }
    }
    positive(WHAT, "the sum of weights", wish.weights.iter().sum())?;
    positive(WHAT, "the range of settings", wish.range.high - wish.range.low)?;
    positive(WHAT, "the tolerance", wish.tolerance_deg_s)?;
    Ok(())
}

/// Settings at which the derivative of the weighted square is not told from zero, from the best one outward.
fn not_ruled_out(fit: &DeviceFit, wish: &SettingWish, counting: &[usize], best: f64) -> (Interval<f64>, (bool, bool)) {
    const STEPS: u32 = 200;
    let derivative = |setting: f64| {
        let slope = |parameters: &DVector<f64>| -> f64 {
            let term = |j: &usize| {
                let (b, e) = fit.turn_line_of(parameters, *j);
                wish.weights[*j] * e * (b + e * setting)
            };
            counting.iter().map(term).sum()
        };
        let found = fit.derived(slope);
        found.value.abs() - coverage_factor(0.95, found.dof) * found.std_u
    };
    let from = best.clamp(wish.range.low, wish.range.high);
    let end = |limit: f64| {
        let place = |step: u32| from + (limit - from) * f64::from(step) / f64::from(STEPS);
        let outside = (0..=STEPS).find(|step| derivative(place(*step)) > 0.0);
        match outside {
            // The best setting itself is beyond the range: only the end of the range is left.
            Some(0) => (from, false),
            Some(step) => {
                let (mut inside, mut outside) = (place(step - 1), place(step));
                for _ in 0..60 {
                    let middle = 0.5 * (inside + outside);
                    if derivative(middle) > 0.0 { outside = middle } else { inside = middle }
                }
                (inside, false)
            }
            None => (limit, true),
        }
    };
    let ((low, low_open), (high, high_open)) = (end(wish.range.low), end(wish.range.high));
    // The best setting beyond an end means that the interval goes on there.
    let beyond = (low_open || best < wish.range.low, high_open || best > wish.range.high);
    (Interval { low, high }, beyond)
}

fn does_it_all(wish: &SettingWish, counting: &[usize], lines: &[(f64, f64)]) -> DoesItAll {
    let tolerance = wish.tolerance_deg_s;
    let (mut low, mut high) = ((wish.range.low, counting[0]), (wish.range.high, counting[0]));
    for (j, (b, e)) in counting.iter().zip(lines) {
        let ends = [(-tolerance - b) / e, (tolerance - b) / e];
        let (from, to) = match (*e == 0.0, b.abs() <= tolerance) {
            (true, true) => continue,
            // Nothing the device does helps here.
            (true, false) => return DoesItAll::No { needs_more: *j, needs_less: *j },
            (false, _) => (ends[0].min(ends[1]), ends[0].max(ends[1])),
        };
        if from > low.0 {
            low = (from, *j);
        }
        if to < high.0 {
            high = (to, *j);
        }
    }
    if low.0 <= high.0 {
        DoesItAll::Yes(Interval { low: low.0, high: high.0 })
    } else {
        DoesItAll::No { needs_more: low.1, needs_less: high.1 }
    }
}
