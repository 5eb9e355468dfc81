//! Values that never travel without their uncertainty (terms of JCGM 100:2008, the GUM).

use crate::{Angle, TurnRate};
use serde::{Deserialize, Serialize};
use statrs::distribution::{Continuous, ContinuousCDF, Normal, StudentsT};

/// Something an [`Estimate`] can be of: a plain number in SI units underneath.
pub trait Quantity: Copy {
    /// From the SI value.
    fn from_si(si: f64) -> Self;
    /// The SI value.
    fn si(self) -> f64;
}

impl Quantity for f64 {
    fn from_si(si: f64) -> Self {
        si
    }
    fn si(self) -> f64 {
        self
    }
}

impl Quantity for TurnRate {
    fn from_si(si: f64) -> Self {
        Self::from_rad_s(si)
    }
    fn si(self) -> f64 {
        self.rad_s()
    }
}

impl Quantity for Angle {
    fn from_si(si: f64) -> Self {
        Self::from_rad(si)
    }
    fn si(self) -> f64 {
        self.rad()
    }
}

/// A value, its standard uncertainty and the degrees of freedom behind that uncertainty.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Estimate<Q> {
    /// Best value.
    pub value: Q,
    /// Standard uncertainty (one standard deviation), same unit as the value.
    pub std_u: Q,
    /// Degrees of freedom of `std_u`; `f64::INFINITY` when it is as good as known.
    pub dof: f64,
}

/// Both ends of a coverage interval.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Interval<Q> {
    /// Lower end.
    pub low: Q,
    /// Upper end.
    pub high: Q,
}

impl<Q: Quantity> Estimate<Q> {
    /// An estimate whose uncertainty is well known (infinite degrees of freedom).
    pub fn new(value: Q, std_u: Q) -> Self {
        Self { value, std_u, dof: f64::INFINITY }
    }
    /// An estimate with `dof` degrees of freedom behind its uncertainty.
    pub fn with_dof(value: Q, std_u: Q, dof: f64) -> Self {
        Self { value, std_u, dof }
    }
    /// The symmetric interval that covers with probability `p` (0.95 for 95 %), Student's t (JCGM 100, annex G).
    pub fn interval(&self, p: f64) -> Interval<Q> {
        let half = coverage_factor(p, self.dof) * self.std_u.si();
        Interval { low: Q::from_si(self.value.si() - half), high: Q::from_si(self.value.si() + half) }
    }
}

/// Coverage factor k of JCGM 100 annex G: the two-sided Student t quantile for probability `p`.
///
/// Infinite (an unbounded interval, never a guess) when `dof` is not positive or NaN.
pub fn coverage_factor(p: f64, dof: f64) -> f64 {
    let below = 0.5 * (1.0 + p);
    if !(0.5..1.0).contains(&below) || dof.is_nan() || dof <= 0.0 {
        return f64::INFINITY;
    }
    let normal = Normal::standard().inverse_cdf(below);
    // From here on the normal quantile agrees to all printed digits: t - z ≈ (z³ + z) / (4 dof).
    if dof > 1e9 {
        return normal;
    }
    let Ok(student) = StudentsT::new(0.0, 1.0, dof) else { return f64::INFINITY };
    // Newton on the distribution function (the library's own inverse never returns for many degrees of freedom).
    // The function is concave above zero and the normal quantile lies below the root, so every step climbs toward
    // it and none overshoots.
    let mut t = normal;
    for _ in 0..200 {
        let step = (below - student.cdf(t)) / student.pdf(t);
        if step.is_nan() || step <= 1e-12 * t {
            break;
        }
        t += step;
    }
    t
}

#[cfg(test)]
mod tests {
    use super::*;

    /// NIST/SEMATECH e-Handbook 1.3.6.7.2, critical values of Student's t (from memory; 0.975 column, three printed decimals
    /// extended with an independent library; 5e-5 is half the last digit kept here).
    #[test]
    fn published_student_t_quantiles() {
        for (dof, t) in [
            (1.0, 12.7062),
            (2.0, 4.3027),
            (5.0, 2.5706),
            (10.0, 2.2281),
            (30.0, 2.0423),
            (100.0, 1.9840),
            (1e6, 1.9600),
            (1e12, 1.9600),
            (f64::INFINITY, 1.9600),
        ] {
            assert!((coverage_factor(0.95, dof) - t).abs() < 5e-5, "dof {dof}");
        }
    }

    /// The distribution function at the quantile gives the probability back, for the fractional degrees of freedom of
    /// the Welch-Satterthwaite formula too.
    #[test]
    fn the_quantile_inverts_the_distribution() {
        for dof in [0.7, 1.5, 3.3, 8.0, 47.2, 1e3, 1e7] {
            let t = StudentsT::new(0.0, 1.0, dof).unwrap();
            for p in [0.5, 0.68, 0.95, 0.99] {
                assert!((t.cdf(coverage_factor(p, dof)) - 0.5 * (1.0 + p)).abs() < 1e-9, "dof {dof}, p {p}");
            }
        }
    }

    #[test]
    fn an_unknown_dof_gives_an_unbounded_interval() {
        let interval = Estimate::with_dof(1.0, 0.1, f64::NAN).interval(0.95);
        assert!(interval.low.is_infinite() && interval.high.is_infinite());
    }
}
