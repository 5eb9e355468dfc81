//! Where the whole-flight estimate starts: winds and airspeeds to try.

use crate::VelocityCircle;
use crate::constants::MOST_CIRCLES;
use driftless_units::{GroundPath, Wind};
use driftless_wind::circle::{SpanFit, best_wind_guess};
use driftless_wind::flight::StartGuess;

/// What a first look at the ground velocities gives.
pub(crate) struct Start {
    /// The circle, where one fits.
    pub circle: Option<VelocityCircle>,
    /// Winds and airspeeds to start from, best first; the likeliest result wins.
    pub guesses: Vec<StartGuess>,
}

/// A first look at the flight: the circles that tell the wind best, else still air.
pub(crate) fn start(path: &GroundPath) -> Start {
    let Ok(guess) = best_wind_guess(path) else {
        return Start { circle: None, guesses: still_air(path).into_iter().collect() };
    };
    let circles = std::iter::once(&guess.best).chain(&guess.others).take(MOST_CIRCLES.count());
    Start {
        circle: Some(velocity_circle(&guess.best)),
        guesses: circles.map(|c| StartGuess { wind: c.fit.wind, airspeed_mps: c.fit.airspeed_mps.value }).collect(),
    }
}

fn velocity_circle(span: &SpanFit) -> VelocityCircle {
    VelocityCircle {
        wind: span.fit.wind,
        wind_cov: span.fit.wind_cov(),
        airspeed_mps: span.fit.airspeed_mps,
        residual_mps: span.fit.residual_mps,
        start_s: span.start_s,
        end_s: span.end_s,
    }
}

/// No wind, and the mean ground speed of the airborne part: the start that is left when no circle fits.
fn still_air(path: &GroundPath) -> Option<StartGuess> {
    let speeds = path.airborne(0.0).iter().map(|p| p.velocity.speed_mps());
    let (sum, count) = speeds.fold((0.0, 0.0), |(sum, count), v| (sum + v, count + 1.0));
    (count > 0.0).then(|| StartGuess { wind: Wind::default(), airspeed_mps: sum / count })
}
