//! Circles in velocity space: the centre is the wind, the radius the airspeed.
//!
//! In steady wind every ground velocity lies on a circle round the wind, whatever the heading. [`fit_circle`] fits one,
//! and [`best_wind_guess`] looks for the spans of a flight that tell the wind best.
//!
//! The fit is geometric (distances to the circle), started from Taubin's algebraic fit, robust by Huber's loss, and
//! bounded: velocities along a straight line are refused, not fitted with a huge circle. The covariance accounts for
//! residuals that follow each other: the white-noise one is too small by 1.7 to 3 on real flights.

mod algebraic;
mod correlation;
mod coverage;
mod geometric;
mod guess;

pub(crate) use correlation::variance_inflation;
pub use guess::{NotObservable, SpanFit, WindGuess, best_wind_guess};

use driftless_units::{Estimate, Ground, Velocity, Wind};

/// A circle in velocity space.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CircleFit {
    /// Centre: the wind.
    pub wind: Wind,
    /// Radius: the airspeed, m/s.
    pub airspeed_mps: Estimate<f64>,
    /// Covariance of (wind east, wind north, airspeed), m²/s², correlated residuals accounted for.
    pub cov: [[f64; 3]; 3],
    /// Root-mean-square distance from the circle, m/s, outliers at their reduced weight.
    pub residual_mps: f64,
    /// How much of the compass the headings cover, degrees: 360 less the widest empty sector, in steps of 10.
    pub heading_coverage_deg: f64,
    /// Velocities the fit is worth: their number over the inflation for correlated residuals.
    pub effective_samples: f64,
}

impl CircleFit {
    /// Covariance of the wind, m²/s²: [east-east, east-north, north-north].
    pub fn wind_cov(&self) -> [f64; 3] {
        [self.cov[0][0], self.cov[0][1], self.cov[1][1]]
    }

    /// Standard uncertainty of the wind along its worst direction, m/s.
    pub fn wind_worst_std_mps(&self) -> f64 {
        let [ee, en, nn] = self.wind_cov();
        (0.5 * (ee + nn) + (0.25 * (ee - nn).powi(2) + en * en).sqrt()).max(0.0).sqrt()
    }
}

/// Why no circle fits.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum CircleError {
    /// A circle has three unknowns.
    #[error("a circle needs at least {needed} velocities, and there are {have}")]
    TooFew {
        /// Velocities given.
        have: usize,
        /// Fewest that determine the fit.
        needed: usize,
    },
    /// The velocities lie on a line or in a spot, or on so short an arc that no circle can be told from a line.
    #[error("not a circle: the velocities lie on a line, in one spot or on too short an arc")]
    NotACircle,
    /// A velocity is not a number.
    #[error("velocity {index} is not a finite number")]
    NotFinite {
        /// Which one, from 0.
        index: usize,
    },
}

/// Fits one circle, robustly. Velocities in time order, evenly spaced as far as the log allows (their order matters
/// for the covariance only).
///
/// ```
/// use driftless_units::{Ground, Velocity};
/// // Three legs at one airspeed, kt (D. Gray, 1998): ground speed and track.
/// let legs = [(140.0, 192.0), (112.0, 283.0), (120.0, 20.0)].map(|(speed, track)| {
///     Velocity::<Ground>::from_speed_course(speed, driftless_units::Angle::from_deg(track))
/// });
/// let fit = driftless_wind::circle::fit_circle(&legs)?;
/// assert!((fit.airspeed_mps.value - 130.0).abs() < 0.05);
/// assert!((fit.wind.from_deg() - 314.8).abs() < 0.1);
/// # Ok::<(), driftless_wind::circle::CircleError>(())
/// ```
///
/// # Errors
/// [`CircleError`] when there is no circle to be told.
pub fn fit_circle(velocities: &[Velocity<Ground>]) -> Result<CircleFit, CircleError> {
    geometric::fit(velocities, geometric::HUBER_K)
}

#[cfg(test)]
mod tests;
