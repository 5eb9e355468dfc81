//! Each pilot against the class: empirical-Bayes estimates instead of raw ranks.
//!
//! A single run ranks by luck as much as by skill or set-up. With a class of k pilots whose true turns spread with
//! variance A about a class mean μ, the best guess for a pilot lies between his own figure and the class mean: the less
//! his own figure is sure, the nearer to the mean. C. N. Morris, J. Am. Stat. Assoc. 78 (1983) 47-55: the share B given
//! to the class mean is reduced by (k - 3)/(k - 1) because A is estimated too, and the variance gets a part for not
//! knowing B. With fewer than four pilots nothing is shrunk.

use super::StatisticsError;
use super::distributions::{normal_equivalent_std_u, student_cdf};
use super::error::sound;
use super::random_effects::combine;
use driftless_units::{Estimate, Interval};

#[cfg(test)]
mod tests;

/// Fewest pilots for which shrinking is better than not (C. Stein 1956: four with an unknown mean).
pub(crate) const FEWEST_FOR_SHRINKING: usize = 4;

/// One pilot against the class.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AgainstClass {
    /// Share given to the class mean, 0 to 1; zero where nothing is shrunk.
    pub share_of_class: f64,
    /// Best guess, with its standard uncertainty.
    pub estimate: Estimate<f64>,
    /// Its 95 % credible interval.
    pub interval: Interval<f64>,
    /// Best guess less class mean.
    pub difference: Estimate<f64>,
    /// Probability that the pilot's true figure is above the class mean.
    pub probability_above: f64,
}

/// The class.
#[derive(Debug, Clone, PartialEq)]
pub struct Class {
    /// Mean of the class.
    pub mean: Estimate<f64>,
    /// Spread of true figures between pilots, standard deviation √A.
    pub spread: f64,
    /// Whether the estimates are shrunk (four pilots or more).
    pub shrunk: bool,
    /// Each pilot, in the order given.
    pub pilots: Vec<AgainstClass>,
}

/// Works out each pilot against the class, from one estimate per pilot.
///
/// # Errors
/// Fewer than two pilots, or an estimate that is no sound number.
pub fn against_class(pilots: &[Estimate<f64>]) -> Result<Class, StatisticsError> {
    let what = "pilots against their class";
    if pilots.len() < 2 {
        return Err(StatisticsError::TooFew { what, of: "pilots", needed: 2, got: pilots.len() });
    }
    pilots.iter().try_for_each(|pilot| sound(what, pilot))?;
    if pilots.len() < FEWEST_FOR_SHRINKING { unshrunk(pilots) } else { Ok(shrunk(pilots)) }
}

fn unshrunk(pilots: &[Estimate<f64>]) -> Result<Class, StatisticsError> {
    let class = combine(pilots)?;
    let against = |pilot: &Estimate<f64>| {
        let difference = super::compare::difference(pilot, &class.mean);
        placed(0.0, *pilot, difference)
    };
    Ok(Class {
        mean: class.mean,
        spread: class.between_run_sd.unwrap_or(0.0),
        shrunk: false,
        pilots: pilots.iter().map(against).collect(),
    })
}

fn placed(share_of_class: f64, estimate: Estimate<f64>, difference: Estimate<f64>) -> AgainstClass {
    AgainstClass {
        share_of_class,
        estimate,
        interval: estimate.interval(0.95),
        difference,
        probability_above: student_cdf(difference.value / difference.std_u, difference.dof),
    }
}

/// Mean and variance of the true figures, by iterating Morris's moment equation.
fn mean_and_spread(pilots: &[Estimate<f64>], variances: &[f64]) -> (f64, f64, f64) {
    let k = pilots.len() as f64;
    let mut spread = 0.0;
    for _ in 0..500 {
        let weights: Vec<f64> = variances.iter().map(|v| 1.0 / (v + spread)).collect();
        let total: f64 = weights.iter().sum();
        let mean = weights.iter().zip(pilots).map(|(w, p)| w * p.value).sum::<f64>() / total;
        let moment = |((w, p), v): ((&f64, &Estimate<f64>), &f64)| w * (k / (k - 1.0) * (p.value - mean).powi(2) - v);
        let next = (weights.iter().zip(pilots).zip(variances).map(moment).sum::<f64>() / total).max(0.0);
        let settled = (next - spread).abs() <= 1e-12 * (next + variances[0]);
        spread = next;
        if settled {
            break;
        }
    }
    let weights: Vec<f64> = variances.iter().map(|v| 1.0 / (v + spread)).collect();
    let total: f64 = weights.iter().sum();
    let mean = weights.iter().zip(pilots).map(|(w, p)| w * p.value).sum::<f64>() / total;
    (mean, spread, 1.0 / total)
}

fn shrunk(pilots: &[Estimate<f64>]) -> Class {
    let k = pilots.len() as f64;
    let variances: Vec<f64> = pilots.iter().map(|pilot| normal_equivalent_std_u(pilot).powi(2)).collect();
    let (mean, spread, mean_variance) = mean_and_spread(pilots, &variances);
    let typical = variances.iter().sum::<f64>() / k;
    let against = |(pilot, variance): (&Estimate<f64>, &f64)| {
        let share = (k - 3.0) / (k - 1.0) * variance / (variance + spread);
        let distance = pilot.value - mean;
        // What not knowing B adds: Morris's v_i (y_i - μ)².
        let share_variance = 2.0 / (k - 3.0) * share * share * (typical + spread) / (variance + spread);
        let own = variance * (1.0 - share) + share_variance * distance * distance;
        let value = pilot.value - share * distance;
        let estimate = Estimate::new(value, (own + share * share * mean_variance).sqrt());
        let apart = (1.0 - share) * (1.0 - share) * mean_variance;
        placed(share, estimate, Estimate::new(value - mean, (own + apart).sqrt()))
    };
    Class {
        mean: Estimate::with_dof(mean, mean_variance.sqrt(), k - 1.0),
        spread: spread.sqrt(),
        shrunk: true,
        pilots: pilots.iter().zip(&variances).map(against).collect(),
    }
}
