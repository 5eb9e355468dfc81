//! Set-up against set-up: which keeps the smaller turn, by how much, and how sure.
//!
//! What matters is the size of the residual turn, not its sign: 1 °/s to the left and 1 °/s to the right are as bad as
//! each other. |a| = |b| means a = b or a = -b, so both have to be ruled out (an intersection-union test, Berger 1982).

use super::StatisticsError;
use super::distributions::{p_of_zero, student_cdf, student_pdf, welch_satterthwaite_dof};
use super::error::sound;
use super::fieller::{ContrastDof, RatioSet, ratio};
use driftless_units::{Estimate, Interval, coverage_factor};

#[cfg(test)]
mod tests;

/// The difference of two independent estimates, with Welch-Satterthwaite degrees of freedom (B. L. Welch, Biometrika 34
/// (1947) 28-35).
pub fn difference(a: &Estimate<f64>, b: &Estimate<f64>) -> Estimate<f64> {
    let parts = [(a.std_u * a.std_u, a.dof), (b.std_u * b.std_u, b.dof)];
    Estimate::with_dof(a.value - b.value, a.std_u.hypot(b.std_u), welch_satterthwaite_dof(&parts))
}

/// Mean and standard deviation (n - 1) of at least two values.
pub(super) fn mean_and_sd(values: &[f64]) -> (f64, f64) {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let squares: f64 = values.iter().map(|v| (v - mean).powi(2)).sum();
    (mean, (squares / (n - 1.0)).sqrt())
}

/// Two set-ups side by side, `a` against `b`, by the size of their turn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SizeComparison {
    /// |a| - |b|: negative when `a` turns less.
    pub difference: f64,
    /// Its 95 % interval.
    pub difference_interval: Interval<f64>,
    /// |a| / |b|.
    pub ratio: f64,
    /// Its 95 % interval; `None` where `b` is not clearly turning.
    pub ratio_interval: Option<Interval<f64>>,
    /// Probability that `a` turns less than `b`, when nothing was known of either before (Student's t around each).
    pub probability_a_turns_less: f64,
    /// Two-sided p-value of "both turn equally fast, whichever way".
    pub p: f64,
    /// Whether both are told from zero and turn opposite ways.
    pub opposite: bool,
}

/// Compares the sizes of two independent signed turns.
///
/// # Errors
/// An estimate that is no sound number.
pub fn compare_sizes(a: &Estimate<f64>, b: &Estimate<f64>) -> Result<SizeComparison, StatisticsError> {
    sound("a comparison", a)?;
    sound("a comparison", b)?;
    let mirrored = Estimate { value: -b.value, ..*b };
    let clear = |e: &Estimate<f64>| p_of_zero(e) < 0.05;
    let ratio_interval = match ratio(a, b, 0.0, ContrastDof::default(), 0.95)?.set {
        RatioSet::Bounded(ends) => Some(size_of(&ends)),
        RatioSet::Outside(_) | RatioSet::Everything => None,
    };
    Ok(SizeComparison {
        difference: a.value.abs() - b.value.abs(),
        difference_interval: difference_interval(a, b),
        ratio: (a.value / b.value).abs(),
        ratio_interval,
        probability_a_turns_less: probability_smaller(a, b),
        p: p_of_zero(&difference(a, b)).max(p_of_zero(&difference(a, &mirrored))),
        opposite: clear(a) && clear(b) && a.value * b.value < 0.0,
    })
}

fn size_of(ends: &Interval<f64>) -> Interval<f64> {
    let (low, high) = (ends.low.abs(), ends.high.abs());
    let low_size = if ends.low <= 0.0 && ends.high >= 0.0 { 0.0 } else { low.min(high) };
    Interval { low: low_size, high: low.max(high) }
}

/// 95 % interval of |a| - |b|.
fn difference_interval(a: &Estimate<f64>, b: &Estimate<f64>) -> Interval<f64> {
    let t = coverage_factor(0.95, difference(a, b).dof);
    Interval { low: -highest_difference(b, a, t), high: highest_difference(a, b, t) }
}

/// The highest |α| - |β| over the ellipse of all (α, β) within `t` joint standard uncertainties of (a, b).
///
/// A difference δ is not ruled out when the nearest pair with |α| - |β| = δ is within t; so the interval is what the
/// ellipse reaches. Where both signs are clear this is the Welch interval of the sizes.
fn highest_difference(a: &Estimate<f64>, b: &Estimate<f64>, t: f64) -> f64 {
    let both = a.std_u.hypot(b.std_u);
    let mut highest = f64::NEG_INFINITY;
    for side in [-1.0, 1.0] {
        // Highest of side·α - |β|, which is concave: at the top of side·α ∓ β if it lies on that side of β = 0 ...
        for beta_sign in [-1.0, 1.0] {
            let beta = b.value - beta_sign * t * b.std_u * b.std_u / both;
            if beta * beta_sign >= 0.0 {
                highest = highest.max(side * a.value - beta_sign * b.value + t * both);
            }
        }
        // ... else on β = 0 itself.
        let reach = 1.0 - (b.value / (t * b.std_u)).powi(2);
        if reach >= 0.0 {
            highest = highest.max(side * a.value + t * a.std_u * reach.sqrt());
        }
    }
    highest
}

/// P(|A| < |B|) for independent Student's t around each estimate.
fn probability_smaller(a: &Estimate<f64>, b: &Estimate<f64>) -> f64 {
    const STEPS: usize = 400;
    // A's own t, z = tan(angle) √dof where tails are heavy, else z itself: the integrand stays smooth and finite.
    let heavy = a.dof < 30.0;
    let reach = if heavy { std::f64::consts::FRAC_PI_2 } else { 12.0 };
    let width = 2.0 * reach / STEPS as f64;
    let (mut inside, mut total) = (0.0, 0.0);
    for step in 0..STEPS {
        let position = -reach + (step as f64 + 0.5) * width;
        let (z, slope) = if heavy {
            (position.tan() * a.dof.sqrt(), a.dof.sqrt() / position.cos().powi(2))
        } else {
            (position, 1.0)
        };
        let weight = student_pdf(z, a.dof) * slope;
        let size = (a.value + a.std_u * z).abs();
        let b_within = student_cdf((size - b.value) / b.std_u, b.dof) - student_cdf((-size - b.value) / b.std_u, b.dof);
        total += weight;
        inside += weight * (1.0 - b_within);
    }
    (inside / total).clamp(0.0, 1.0)
}

/// p-values corrected for making several comparisons at once, in the order given (S. Holm, Scand. J. Stat. 6 (1979)
/// 65-70): the chance of any false "differs" stays below the level used.
pub fn holm(p_values: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..p_values.len()).collect();
    order.sort_by(|a, b| p_values[*a].total_cmp(&p_values[*b]));
    let mut corrected = vec![1.0; p_values.len()];
    let mut highest: f64 = 0.0;
    for (rank, index) in order.into_iter().enumerate() {
        highest = highest.max(p_values[index] * (p_values.len() - rank) as f64).min(1.0);
        corrected[index] = highest;
    }
    corrected
}
