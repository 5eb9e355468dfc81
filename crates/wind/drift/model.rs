//! The model, its derivatives, and the stretch it is fitted to.

use super::{DriftError, MIN_FIXES, WindPrior};
use driftless_units::{Ground, Position};
use nalgebra::{Matrix2, SMatrix, SVector};

/// Parameters: position (east, north) and wind (east, north), air velocity (east, north) in the middle, turn rate.
pub(super) const PARAMETERS: usize = 7;
pub(super) type Params = SVector<f64, PARAMETERS>;
pub(super) type Normal = SMatrix<f64, PARAMETERS, PARAMETERS>;
/// Place of the turn rate among the parameters.
pub(super) const OMEGA: usize = 6;

/// Below this ωτ the series are used; eight digits of margin to where they and the closed forms agree to rounding.
const SERIES_BELOW: f64 = 0.1;

/// The two basis functions at a time, with their derivatives by ω.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Basis {
    pub(super) tau: f64,
    /// sin(ωτ)/ω, s.
    pub(super) s1: f64,
    /// (1 - cos ωτ)/ω, s.
    pub(super) s2: f64,
    /// ∂s1/∂ω, s².
    pub(super) d1: f64,
    /// ∂s2/∂ω, s².
    pub(super) d2: f64,
}

impl Basis {
    pub(super) fn new(omega: f64, tau: f64) -> Self {
        let x = omega * tau;
        let q = x * x;
        let (s1, s2, d1, d2) = if x.abs() < SERIES_BELOW {
            (
                1.0 - q / 6.0 * (1.0 - q / 20.0 * (1.0 - q / 42.0 * (1.0 - q / 72.0))),
                x / 2.0 * (1.0 - q / 12.0 * (1.0 - q / 30.0 * (1.0 - q / 56.0))),
                -x * (1.0 / 3.0 - q * (1.0 / 30.0 - q * (1.0 / 840.0 - q / 45_360.0))),
                0.5 - q * (1.0 / 8.0 - q * (1.0 / 144.0 - q / 5_760.0)),
            )
        } else {
            let (sin, cos) = x.sin_cos();
            (sin / x, (1.0 - cos) / x, (x * cos - sin) / q, (x * sin - 1.0 + cos) / q)
        };
        Self { tau, s1: tau * s1, s2: tau * s2, d1: tau * tau * d1, d2: tau * tau * d2 }
    }

    /// Model position (east, north).
    pub(super) fn place(&self, p: &Params) -> [f64; 2] {
        [
            p[0] + p[2] * self.tau + p[4] * self.s1 + p[5] * self.s2,
            p[1] + p[3] * self.tau + p[5] * self.s1 - p[4] * self.s2,
        ]
    }

    /// Derivatives of the place by ω.
    pub(super) fn by_omega(&self, p: &Params) -> [f64; 2] {
        [p[4] * self.d1 + p[5] * self.d2, p[5] * self.d1 - p[4] * self.d2]
    }
}

/// Fixes about their middle: small numbers, well conditioned.
pub(super) struct Stretch {
    pub(super) tau: Vec<f64>,
    pub(super) places: Vec<[f64; 2]>,
    pub(super) middle_s: f64,
    pub(super) origin: [f64; 2],
}

impl Stretch {
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
        let origin = [origin.east_m, origin.north_m];
        Ok(Self {
            tau: t_s.iter().map(|t| t - middle_s).collect(),
            places: positions.iter().map(|p| [p.east_m - origin[0], p.north_m - origin[1]]).collect(),
            middle_s,
            origin,
        })
    }

    pub(super) fn span_s(&self) -> f64 {
        self.tau.last().copied().unwrap_or(0.0) - self.tau.first().copied().unwrap_or(0.0)
    }

    /// At most `most` fixes spread evenly over the stretch.
    pub(super) fn thinned(&self, most: usize) -> Self {
        let stride = self.tau.len().div_ceil(most).max(1);
        Self {
            tau: self.tau.iter().step_by(stride).copied().collect(),
            places: self.places.iter().step_by(stride).copied().collect(),
            middle_s: self.middle_s,
            origin: self.origin,
        }
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
