//! The model, its derivatives, and the span it is fitted to.

use super::{DriftError, MIN_FIXES, WindPrior};
use crate::columns::{Pair, fill};
use driftless_units::{Ground, Position};
use nalgebra::{Matrix2, SMatrix, SVector, Vector2};
use std::ops::{Add, Mul, Range, Sub};

/// Parameters: position (east, north) and wind (east, north), air velocity (east, north) in the middle, turn rate.
pub(super) const PARAMETERS: usize = 7;
pub(super) type Params = SVector<f64, PARAMETERS>;
/// Place of the turn rate among the parameters.
pub(super) const OMEGA: usize = 6;

/// Below this ωτ the series are used; eight digits of margin to where they and the closed forms agree to rounding.
const SERIES_BELOW: f64 = 0.1;

/// The two basis functions, with their derivatives by ω.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Basis<T> {
    pub(super) tau: T,
    /// sin(ωτ)/ω, s.
    pub(super) s1: T,
    /// (1 - cos ωτ)/ω, s.
    pub(super) s2: T,
    /// ∂s1/∂ω, s².
    pub(super) d1: T,
    /// ∂s2/∂ω, s².
    pub(super) d2: T,
}

impl Basis<Pair> {
    /// By their closed forms.
    #[inline(always)]
    fn closed(omega: f64, tau: Pair) -> Self {
        let (sin, cos) = (omega * tau).sin_cos();
        let inverse = 1.0 / omega;
        let (s1, s2) = (sin * inverse, (1.0 - cos) * inverse);
        Self { tau, s1, s2, d1: (tau * cos - s1) * inverse, d2: (tau * sin - s2) * inverse }
    }

    /// By their series.
    #[inline(always)]
    fn series(omega: f64, tau: Pair) -> Self {
        let x = omega * tau;
        let q = x * x;
        let s1 = 1.0 - q / 6.0 * (1.0 - q / 20.0 * (1.0 - q / 42.0 * (1.0 - q / 72.0)));
        let s2 = x / 2.0 * (1.0 - q / 12.0 * (1.0 - q / 30.0 * (1.0 - q / 56.0)));
        let d1 = -x * (1.0 / 3.0 - q * (1.0 / 30.0 - q * (1.0 / 840.0 - q / 45_360.0)));
        let d2 = 0.5 - q * (1.0 / 8.0 - q * (1.0 / 144.0 - q / 5_760.0));
        Self { tau, s1: tau * s1, s2: tau * s2, d1: tau * tau * d1, d2: tau * tau * d2 }
    }
}

impl Basis<f64> {
    /// At one time.
    pub(super) fn new(omega: f64, tau: f64) -> Self {
        let both = Pair::splat(tau);
        let of_both =
            if (omega * tau).abs() < SERIES_BELOW { Basis::series(omega, both) } else { Basis::closed(omega, both) };
        let [s1, s2, d1, d2] = [of_both.s1, of_both.s2, of_both.d1, of_both.d2].map(|pair| pair.to_array()[0]);
        Self { tau, s1, s2, d1, d2 }
    }
}

impl<T> Basis<T>
where
    T: Copy + Add<Output = T> + Add<f64, Output = T> + Sub<Output = T> + Mul<f64, Output = T>,
{
    /// Model position (east, north).
    #[inline(always)]
    pub(super) fn place(&self, p: &Params) -> [T; 2] {
        let &Self { tau, s1, s2, .. } = self;
        [tau * p[2] + p[0] + s1 * p[4] + s2 * p[5], tau * p[3] + p[1] + s1 * p[5] - s2 * p[4]]
    }

    /// Derivatives of the place by ω.
    #[inline(always)]
    pub(super) fn by_omega(&self, p: &Params) -> [T; 2] {
        let &Self { d1, d2, .. } = self;
        [d1 * p[4] + d2 * p[5], d1 * p[5] - d2 * p[4]]
    }
}

/// Fixes about their middle: small numbers, well conditioned.
pub(super) struct Span {
    pub(super) tau: Vec<f64>,
    pub(super) east: Vec<f64>,
    pub(super) north: Vec<f64>,
    pub(super) middle_s: f64,
    pub(super) origin: [f64; 2],
}

impl Span {
    pub(super) fn new(t_s: &[f64], positions: &[Position<Ground>]) -> Result<Self, DriftError> {
        if t_s.len() != positions.len() {
            return Err(DriftError::Unequal { times: t_s.len(), positions: positions.len() });
        }
        let (Some(&first), Some(&last), Some(origin)) = (t_s.first(), t_s.last(), positions.get(positions.len() / 2))
        else {
            return Err(DriftError::TooFew { have: 0, needed: MIN_FIXES });
        };
        if t_s.len() < MIN_FIXES {
            return Err(DriftError::TooFew { have: t_s.len(), needed: MIN_FIXES });
        }
        let mut before = f64::NEG_INFINITY;
        for (index, (&t, p)) in t_s.iter().zip(positions).enumerate() {
            if !(t.is_finite() && t > before && p.east_m.is_finite() && p.north_m.is_finite()) {
                return Err(DriftError::BadFix { index });
            }
            before = t;
        }
        let middle_s = 0.5 * (first + last);
        Ok(Self {
            tau: t_s.iter().map(|t| t - middle_s).collect(),
            east: positions.iter().map(|p| p.east_m - origin.east_m).collect(),
            north: positions.iter().map(|p| p.north_m - origin.north_m).collect(),
            middle_s,
            origin: [origin.east_m, origin.north_m],
        })
    }

    pub(super) fn span_s(&self) -> f64 {
        self.tau.last().copied().unwrap_or(0.0) - self.tau.first().copied().unwrap_or(0.0)
    }

    /// At most `most` fixes spread evenly over the span.
    pub(super) fn thinned(&self, most: usize) -> Self {
        let stride = self.tau.len().div_ceil(most).max(1);
        let [tau, east, north] =
            [&self.tau, &self.east, &self.north].map(|column| column.iter().step_by(stride).copied().collect());
        Self { tau, east, north, middle_s: self.middle_s, origin: self.origin }
    }
}

/// A span beside the model at some parameters: what sums and residuals are made of, in columns.
pub(super) struct Compared<'a> {
    pub(super) span: &'a Span,
    params: Option<Params>,
    pub(super) s1: Vec<f64>,
    pub(super) s2: Vec<f64>,
    /// Fix less model, east and north, m.
    pub(super) off: [Vec<f64>; 2],
    /// Derivative of the model's place by ω, east and north, m s.
    pub(super) by_omega: [Vec<f64>; 2],
}

impl<'a> Compared<'a> {
    pub(super) fn new(span: &'a Span) -> Self {
        let column = || vec![0.0; span.tau.len()];
        let pair = || [column(), column()];
        Self { span, params: None, s1: column(), s2: column(), off: pair(), by_omega: pair() }
    }

    /// Moves the model to these parameters; does nothing when it is there.
    pub(super) fn at(&mut self, params: &Params) {
        if self.params.as_ref() == Some(params) {
            return;
        }
        self.params = Some(*params);
        let omega = params[OMEGA];
        // Times rise, so that the series are wanted in one piece, about the middle.
        let tau = &self.span.tau;
        let (low, high) = (
            tau.partition_point(|tau| (omega * tau).abs() >= SERIES_BELOW && *tau < 0.0),
            tau.partition_point(|tau| (omega * tau).abs() < SERIES_BELOW || *tau < 0.0),
        );
        self.fill(0..low, params, Basis::closed);
        self.fill(low..high, params, Basis::series);
        self.fill(high..tau.len(), params, Basis::closed);
    }

    #[inline(always)]
    fn fill(&mut self, range: Range<usize>, params: &Params, basis: impl Fn(f64, Pair) -> Basis<Pair>) {
        let Self { span, s1, s2, off: [off_east, off_north], by_omega: [by_east, by_north], .. } = self;
        fill(
            [s1, s2, off_east, off_north, by_east, by_north].map(|column| &mut column[range.clone()]),
            [&span.tau, &span.east, &span.north].map(|column| &column[range.clone()]),
            |[tau, east, north]| {
                let basis = basis(params[OMEGA], tau);
                let [model_east, model_north] = basis.place(params);
                let [by_east, by_north] = basis.by_omega(params);
                [basis.s1, basis.s2, east - model_east, north - model_north, by_east, by_north]
            },
        );
    }
}

/// Sums over the fixes of what the six parameters beside ω are told by: the rows are (1, 0, τ, 0, s1, s2) east and
/// (0, 1, 0, τ, -s2, s1) north, so that both axes share every sum.
pub(super) struct LinearSums {
    pub(super) count: f64,
    pub(super) tau: f64,
    pub(super) tau_tau: f64,
    pub(super) s1: f64,
    pub(super) s2: f64,
    pub(super) s1_tau: f64,
    pub(super) s2_tau: f64,
    /// Of s1² + s2².
    pub(super) squares: f64,
}

impl LinearSums {
    /// The upper triangle of their normal matrix.
    pub(super) fn normal<const N: usize>(&self) -> SMatrix<f64, N, N> {
        let &Self { count, tau, tau_tau, s1, s2, s1_tau, s2_tau, squares } = self;
        let mut normal = SMatrix::zeros();
        for (i, j, value) in [
            (0, 0, count),
            (0, 2, tau),
            (0, 4, s1),
            (0, 5, s2),
            (2, 2, tau_tau),
            (2, 4, s1_tau),
            (2, 5, s2_tau),
            (4, 4, squares),
            (1, 1, count),
            (1, 3, tau),
            (1, 4, -s2),
            (1, 5, s1),
            (3, 3, tau_tau),
            (3, 4, -s2_tau),
            (3, 5, s1_tau),
            (5, 5, squares),
        ] {
            normal[(i, j)] = value;
        }
        normal
    }
}

/// What is known of the wind beforehand, as it enters the sums: its inverse covariance times the variance of a fix.
pub(super) struct Pull {
    pub(super) weight: Matrix2<f64>,
    pub(super) wind: Vector2<f64>,
}

impl Pull {
    pub(super) fn new(prior: &WindPrior, information: &Matrix2<f64>, variance_m2: f64) -> Self {
        Self { weight: information * variance_m2, wind: Vector2::new(prior.wind.east_mps, prior.wind.north_mps) }
    }

    /// Adds it to the upper triangle of a normal matrix and to its right side, for a wind of `from` so far; gives
    /// twice its share of the cost there.
    pub(super) fn add<const N: usize>(
        &self,
        from: Vector2<f64>,
        normal: &mut SMatrix<f64, N, N>,
        right: &mut SVector<f64, N>,
    ) -> f64 {
        let off = self.wind - from;
        let pull = self.weight * off;
        normal[(2, 2)] += self.weight.m11;
        normal[(2, 3)] += self.weight.m12;
        normal[(3, 3)] += self.weight.m22;
        right[2] += pull.x;
        right[3] += pull.y;
        off.dot(&pull)
    }
}

/// Inverse of the prior's covariance; `None` when it is not positive definite.
pub(super) fn prior_information(prior: &WindPrior) -> Option<Matrix2<f64>> {
    let [ee, en, nn] = prior.cov;
    let wind_is_finite = prior.wind.east_mps.is_finite() && prior.wind.north_mps.is_finite();
    // A variance below (1 mm/s)² is taken as that: an exactly known wind would leave nothing to invert.
    let floor = 1e-6;
    let cov = Matrix2::new(ee + floor, en, en, nn + floor);
    let sound = wind_is_finite && ee >= 0.0 && nn >= 0.0 && cov.determinant() > 0.0;
    cov.try_inverse().filter(|inverse| sound && inverse.iter().all(|v| v.is_finite()))
}
