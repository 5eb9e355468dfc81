//! The circle-drift model: in steady wind a steady turn draws a circle in the air and a trochoid over the ground.
//!
//! ```text
//! p(τ) = p0 + w τ + s1(τ) u + s2(τ) u⊥      s1 = sin(ωτ)/ω,  s2 = (1 - cos ωτ)/ω
//! ```
//!
//! with `τ` counted from the middle of the span, `u` the air velocity there (east, north) and `u⊥` the same turned
//! a quarter to the right. Nothing jumps at ω = 0, where s1 becomes τ and s2 vanishes.
//!
//! For a given ω the model is linear in everything else, so [`fit_drift`] scans ω in steps of π/T (T: length of the
//! span) with a linear fit each, then refines the best few by Gauss-Newton on all seven parameters. A descent from
//! one start falls into wrong minima. On a nearly straight span wind and airspeed cannot be told apart, only
//! their sum, so the wind is borrowed from the rest of the flight with its covariance ([`WindPrior`]).

mod model;
mod refine;
mod scan;

use crate::circle::CircleFit;
use driftless_units::{Angle, Estimate, Ground, Position, TurnRate, Wind};

/// What is known of the wind before the fit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WindPrior {
    /// Expected wind.
    pub wind: Wind,
    /// Its covariance, m²/s²: [east-east, east-north, north-north].
    pub cov: [f64; 3],
}

impl WindPrior {
    /// Nothing known but that winds are of the order of 15 m/s: for spans that turn far enough to tell it.
    pub fn vague() -> Self {
        Self { wind: Wind::default(), cov: [225.0, 0.0, 225.0] }
    }
}

impl From<&CircleFit> for WindPrior {
    fn from(fit: &CircleFit) -> Self {
        Self { wind: fit.wind, cov: fit.wind_cov() }
    }
}

/// A fitted span.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DriftFit {
    /// Turn rate through the air.
    pub turn_rate: Estimate<TurnRate>,
    /// Airspeed, m/s.
    pub airspeed_mps: Estimate<f64>,
    /// Heading in the middle of the span, `[-180°, 180°)`.
    pub heading: Angle,
    /// Wind, the prior's share included.
    pub wind: Wind,
    /// Covariance of the wind, m²/s²: [east-east, east-north, north-north].
    pub wind_cov: [f64; 3],
    /// Place in the middle of the span.
    pub position: Position<Ground>,
    /// Time of the middle of the span, on the clock of the times given.
    pub middle_s: f64,
    /// Root-mean-square distance per axis from the fitted path, m, outliers at their reduced weight.
    pub residual_m: f64,
}

impl DriftFit {
    /// The fitted path at a time.
    pub fn position_at(&self, t_s: f64) -> Position<Ground> {
        let rate = self.turn_rate.value.rad_s();
        let (sin, cos) = self.heading.rad().sin_cos();
        let params = model::Params::from([
            self.position.east_m,
            self.position.north_m,
            self.wind.east_mps,
            self.wind.north_mps,
            self.airspeed_mps.value * sin,
            self.airspeed_mps.value * cos,
            rate,
        ]);
        let [east_m, north_m] = model::Basis::new(rate, t_s - self.middle_s).place(&params);
        Position::new(east_m, north_m)
    }
}

/// Why a span cannot be fitted.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum DriftError {
    /// Seven unknowns need some more fixes than that.
    #[error("a circle-drift fit needs at least {needed} fixes, and there are {have}")]
    TooFew {
        /// Fixes given.
        have: usize,
        /// Fewest that are fitted.
        needed: usize,
    },
    /// Times and positions do not belong together.
    #[error("{times} times were given for {positions} positions")]
    Unequal {
        /// Times given.
        times: usize,
        /// Positions given.
        positions: usize,
    },
    /// Not a number, or a time that does not rise.
    #[error("fix {index} of the span has no finite position or a time that does not rise")]
    BadFix {
        /// Which one, from 0.
        index: usize,
    },
    /// The covariance of the wind given is not one.
    #[error("the covariance of the wind is not positive definite")]
    BadPrior,
    /// No turn rate explains the path with an airspeed that an aircraft can have.
    #[error("no turn rate up to {limit_deg_s:.0} °/s explains this path with an airspeed of 3 to 150 m/s")]
    NoFit {
        /// Fastest turn tried, °/s.
        limit_deg_s: f64,
    },
}

/// Fewest fixes fitted: 16 numbers for seven unknowns.
const MIN_FIXES: usize = 8;

/// Fits the circle-drift model to positions, robustly.
///
/// `t_s` in seconds, strictly rising; `positions` of the same length. The covariance accounts for residuals that
/// follow each other. Cost is linear in the number of fixes.
///
/// # Errors
/// [`DriftError`] when there is too little to fit or nothing fits.
pub fn fit_drift(t_s: &[f64], positions: &[Position<Ground>], prior: &WindPrior) -> Result<DriftFit, DriftError> {
    let span = model::Span::new(t_s, positions)?;
    let information = model::prior_information(prior).ok_or(DriftError::BadPrior)?;
    let starts = scan::starts(&span, prior, &information)?;
    let limit_deg_s = scan::limit_rad_s(&span).to_degrees();
    refine::best(&span, prior, &information, &starts).ok_or(DriftError::NoFit { limit_deg_s })
}

#[cfg(test)]
mod tests;
