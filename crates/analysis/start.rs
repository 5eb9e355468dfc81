//! Where the whole-flight estimate starts: winds and airspeeds to try.

use crate::VelocityCircle;
use driftless_track::Track;
use driftless_units::Wind;
use driftless_wind::flight::{FlightEstimate, StartGuess};

/// What a first look at the ground velocities gives.
pub(crate) struct Start {
    /// The circle, where one fits.
    pub circle: Option<VelocityCircle>,
    /// Winds and airspeeds to start from, best first; the likeliest result wins.
    pub guesses: Vec<StartGuess>,
}

/// A first look at the flight.
pub(crate) fn start(track: &Track) -> Start {
    Start { circle: None, guesses: still_air(track).into_iter().collect() }
}

/// No wind, and the mean ground speed of the airborne part: the start that is left when no circle fits.
fn still_air(track: &Track) -> Option<StartGuess> {
    let airborne = |t_s: f64| track.takeoff_s.is_none_or(|t| t_s >= t) && track.landing_s.is_none_or(|t| t_s <= t);
    let speeds = track.points.iter().filter(|p| airborne(p.t_s)).map(|p| p.velocity.speed_mps());
    let (sum, count) = speeds.fold((0.0, 0.0), |(sum, count), v| (sum + v, count + 1.0));
    (count > 0.0).then(|| StartGuess { wind: Wind::default(), airspeed_mps: sum / count })
}

/// The mean wind and airspeed of an estimate.
pub(crate) fn from_estimate(estimate: &FlightEstimate) -> Option<StartGuess> {
    let count = estimate.nodes.len() as f64;
    let mean = |value: fn(&driftless_wind::flight::Node) -> f64| estimate.nodes.iter().map(value).sum::<f64>() / count;
    (count > 0.0).then(|| StartGuess {
        wind: Wind::new(mean(|n| n.wind.east_mps), mean(|n| n.wind.north_mps)),
        airspeed_mps: mean(|n| n.airspeed_mps.value),
    })
}
