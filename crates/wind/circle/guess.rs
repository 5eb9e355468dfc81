//! The spans of a flight that tell the wind best.
//!
//! Circles are fitted to sliding spans of 60 to 480 s and to the whole flight, and ranked by the uncertainty of
//! their wind along its worst direction. A short span with full turns beats a long one in changing wind, because
//! the residuals that the change leaves widen the covariance of the long one.

use super::{CircleError, CircleFit, fit_circle};
use driftless_units::{Ground, GroundPath, Velocity};

/// Lengths of the sliding spans, s; each moves on by half of itself.
const SPANS_S: [f64; 4] = [60.0, 120.0, 240.0, 480.0];
/// Velocities closer in time than this tell nothing new, s.
const SPACING_S: f64 = 0.95;
/// Fewest velocities in a span.
const MIN_VELOCITIES: usize = 12;
/// A circle is real when its radius is this many times the scatter about it; noise round one point gives about 2.
const RADIUS_PER_RESIDUAL: f64 = 4.0;
/// Airspeeds looked for, m/s.
const AIRSPEEDS_MPS: std::ops::RangeInclusive<f64> = 4.0..=150.0;
/// The wind must be known to this along its worst direction, m/s or as a share of the airspeed.
const WORST_STD_MPS: f64 = 1.5;
const WORST_STD_SHARE: f64 = 0.15;
/// A second guess is another wind, this far away, m/s.
const DISTINCT_MPS: f64 = 2.0;
/// Guesses handed back at most.
const MOST: usize = 4;

/// A circle and the span it was fitted to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpanFit {
    /// The circle.
    pub fit: CircleFit,
    /// Start of the span, seconds from the path's epoch.
    pub start_s: f64,
    /// End of it.
    pub end_s: f64,
}

/// Winds to believe, best known first; later ones differ from every earlier one by 2 m/s or more.
#[derive(Debug, Clone, PartialEq)]
pub struct WindGuess {
    /// The best one.
    pub best: SpanFit,
    /// Others, where spans of the flight disagree.
    pub others: Vec<SpanFit>,
}

/// Why the wind cannot be told, with the best figures reached.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NotObservable {
    /// No span of the flight gives a circle at all.
    #[error("the wind cannot be told: no span of the flight covers enough headings to give a circle")]
    NoCircle,
    /// The best circle leaves the wind too uncertain.
    #[error(
        "the wind cannot be told: the headings flown cover {coverage_deg:.0}° at best, which leaves it uncertain by \
         {std_mps:.1} m/s (limit {limit_mps:.1} m/s)"
    )]
    TooUncertain {
        /// Headings covered by the best span, degrees.
        coverage_deg: f64,
        /// Standard uncertainty of its wind along the worst direction, m/s.
        std_mps: f64,
        /// The limit, m/s.
        limit_mps: f64,
    },
}

impl CircleFit {
    /// Whether the headings flown determine wind and airspeed.
    ///
    /// # Errors
    /// [`NotObservable`] with the figures.
    pub fn observable(&self) -> Result<(), NotObservable> {
        let limit_mps = WORST_STD_MPS.min(WORST_STD_SHARE * self.airspeed_mps.value);
        let std_mps = self.wind_worst_std_mps();
        if std_mps <= limit_mps {
            return Ok(());
        }
        Err(NotObservable::TooUncertain { coverage_deg: self.heading_coverage_deg, std_mps, limit_mps })
    }
}

/// Looks through the airborne part of a path for the wind.
///
/// # Errors
/// [`NotObservable`] when no span determines it.
pub fn best_wind_guess(path: &GroundPath) -> Result<WindGuess, NotObservable> {
    let (t_s, velocities) = thinned(path);
    let (Some(&start_s), Some(&end_s)) = (t_s.first(), t_s.last()) else { return Err(NotObservable::NoCircle) };
    let mut found: Vec<SpanFit> = Vec::new();
    let mut try_span = |from_s: f64, to_s: f64| {
        let inside = t_s.partition_point(|t| *t < from_s)..t_s.partition_point(|t| *t <= to_s);
        if let Some(span) = velocities.get(inside).filter(|v| v.len() >= MIN_VELOCITIES)
            && let Ok(fit) = believable(span)
        {
            found.push(SpanFit { fit, start_s: from_s, end_s: to_s });
        }
    };
    try_span(start_s, end_s);
    for length_s in SPANS_S.into_iter().filter(|l| *l < end_s - start_s) {
        let mut from_s = start_s;
        while from_s + 0.5 * length_s < end_s {
            try_span(from_s, from_s + length_s);
            from_s += 0.5 * length_s;
        }
    }
    found.sort_by(|a, b| a.fit.wind_worst_std_mps().total_cmp(&b.fit.wind_worst_std_mps()));
    let mut ranked = found.into_iter();
    let best = ranked.next().ok_or(NotObservable::NoCircle)?;
    best.fit.observable()?;
    let mut chosen = vec![best];
    for candidate in ranked.take_while(|c| c.fit.observable().is_ok()) {
        let wind = candidate.fit.wind;
        let known = |c: &SpanFit| {
            (c.fit.wind.east_mps - wind.east_mps).hypot(c.fit.wind.north_mps - wind.north_mps) < DISTINCT_MPS
        };
        if chosen.len() < MOST && !chosen.iter().any(known) {
            chosen.push(candidate);
        }
    }
    let others = chosen.split_off(1);
    Ok(WindGuess { best, others })
}

/// Airborne velocities about a second apart.
fn thinned(path: &GroundPath) -> (Vec<f64>, Vec<Velocity<Ground>>) {
    let mut last_s = f64::NEG_INFINITY;
    path.airborne(0.0)
        .iter()
        .filter(|p| {
            let wanted = p.t_s - last_s >= SPACING_S;
            if wanted {
                last_s = p.t_s;
            }
            wanted
        })
        .map(|p| (p.t_s, p.velocity))
        .unzip()
}

fn believable(velocities: &[Velocity<Ground>]) -> Result<CircleFit, CircleError> {
    let fit = fit_circle(velocities)?;
    let airspeed = fit.airspeed_mps.value;
    if AIRSPEEDS_MPS.contains(&airspeed) && airspeed > RADIUS_PER_RESIDUAL * fit.residual_mps {
        Ok(fit)
    } else {
        Err(CircleError::NotACircle)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use driftless_units::{PathPoint, Position, VelocitySource, Wind};

    /// Two full turns a minute each at 10 m/s in each wind, a velocity every half second.
    fn turning_in(winds: &[Wind]) -> GroundPath {
        let point = |i: u32| {
            let t_s = 0.5 * f64::from(i);
            let wind = winds[(t_s / 120.0) as usize % winds.len()];
            let heading = std::f64::consts::TAU * t_s / 60.0;
            let wiggle = 0.2 * (1.7 * t_s).sin();
            let velocity = Velocity::new(
                wind.east_mps + 10.0 * heading.sin() + wiggle,
                wind.north_mps + 10.0 * heading.cos() - wiggle,
            );
            let position = Position::new(0.0, 0.0);
            PathPoint { t_s, position, altitude_m: None, velocity, velocity_source: VelocitySource::Recorded }
        };
        let points: Vec<PathPoint> = (0..240 * winds.len() as u32).map(point).collect();
        GroundPath { points, ..GroundPath::default() }
    }

    fn apart_mps(span: &SpanFit, wind: Wind) -> f64 {
        (span.fit.wind.east_mps - wind.east_mps).hypot(span.fit.wind.north_mps - wind.north_mps)
    }

    #[test]
    fn two_winds_of_a_flight_are_two_guesses_each_from_its_own_part() {
        let winds = [Wind::new(6.0, 0.0), Wind::new(-5.0, 3.0)];
        let guess = best_wind_guess(&turning_in(&winds)).expect("it turns in both");
        let all: Vec<&SpanFit> = std::iter::once(&guess.best).chain(&guess.others).collect();
        for (wind, within_s) in winds.into_iter().zip([0.0..=120.0, 120.0..=240.0]) {
            let own =
                all.iter().find(|span| apart_mps(span, wind) < 0.2).unwrap_or_else(|| panic!("{wind:?}: {all:?}"));
            assert!(within_s.contains(&own.start_s) && within_s.contains(&own.end_s), "{own:?}");
        }
        assert!(all.len() <= MOST);
        for (i, one) in all.iter().enumerate() {
            assert!(all[..i].iter().all(|other| apart_mps(other, one.fit.wind) >= DISTINCT_MPS), "{all:?}");
        }
    }

    #[test]
    fn a_flight_that_only_goes_straight_tells_no_wind() {
        let mut path = turning_in(&[Wind::new(6.0, 0.0)]);
        for point in &mut path.points {
            point.velocity = Velocity::new(4.0, 8.0 + 0.1 * (1.7 * point.t_s).sin());
        }
        best_wind_guess(&path).expect_err("one heading alone");
        assert_eq!(best_wind_guess(&GroundPath::default()), Err(NotObservable::NoCircle));
    }

    #[test]
    fn velocities_closer_than_a_second_tell_nothing_new() {
        let path = turning_in(&[Wind::new(1.0, 2.0)]);
        let (t_s, velocities) = thinned(&path);
        assert_eq!((t_s.len(), velocities.len()), (path.points.len() / 2, path.points.len() / 2));
        assert!(t_s.windows(2).all(|pair| pair[1] - pair[0] >= SPACING_S));
    }
}
