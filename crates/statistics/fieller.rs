//! Compensation: how much of the baseline's turn a device takes away, with Fieller's interval.
//!
//! Compensation is 100 (1 - residual / baseline) %, a ratio of two uncertain numbers. Its interval is the set of all
//! ratios θ for which the contrast a - θ b is not told from zero (E. C. Fieller, JRSS Suppl. 7 (1940) 1-64). The set is
//! bounded only when the baseline itself is clearly turning; else it is everything outside an interval, or everything.
//! Then compensation is not resolvable and the residual has to speak for itself.
//!
//! **Degrees of freedom.** Each contrast a - θ b has its own, by Welch and Satterthwaite from those of both estimates
//! (the Welch test, inverted), or one number is given for all, as textbooks do with a pooled variance.

use super::StatisticsError;
use super::distributions::ridders;
use super::error::sound;
use driftless_units::{Estimate, Interval, coverage_factor};

#[cfg(test)]
mod tests;

/// Degrees of freedom of the contrasts a - θ b.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum ContrastDof {
    /// Welch-Satterthwaite for each θ.
    #[default]
    WelchSatterthwaite,
    /// The same for all.
    Common(f64),
}

/// All ratios that the data do not rule out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RatioSet {
    /// Between two ends.
    Bounded(Interval<f64>),
    /// At or below the lower end, or at or above the higher: the denominator may be zero, both may not.
    Outside(Interval<f64>),
    /// Any ratio at all.
    Everything,
}

impl RatioSet {
    /// Whether the set holds a ratio.
    pub fn contains(&self, ratio: f64) -> bool {
        match self {
            Self::Bounded(ends) => ends.low <= ratio && ratio <= ends.high,
            Self::Outside(ends) => ratio <= ends.low || ratio >= ends.high,
            Self::Everything => true,
        }
    }
}

/// A ratio of two estimates.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ratio {
    /// Numerator over denominator; infinite or NaN when the denominator is zero.
    pub value: f64,
    /// (t u(b) / b)²: below one the set is bounded.
    pub g: f64,
    /// All ratios not ruled out.
    pub set: RatioSet,
}

/// Fieller's set for `numerator / denominator` at probability `p` (0.95 for 95 %), with their covariance (same unit,
/// squared; zero for independent runs, positive where both share an error, such as the wind of one flight).
///
/// # Errors
/// An estimate that is no sound number, or a covariance that two such uncertainties cannot have.
pub fn ratio(
    numerator: &Estimate<f64>,
    denominator: &Estimate<f64>,
    covariance: f64,
    dof: ContrastDof,
    p: f64,
) -> Result<Ratio, StatisticsError> {
    let what = "a ratio";
    sound(what, numerator)?;
    sound(what, denominator)?;
    let limit = numerator.std_u * denominator.std_u;
    if covariance.is_nan() || covariance.abs() >= limit {
        return Err(StatisticsError::NotPositive {
            what,
            quantity: "what the covariance leaves of the uncertainties",
            value: limit - covariance.abs(),
        });
    }
    let contrasts = Contrasts::new(numerator, denominator, covariance, dof, p);
    let t_denominator = contrasts.quantile(0.0, 1.0);
    Ok(Ratio {
        value: numerator.value / denominator.value,
        g: (t_denominator * denominator.std_u / denominator.value).powi(2),
        set: not_ruled_out(|delta| contrasts.contrast(delta), |delta| contrasts.excess(delta)),
    })
}

/// All contrasts c₁ a + c₂ b of unit variance, by one angle.
///
/// With C = L Lᵀ the covariance of (a, b) and z = L⁻¹ (a, b), a unit vector n gives the contrast c = L⁻ᵀ n, whose value
/// is n·z and whose variance is one. n perpendicular to z is the estimated ratio itself; at an angle δ from there the
/// contrast is |z| sin δ standard uncertainties from zero. The ratio of a contrast is θ = -c₂/c₁.
struct Contrasts {
    l11: f64,
    l21: f64,
    l22: f64,
    /// |z|.
    length: f64,
    /// z / |z|.
    along: (f64, f64),
    variances: (f64, f64),
    dofs: (f64, f64),
    rule: ContrastDof,
    p: f64,
}

impl Contrasts {
    fn new(a: &Estimate<f64>, b: &Estimate<f64>, covariance: f64, rule: ContrastDof, p: f64) -> Self {
        let variances = (a.std_u * a.std_u, b.std_u * b.std_u);
        let l11 = a.std_u;
        let l21 = covariance / l11;
        let l22 = (variances.1 - l21 * l21).sqrt();
        let z1 = a.value / l11;
        let z2 = (b.value - l21 * z1) / l22;
        let length = z1.hypot(z2);
        let along = if length > 0.0 { (z1 / length, z2 / length) } else { (1.0, 0.0) };
        Self { l11, l21, l22, length, along, variances, dofs: (a.dof, b.dof), rule, p }
    }

    fn contrast(&self, delta: f64) -> (f64, f64) {
        let (sin, cos) = delta.sin_cos();
        // Oriented so that c₁ has the sign of b at δ = 0.
        let n1 = cos * self.along.1 + sin * self.along.0;
        let n2 = -cos * self.along.0 + sin * self.along.1;
        let c2 = n2 / self.l22;
        ((n1 - self.l21 * c2) / self.l11, c2)
    }

    /// Student quantile for the contrast; its variance need not be one.
    fn quantile(&self, c1: f64, c2: f64) -> f64 {
        let dof = match self.rule {
            ContrastDof::Common(dof) => dof,
            ContrastDof::WelchSatterthwaite => {
                let parts = (c1 * c1 * self.variances.0, c2 * c2 * self.variances.1);
                let total = parts.0 + parts.1 + 2.0 * c1 * c2 * self.l11 * self.l21;
                let spread = parts.0 * parts.0 / self.dofs.0 + parts.1 * parts.1 / self.dofs.1;
                // A shared error cancels in the contrast and leaves a small total: never below the smaller of both.
                (total * total / spread).max(self.dofs.0.min(self.dofs.1))
            }
        };
        coverage_factor(self.p, dof)
    }

    /// Standard uncertainties by which the contrast misses the limit.
    fn excess(&self, delta: f64) -> f64 {
        let (c1, c2) = self.contrast(delta);
        self.length * delta.sin().abs() - self.quantile(c1, c2)
    }
}

/// The set of ratios from its contrasts: `contrast` gives (c₁, c₂) at an angle from the estimated ratio, `excess` by how much
/// the contrast there is beyond the limit.
pub(crate) fn not_ruled_out(contrast: impl Fn(f64) -> (f64, f64), excess: impl Fn(f64) -> f64) -> RatioSet {
    let (Some(low), Some(high)) = (end(-1.0, &excess), end(1.0, &excess)) else { return RatioSet::Everything };
    let (low, middle, high) = (contrast(low), contrast(0.0), contrast(high));
    let ratios = (-low.1 / low.0, -high.1 / high.0);
    let ends = Interval { low: ratios.0.min(ratios.1), high: ratios.0.max(ratios.1) };
    let through_infinity = low.0 * middle.0 <= 0.0 || high.0 * middle.0 <= 0.0;
    if through_infinity { RatioSet::Outside(ends) } else { RatioSet::Bounded(ends) }
}

/// The first angle from zero at which the contrast is told from zero.
fn end(side: f64, excess: &impl Fn(f64) -> f64) -> Option<f64> {
    const STEPS: u32 = 12;
    let quarter = std::f64::consts::FRAC_PI_2;
    let angle = |step: u32| side * quarter * f64::from(step) / f64::from(STEPS);
    let first = (1..=STEPS).find(|step| excess(angle(*step)) > 0.0)?;
    Some(ridders(angle(first - 1), angle(first), excess))
}

/// What an interval of compensation says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CompensationVerdict {
    /// The baseline is not clearly turning: no bounded interval; judge by the residual turn itself.
    NotResolvable,
    /// Wholly below 0 %: the device makes the turn worse.
    Worsens,
    /// 0 % is inside: no effect is shown.
    NoEffectShown,
    /// Between 0 and 100 %: the device takes part of the turn away.
    Reduces,
    /// Above 0 % with 100 % inside: whether anything is left cannot be told.
    FullWithinUncertainty,
    /// Wholly above 100 %: over-compensated, turns the other way.
    OverCompensated,
}

/// Compensation in per cent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Compensation {
    /// 100 (1 - residual / baseline); `None` when not resolvable.
    pub percent: Option<f64>,
    /// Its 95 % interval; `None` when not resolvable.
    pub interval: Option<Interval<f64>>,
    /// What the interval says.
    pub verdict: CompensationVerdict,
    /// The ratio residual / baseline behind it.
    pub ratio: Ratio,
}

impl Compensation {
    /// From the ratio of residual to baseline.
    pub(crate) fn of(ratio: Ratio) -> Self {
        let RatioSet::Bounded(ends) = ratio.set else {
            return Self { percent: None, interval: None, verdict: CompensationVerdict::NotResolvable, ratio };
        };
        let percent = |ratio: f64| 100.0 * (1.0 - ratio);
        let interval = Interval { low: percent(ends.high), high: percent(ends.low) };
        let verdict = match interval {
            Interval { high, .. } if high < 0.0 => CompensationVerdict::Worsens,
            Interval { low, .. } if low <= 0.0 => CompensationVerdict::NoEffectShown,
            Interval { low, .. } if low > 100.0 => CompensationVerdict::OverCompensated,
            Interval { high, .. } if high >= 100.0 => CompensationVerdict::FullWithinUncertainty,
            _ => CompensationVerdict::Reduces,
        };
        Self { percent: Some(percent(ratio.value)), interval: Some(interval), verdict, ratio }
    }
    /// Whether the interval is bounded.
    pub fn resolvable(&self) -> bool {
        self.interval.is_some()
    }
    /// Half the length of the interval, percentage points.
    pub fn half_width(&self) -> Option<f64> {
        self.interval.map(|ends| 0.5 * (ends.high - ends.low))
    }
    /// Above 100 %, whether or not the interval excludes 100 %.
    pub fn over_compensated(&self) -> bool {
        self.percent.is_some_and(|percent| percent > 100.0)
    }
}

/// Compensation of a device from the residual turn and the baseline's turn (signed, the same unit), independent runs.
///
/// ```
/// use driftless_statistics::fieller::compensation;
/// use driftless_units::Estimate;
/// let removed = compensation(&Estimate::new(1.2, 0.4), &Estimate::new(6.0, 0.3))?;
/// let interval = removed.interval.unwrap();
/// assert!((removed.percent.unwrap() - 80.0).abs() < 1e-9);
/// assert!((interval.low - 66.528).abs() < 1e-3 && (interval.high - 93.084).abs() < 1e-3);
/// // A baseline that hardly turns: no percentage.
/// assert!(!compensation(&Estimate::new(1.2, 0.4), &Estimate::new(0.3, 0.3))?.resolvable());
/// # Ok::<(), driftless_statistics::StatisticsError>(())
/// ```
///
/// # Errors
/// An estimate that is no sound number.
pub fn compensation(residual: &Estimate<f64>, baseline: &Estimate<f64>) -> Result<Compensation, StatisticsError> {
    compensation_with(residual, baseline, 0.0, ContrastDof::default())
}

/// Compensation of estimates that share errors, or with a given number of degrees of freedom; see [`compensation`].
///
/// # Errors
/// As [`ratio`].
pub(crate) fn compensation_with(
    residual: &Estimate<f64>,
    baseline: &Estimate<f64>,
    covariance: f64,
    dof: ContrastDof,
) -> Result<Compensation, StatisticsError> {
    Ok(Compensation::of(ratio(residual, baseline, covariance, dof, 0.95)?))
}
