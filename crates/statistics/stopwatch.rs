//! A run timed by hand: so many degrees in so many seconds.
//!
//! Rate = degrees / seconds. Reading the watch and pointing at the landmark are judged, not measured, so their
//! uncertainties are inputs (type B evaluation, JCGM 100:2008, 4.3); when laps were timed one by one their scatter is
//! used as soon as it is the larger.

use super::StatisticsError;
use super::compare::mean_and_sd;
use super::error::{finite, positive};
use driftless_units::Estimate;

/// How well a person times and points. Standard uncertainties.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StopwatchErrors {
    /// Of one timed span: start and stop together, s.
    pub reading_s: f64,
    /// Of one timed angle: both bearings together, °.
    pub pointing_deg: f64,
    /// How far these two may be off themselves, as a share (0.25 for 25 %); `None` when taken as known.
    pub doubt: Option<f64>,
}

impl Default for StopwatchErrors {
    /// 0.3 s and 5°: a practised observer with a landmark abeam (common practice, no source).
    fn default() -> Self {
        Self { reading_s: 0.3, pointing_deg: 5.0, doubt: None }
    }
}

/// How laps were timed.
#[derive(Debug, Clone, PartialEq)]
pub enum Laps {
    /// `n` laps, each started and stopped on its own; `seconds` is the mean of a lap. Errors fall with √n.
    Separate {
        /// Number of laps.
        n: u32,
        /// Mean time of a lap.
        seconds: f64,
    },
    /// `n` laps in one go, one start and one stop; `seconds` is the time of one lap. Errors fall with n.
    InOneGo {
        /// Number of laps.
        n: u32,
        /// Time of a lap: the whole time over n.
        seconds: f64,
    },
    /// Each lap's own time.
    Each(Vec<f64>),
}

/// Turn rate of a run, °/s, from the degrees of a lap (right positive) and how long laps took.
///
/// ```
/// use driftless_statistics::stopwatch::{Laps, StopwatchErrors, turn_rate};
/// let run = turn_rate(90.0, &Laps::Separate { n: 1, seconds: 30.0 }, &StopwatchErrors::default())?;
/// assert_eq!(run.value, 3.0);
/// assert!((run.std_u - 0.17).abs() < 0.005);
/// # Ok::<(), driftless_statistics::StatisticsError>(())
/// ```
///
/// # Errors
/// No lap, no time, no angle, or errors that are no sound numbers.
pub fn turn_rate(degrees: f64, laps: &Laps, errors: &StopwatchErrors) -> Result<Estimate<f64>, StatisticsError> {
    let what = "a stopwatch run";
    positive(what, "the turned angle", degrees.abs())?;
    positive(what, "the reading error", errors.reading_s)?;
    positive(what, "the pointing error", errors.pointing_deg)?;
    let (n, seconds) = match laps {
        Laps::Separate { n, seconds } | Laps::InOneGo { n, seconds } => (*n as usize, *seconds),
        Laps::Each(times) => (times.len(), times.iter().sum::<f64>() / times.len() as f64),
    };
    if n == 0 {
        return Err(StatisticsError::TooFew { what, of: "laps", needed: 1, got: 0 });
    }
    positive(what, "the time", seconds)?;
    let rate = degrees / seconds;
    let one_lap = one_lap_std_u(rate, degrees, errors);
    let judged_dof = judged_dof(errors)?;
    let judged = |std_u: f64| Estimate::with_dof(rate, std_u, judged_dof);
    Ok(match laps {
        Laps::Separate { .. } => judged(one_lap / (n as f64).sqrt()),
        Laps::InOneGo { .. } => judged(one_lap / n as f64),
        Laps::Each(times) => {
            times.iter().try_for_each(|time| positive(what, "a lap time", *time).map(|_| ()))?;
            let judged = judged(one_lap / (n as f64).sqrt());
            if n == 1 {
                return Ok(judged);
            }
            let (_, sd) = mean_and_sd(times);
            let scattered = rate.abs() * sd / seconds / (n as f64).sqrt();
            if scattered > judged.std_u { Estimate::with_dof(rate, scattered, (n - 1) as f64) } else { judged }
        }
    })
}

/// Standard uncertainty that one timed lap of `degrees` has at a turn rate of `rate`, °/s:
/// |ω| √((u_t ω/α)² + (u_α/α)²), first-order propagation of ω = α/T (JCGM 100:2008, 5.1.2).
pub fn one_lap_std_u(rate: f64, degrees: f64, errors: &StopwatchErrors) -> f64 {
    let timing = errors.reading_s * rate / degrees;
    let pointing = errors.pointing_deg / degrees;
    rate.abs() * timing.hypot(pointing)
}

/// ν = 1 / (2 doubt²): JCGM 100:2008, G.4.2, equation G.3.
fn judged_dof(errors: &StopwatchErrors) -> Result<f64, StatisticsError> {
    let Some(doubt) = errors.doubt else { return Ok(f64::INFINITY) };
    finite("a stopwatch run", "the doubt about its errors", doubt)?;
    Ok(0.5 / (doubt * doubt))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{Draws, share};

    /// JCGM 100:2008, G.4.2: an uncertainty judged good to a quarter has eight degrees of freedom.
    #[test]
    fn published_degrees_of_freedom_of_a_judgement() {
        let errors = StopwatchErrors { doubt: Some(0.25), ..StopwatchErrors::default() };
        assert_eq!(turn_rate(90.0, &Laps::Separate { n: 1, seconds: 30.0 }, &errors).unwrap().dof, 8.0);
    }

    /// Common practice, no source: ± 0.3 s and ± 5° is about 0.2 °/s at 3 °/s, and much worse when the turn is fast.
    #[test]
    fn common_practice_a_stopwatch_is_good_to_a_fifth_of_a_degree_per_second() {
        let errors = StopwatchErrors::default();
        assert!((one_lap_std_u(3.0, 90.0, &errors) - 0.2).abs() < 0.05);
        assert!(one_lap_std_u(12.0, 90.0, &errors) > 4.0 * one_lap_std_u(3.0, 90.0, &errors));
    }

    #[test]
    fn derived_laps_share_their_errors_as_stated() {
        let errors = StopwatchErrors::default();
        let of = |laps| turn_rate(-90.0, &laps, &errors).unwrap();
        let one = of(Laps::Separate { n: 1, seconds: 20.0 });
        assert_eq!(one.value, -4.5, "left is negative");
        assert!((of(Laps::Separate { n: 4, seconds: 20.0 }).std_u - one.std_u / 2.0).abs() < 1e-12);
        assert!((of(Laps::InOneGo { n: 4, seconds: 20.0 }).std_u - one.std_u / 4.0).abs() < 1e-12);
        // One full turn in one go is a lap of 360°.
        let full = turn_rate(-360.0, &Laps::Separate { n: 1, seconds: 80.0 }, &errors).unwrap();
        assert!((full.std_u - one.std_u / 4.0).abs() < 1e-12);
        let even = of(Laps::Each(vec![20.0, 20.0, 20.0]));
        assert!((even.std_u - one.std_u / 3.0_f64.sqrt()).abs() < 1e-12, "even laps are not better than the observer");
        let uneven = of(Laps::Each(vec![14.0, 20.0, 26.0]));
        assert!((uneven.std_u - 4.5 * 6.0 / 20.0 / 3.0_f64.sqrt()).abs() < 1e-12 && uneven.dof == 2.0);
    }

    #[test]
    fn what_cannot_be_timed_is_refused() {
        let errors = StopwatchErrors::default();
        assert!(turn_rate(0.0, &Laps::Separate { n: 1, seconds: 20.0 }, &errors).is_err());
        assert!(turn_rate(90.0, &Laps::Separate { n: 0, seconds: 20.0 }, &errors).is_err());
        assert!(turn_rate(90.0, &Laps::Separate { n: 1, seconds: 0.0 }, &errors).is_err());
        assert!(turn_rate(90.0, &Laps::Each(vec![]), &errors).is_err());
        assert!(turn_rate(90.0, &Laps::Each(vec![10.0, f64::NAN]), &errors).is_err());
    }

    /// 2,000 runs at 3 °/s: first-order propagation covers 95 % (standard error 0.5 %, three of them).
    #[test]
    fn simulated_coverage_of_a_timed_quarter_turn() {
        let errors = StopwatchErrors::default();
        let mut draws = Draws::new(21);
        let covered = share(2000, |_| {
            let turned = draws.normal(90.0, errors.pointing_deg);
            let seconds = turned / 3.0 + draws.normal(0.0, errors.reading_s);
            let interval = turn_rate(90.0, &Laps::Separate { n: 1, seconds }, &errors).unwrap().interval(0.95);
            interval.low <= 3.0 && 3.0 <= interval.high
        });
        assert!((0.935..=0.965).contains(&covered), "{covered}");
    }
}
