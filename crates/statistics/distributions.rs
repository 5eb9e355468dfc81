//! Probabilities of the normal, Student's t and chi-squared distributions.
//!
//! Thin wrappers of `statrs` that take infinite degrees of freedom and never panic. Quantiles are found by bisection on
//! the distribution function, because the library's own inverse does not return for some degrees of freedom; the
//! two-sided Student quantile is [`driftless_units::coverage_factor`].

use driftless_units::{Estimate, coverage_factor};
use statrs::distribution::{ChiSquared, Continuous, ContinuousCDF, Normal, StudentsT};

/// Above this many degrees of freedom Student's t is the normal distribution to all digits that matter (as in
/// `driftless_units::coverage_factor`).
const NORMAL_FROM_DOF: f64 = 1e9;

/// Distribution function of Student's t; NaN when `t` is NaN or `dof` is not positive.
pub(crate) fn student_cdf(t: f64, dof: f64) -> f64 {
    if t.is_nan() {
        return f64::NAN;
    }
    if dof > NORMAL_FROM_DOF {
        return Normal::standard().cdf(t);
    }
    StudentsT::new(0.0, 1.0, dof).map_or(f64::NAN, |student| student.cdf(t))
}

/// Density of Student's t; NaN when `dof` is not positive.
pub(crate) fn student_pdf(t: f64, dof: f64) -> f64 {
    if dof > NORMAL_FROM_DOF {
        return Normal::standard().pdf(t);
    }
    StudentsT::new(0.0, 1.0, dof).map_or(f64::NAN, |student| student.pdf(t))
}

/// Probability of a Student's t at least as far from zero as `t`, either side. One (no evidence) when `t` or `dof` is
/// not known.
pub(crate) fn student_two_sided_p(t: f64, dof: f64) -> f64 {
    let p = 2.0 * student_cdf(-t.abs(), dof);
    if p.is_nan() { 1.0 } else { p.min(1.0) }
}

/// Probability of a chi-squared above `x`; one when `dof` is not positive.
pub fn chi_squared_upper_p(x: f64, dof: f64) -> f64 {
    // `max` also turns NaN into zero: no evidence.
    ChiSquared::new(dof).map_or(1.0, |chi| chi.sf(x.max(0.0)))
}

/// Quantile of chi-squared, `p` from the left in (0, 1).
pub fn chi_squared_quantile(p: f64, dof: f64) -> f64 {
    let Ok(chi) = ChiSquared::new(dof) else { return f64::NAN };
    let mut high = dof.max(1.0);
    while chi.cdf(high) < p && high < 1e12 {
        high *= 2.0;
    }
    bisect(0.0, high, |x| chi.cdf(x) - p)
}

/// Degrees of freedom of a sum of independent variances, each with its own: Welch-Satterthwaite.
///
/// `parts` are (variance contribution, degrees of freedom). Source: JCGM 100:2008, G.4.1, equation G.2b. Infinite when
/// all parts are as good as known.
pub fn welch_satterthwaite_dof(parts: &[(f64, f64)]) -> f64 {
    let total: f64 = parts.iter().map(|(variance, _)| variance).sum();
    let spread: f64 = parts.iter().map(|(variance, dof)| variance * variance / dof).sum();
    if spread > 0.0 { total * total / spread } else { f64::INFINITY }
}

/// The standard uncertainty a normal distribution needs for the same 95 % interval: u t(ν) / 1.96. For methods that know
/// no degrees of freedom.
pub fn normal_equivalent_std_u(estimate: &Estimate<f64>) -> f64 {
    estimate.std_u * coverage_factor(0.95, estimate.dof) / coverage_factor(0.95, f64::INFINITY)
}

/// Two-sided p-value of "the true value is zero".
pub fn p_of_zero(estimate: &Estimate<f64>) -> f64 {
    student_two_sided_p(estimate.value / estimate.std_u, estimate.dof)
}

/// The root of a smooth function between two ends where it has different signs, for functions that are expensive to evaluate:
/// C. Ridders, IEEE Trans. Circuits Syst. 26 (1979) 979-980. To fourteen digits of the ends.
pub(crate) fn ridders(low: f64, high: f64, f: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (low, high);
    let (mut f_low, mut f_high) = (f(low), f(high));
    let mut last = f64::NAN;
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        let f_middle = f(middle);
        let root = (f_middle * f_middle - f_low * f_high).sqrt();
        if root == 0.0 || root.is_nan() {
            return middle;
        }
        let next = middle + (middle - low) * (f_low - f_high).signum() * f_middle / root;
        if (next - last).abs() <= 1e-14 * (low.abs() + high.abs()) {
            return next;
        }
        last = next;
        let f_next = f(next);
        if f_next == 0.0 {
            return next;
        }
        if f_middle * f_next < 0.0 {
            ((low, f_low), (high, f_high)) = ((middle, f_middle), (next, f_next));
        } else if f_low * f_next < 0.0 {
            (high, f_high) = (next, f_next);
        } else {
            (low, f_low) = (next, f_next);
        }
    }
    last
}

/// The root of an increasing or decreasing function between two ends, by bisection to the last bit.
///
/// When the function has the same sign at both ends, the end where it is smaller in size.
pub(crate) fn bisect(low: f64, high: f64, f: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (low, high);
    let (f_low, f_high) = (f(low), f(high));
    if f_low * f_high > 0.0 {
        return if f_low.abs() < f_high.abs() { low } else { high };
    }
    // 200 halvings exhaust the 53 bits of the fraction whatever the exponents.
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if middle <= low.min(high) || middle >= low.max(high) {
            break;
        }
        if f(middle) * f_low > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Student t quantiles recomputed with an independent library (columns .90 to .995; they agree with NIST/SEMATECH
    /// e-Handbook 1.3.6.7.2 to its three decimals, from memory). Half the last printed digit.
    #[test]
    fn published_student_t_table() {
        let p = [0.90, 0.95, 0.975, 0.99, 0.995];
        for (dof, row) in [
            (1.0, [3.0777, 6.3138, 12.7062, 31.8205, 63.6567]),
            (2.0, [1.8856, 2.9200, 4.3027, 6.9646, 9.9248]),
            (3.0, [1.6377, 2.3534, 3.1824, 4.5407, 5.8409]),
            (5.0, [1.4759, 2.0150, 2.5706, 3.3649, 4.0321]),
            (8.0, [1.3968, 1.8595, 2.3060, 2.8965, 3.3554]),
            (10.0, [1.3722, 1.8125, 2.2281, 2.7638, 3.1693]),
            (20.0, [1.3253, 1.7247, 2.0860, 2.5280, 2.8453]),
            (30.0, [1.3104, 1.6973, 2.0423, 2.4573, 2.7500]),
            (100.0, [1.2901, 1.6602, 1.9840, 2.3642, 2.6259]),
            (f64::INFINITY, [1.2816, 1.6449, 1.9600, 2.3263, 2.5758]),
        ] {
            for (below, t) in p.iter().zip(row) {
                let k = coverage_factor(2.0 * below - 1.0, dof);
                assert!((k - t).abs() <= 5.1e-5, "dof {dof}, {below}: {k} against {t}");
                assert!((student_cdf(k, dof) - below).abs() < 1e-9);
                assert!((student_two_sided_p(-k, dof) - 2.0 * (1.0 - below)).abs() < 1e-9);
            }
        }
    }

    /// Textbook chi-squared points (NIST/SEMATECH e-Handbook 1.3.6.7.4, from memory): three printed decimals.
    #[test]
    fn published_chi_squared_points() {
        for (dof, p, x) in [(1.0, 0.95, 3.841), (10.0, 0.95, 18.307), (8.0, 0.025, 2.180), (2.0, 0.975, 7.378)] {
            assert!((chi_squared_quantile(p, dof) - x).abs() < 5.1e-4, "{dof} {p}");
            assert!((chi_squared_upper_p(x, dof) - (1.0 - p)).abs() < 5e-4);
        }
    }

    /// JCGM 100:2008, example in G.4.1: a product of three factors with relative standard uncertainties 0.25 %, 0.57 %
    /// and 0.82 % and 9, 4 and 14 degrees of freedom has 19.0 (from memory; one decimal is printed).
    #[test]
    fn published_welch_satterthwaite_example() {
        let parts: Vec<(f64, f64)> =
            [(0.25_f64, 9.0), (0.57, 4.0), (0.82, 14.0)].iter().map(|(u, dof)| (u * u, *dof)).collect();
        assert!((welch_satterthwaite_dof(&parts) - 19.0).abs() < 0.05);
    }

    #[test]
    fn unknown_degrees_of_freedom_are_no_evidence() {
        assert_eq!(student_two_sided_p(5.0, f64::NAN), 1.0);
        assert_eq!(student_two_sided_p(f64::NAN, 5.0), 1.0);
        assert_eq!(chi_squared_upper_p(5.0, 0.0), 1.0);
    }
}
