//! Heading drift on straight flight, for a tester who doubts a claim: with the wind taken out, and as it looked raw.

use super::StatisticsError;
use super::error::finite;
use super::random_effects::{CellMean, combine};
use driftless_units::{Estimate, Interval};

/// One straight window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StraightWindow {
    /// Turn rate through the air, °/s, wander included.
    pub turn_rate_deg_s: Estimate<f64>,
    /// Mean rate of the course over the ground, °/s.
    pub course_rate_deg_s: f64,
    /// Length, s: the raw rate of a longer window counts more.
    pub seconds: f64,
}

/// What the drift says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DriftVerdict {
    /// Drifts to the right: the whole interval is above zero.
    Right,
    /// Drifts to the left.
    Left,
    /// No drift shown, and the interval is narrow enough to say it is below the limit.
    StraightWithinLimit,
    /// No drift shown, but a drift above the limit is not ruled out either.
    CannotTell,
}

/// Heading drift, °/min.
#[derive(Debug, Clone, PartialEq)]
pub struct HeadingDrift {
    /// Drift with the wind taken out.
    pub drift_deg_min: Estimate<f64>,
    /// Its 95 % interval.
    pub interval: Interval<f64>,
    /// How it would have looked on the ground track: mean course rate, weighted by time.
    pub raw_deg_min: f64,
    /// What the wind put on top: raw less drift.
    pub wind_deg_min: f64,
    /// What it says.
    pub verdict: DriftVerdict,
    /// The windows combined, °/s: spread, contradictions, outlying windows.
    pub windows: CellMean,
}

/// Drift of straight windows as a random-effects mean; `limit_deg_min` is what still counts as straight.
///
/// # Errors
/// No window, or one that is no sound number.
pub fn heading_drift(windows: &[StraightWindow], limit_deg_min: f64) -> Result<HeadingDrift, StatisticsError> {
    let what = "a heading drift";
    let rates: Vec<Estimate<f64>> = windows.iter().map(|window| window.turn_rate_deg_s).collect();
    let combined = combine(&rates)?;
    let per_minute = |deg_s: f64| 60.0 * deg_s;
    let mean = combined.mean;
    let drift = Estimate::with_dof(per_minute(mean.value), per_minute(mean.std_u), mean.dof);
    let interval = drift.interval(0.95);
    let seconds: f64 = windows.iter().map(|window| window.seconds).sum();
    let course: f64 = windows.iter().map(|window| window.course_rate_deg_s * window.seconds).sum();
    let raw = finite(what, "the raw course rate", per_minute(course / seconds))?;
    let verdict = match interval {
        Interval { low, .. } if low > 0.0 => DriftVerdict::Right,
        Interval { high, .. } if high < 0.0 => DriftVerdict::Left,
        Interval { low, high } if -low <= limit_deg_min && high <= limit_deg_min => DriftVerdict::StraightWithinLimit,
        _ => DriftVerdict::CannotTell,
    };
    Ok(HeadingDrift {
        drift_deg_min: drift,
        interval,
        raw_deg_min: raw,
        wind_deg_min: raw - drift.value,
        verdict,
        windows: combined,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn window(rate: f64, u: f64, course: f64) -> StraightWindow {
        StraightWindow { turn_rate_deg_s: Estimate::new(rate, u), course_rate_deg_s: course, seconds: 60.0 }
    }

    #[test]
    fn derived_drift_is_told_from_what_the_wind_adds() {
        // 12 °/min through the air in both; the ground track says -30 °/min and +90 °/min in different winds.
        let result = heading_drift(&[window(0.2, 0.02, -0.5), window(0.21, 0.02, 1.5)], 10.0).unwrap();
        assert!((result.drift_deg_min.value - 12.3).abs() < 1e-6 && result.verdict == DriftVerdict::Right);
        assert!((result.raw_deg_min - 30.0).abs() < 1e-9 && (result.wind_deg_min - 17.7).abs() < 1e-6);
        let left = heading_drift(&[window(-0.2, 0.02, 0.0)], 10.0).unwrap();
        assert_eq!(left.verdict, DriftVerdict::Left);
    }

    #[test]
    fn no_drift_shown_is_not_the_same_as_straight() {
        let narrow = heading_drift(&[window(0.01, 0.02, 0.3)], 10.0).unwrap();
        assert_eq!(narrow.verdict, DriftVerdict::StraightWithinLimit);
        let wide = heading_drift(&[window(0.01, 0.2, 0.3)], 10.0).unwrap();
        assert_eq!(wide.verdict, DriftVerdict::CannotTell);
        // Within the limit on one side alone.
        for rate in [0.12, -0.12] {
            let lopsided = heading_drift(&[window(rate, 0.1, 0.3)], 10.0).unwrap();
            let outside = [lopsided.interval.low.abs() > 10.0, lopsided.interval.high.abs() > 10.0];
            assert_ne!(outside[0], outside[1], "{:?}", lopsided.interval);
            assert_eq!(lopsided.verdict, DriftVerdict::CannotTell);
        }
        assert!(heading_drift(&[], 10.0).is_err());
    }
}
