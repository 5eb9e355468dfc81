//! A straight line y = a + b x where both x and y are uncertain.
//!
//! Source: D. York, N. M. Evensen, M. López Martínez and J. De Basabe Delgado, Am. J. Phys. 72 (2004) 367-375: unified
//! equations for slope, intercept and standard errors (the maximum-likelihood line of York 1966). Where x is exact and
//! all y are alike it is ordinary least squares.

use super::StatisticsError;
use super::distributions::chi_squared_upper_p;
use super::error::finite;
use driftless_units::Estimate;

#[cfg(test)]
mod tests;

/// A point of the line. Standard uncertainties; one of both may be zero.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LinePoint {
    /// Abscissa.
    pub x: f64,
    /// Its standard uncertainty.
    pub x_std_u: f64,
    /// Ordinate.
    pub y: f64,
    /// Its standard uncertainty.
    pub y_std_u: f64,
    /// Correlation of both errors.
    pub correlation: f64,
}

impl LinePoint {
    /// A point with independent errors.
    pub fn new(x: f64, x_std_u: f64, y: f64, y_std_u: f64) -> Self {
        Self { x, x_std_u, y, y_std_u, correlation: 0.0 }
    }
}

/// How stated uncertainties and scatter are weighed against each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Scatter {
    /// Stated uncertainties are believed, but widened by √(χ²/ν) where the points scatter more than they allow (Birge
    /// 1932). Student's t with n - 2 degrees of freedom when widened, else normal.
    #[default]
    WidenOnly,
    /// Only the ratios of the uncertainties are believed; their level is taken from the scatter. Student's t.
    LevelFromScatter,
}

/// A fitted line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// a.
    pub intercept: Estimate<f64>,
    /// b.
    pub slope: Estimate<f64>,
    /// Covariance of a and b, widened as both are.
    pub covariance: f64,
    /// Sum of squared distances in units of the stated uncertainties.
    pub chi_squared: f64,
    /// Points less two.
    pub dof: f64,
    /// Probability of a χ² at least as large when the stated uncertainties are right and the line is straight.
    pub p: f64,
    /// Steps the iteration took.
    pub iterations: usize,
}

impl Line {
    /// The line at `x`.
    pub fn at(&self, x: f64) -> Estimate<f64> {
        let variance = self.intercept.std_u.powi(2) + 2.0 * x * self.covariance + (x * self.slope.std_u).powi(2);
        Estimate::with_dof(self.intercept.value + x * self.slope.value, variance.max(0.0).sqrt(), self.slope.dof)
    }
}

/// Fits the line.
///
/// # Errors
/// Fewer than three points, numbers that are not finite, a point without any uncertainty, x all alike, or an iteration
/// that does not settle (the points hardly follow a line, or it is vertical).
pub fn fit_line(points: &[LinePoint], scatter: Scatter) -> Result<Line, StatisticsError> {
    const WHAT: &str = "a straight line";
    const MOST_ITERATIONS: usize = 500;
    check(WHAT, points)?;
    let mut slope = start(points).ok_or(StatisticsError::NotIdentifiable { what: WHAT, parameter: "the slope" })?;
    for iterations in 1..=MOST_ITERATIONS {
        let step = Step::of(points, slope);
        let next = finite(WHAT, "the slope", step.slope)?;
        // Relative to the slope's own uncertainty too, so that a slope of zero ends as well.
        if (next - slope).abs() <= 1e-14 * (next.abs() + step.slope_std_u()) {
            return Ok(finish(points, next, scatter, iterations));
        }
        slope = next;
    }
    Err(StatisticsError::NotConverged { what: WHAT, iterations: MOST_ITERATIONS })
}

fn check(what: &'static str, points: &[LinePoint]) -> Result<(), StatisticsError> {
    if points.len() < 3 {
        return Err(StatisticsError::TooFew { what, of: "points", needed: 3, got: points.len() });
    }
    for point in points {
        finite(what, "an abscissa", point.x)?;
        finite(what, "an ordinate", point.y)?;
        finite(what, "an uncertainty", point.x_std_u + point.y_std_u)?;
        if point.x_std_u < 0.0 || point.y_std_u <= 0.0 {
            let value = point.x_std_u.min(point.y_std_u);
            return Err(StatisticsError::NotPositive { what, quantity: "an uncertainty", value });
        }
        if point.correlation.is_nan() || point.correlation.abs() >= 1.0 {
            return Err(StatisticsError::NotPositive {
                what,
                quantity: "one less the correlation of errors",
                value: 1.0 - point.correlation.abs(),
            });
        }
    }
    Ok(())
}

/// Least squares weighted by the uncertainties of y alone.
fn start(points: &[LinePoint]) -> Option<f64> {
    let weight = |p: &LinePoint| 1.0 / (p.y_std_u * p.y_std_u);
    let total: f64 = points.iter().map(weight).sum();
    let x = points.iter().map(|p| weight(p) * p.x).sum::<f64>() / total;
    let y = points.iter().map(|p| weight(p) * p.y).sum::<f64>() / total;
    let sxx: f64 = points.iter().map(|p| weight(p) * (p.x - x).powi(2)).sum();
    let sxy: f64 = points.iter().map(|p| weight(p) * (p.x - x) * (p.y - y)).sum();
    (sxx > 0.0).then_some(sxy / sxx)
}

/// One step of the iteration, in the symbols of the paper: W, X̄, Ȳ, β.
struct Step {
    weights: Vec<f64>,
    total: f64,
    x: f64,
    y: f64,
    beta: Vec<f64>,
    slope: f64,
}

impl Step {
    fn of(points: &[LinePoint], b: f64) -> Self {
        let shared = |p: &LinePoint| p.correlation * p.x_std_u * p.y_std_u;
        let variance = |p: &LinePoint| p.y_std_u.powi(2) + (b * p.x_std_u).powi(2) - 2.0 * b * shared(p);
        let weights: Vec<f64> = points.iter().map(|p| 1.0 / variance(p)).collect();
        let total: f64 = weights.iter().sum();
        let x = weights.iter().zip(points).map(|(w, p)| w * p.x).sum::<f64>() / total;
        let y = weights.iter().zip(points).map(|(w, p)| w * p.y).sum::<f64>() / total;
        let adjusted = |(w, p): (&f64, &LinePoint)| {
            let (u, v) = (p.x - x, p.y - y);
            w * (u * p.y_std_u.powi(2) + b * v * p.x_std_u.powi(2) - (b * u + v) * shared(p))
        };
        let beta: Vec<f64> = weights.iter().zip(points).map(adjusted).collect();
        let sum = |value: &dyn Fn(&LinePoint) -> f64| -> f64 {
            weights.iter().zip(&beta).zip(points).map(|((w, beta), p)| w * beta * value(p)).sum()
        };
        let slope = sum(&|p| p.y - y) / sum(&|p| p.x - x);
        Self { weights, total, x, y, beta, slope }
    }

    /// Mean of the adjusted x, and the standard uncertainty of the slope about it.
    fn adjusted_mean_and_slope_std_u(&self) -> (f64, f64) {
        let mean = self.weights.iter().zip(&self.beta).map(|(w, beta)| w * beta).sum::<f64>() / self.total;
        let squares: f64 = self.weights.iter().zip(&self.beta).map(|(w, beta)| w * (beta - mean).powi(2)).sum();
        (self.x + mean, (1.0 / squares).sqrt())
    }

    fn slope_std_u(&self) -> f64 {
        self.adjusted_mean_and_slope_std_u().1
    }
}

fn finish(points: &[LinePoint], slope: f64, scatter: Scatter, iterations: usize) -> Line {
    let step = Step::of(points, slope);
    let intercept = step.y - slope * step.x;
    let (mean, slope_std_u) = step.adjusted_mean_and_slope_std_u();
    let intercept_std_u = (1.0 / step.total + (mean * slope_std_u).powi(2)).sqrt();
    let distance = |(w, p): (&f64, &LinePoint)| w * (p.y - intercept - slope * p.x).powi(2);
    let chi_squared: f64 = step.weights.iter().zip(points).map(distance).sum();
    let dof = (points.len() - 2) as f64;
    let level = chi_squared / dof;
    let (level, estimate_dof) = match scatter {
        Scatter::WidenOnly if level <= 1.0 => (1.0, f64::INFINITY),
        Scatter::WidenOnly | Scatter::LevelFromScatter => (level, dof),
    };
    let widened = |value: f64, std_u: f64| Estimate::with_dof(value, std_u * level.sqrt(), estimate_dof);
    Line {
        intercept: widened(intercept, intercept_std_u),
        slope: widened(slope, slope_std_u),
        covariance: -mean * slope_std_u * slope_std_u * level,
        chi_squared,
        dof,
        p: chi_squared_upper_p(chi_squared, dof),
        iterations,
    }
}
