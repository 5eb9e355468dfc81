//! The flight as the alignment wants it: plain columns, of the estimate or, without one, of the velocities.

use crate::constants::{ESTIMATE_WIND_MPS, TRACK_VELOCITY_MPS};
use crate::{Track, VelocityCircle};
use driftless_inertial::align::FlightColumns;
use driftless_wind::flight::{FlightEstimate, Node};

pub(super) fn from_estimate(estimate: &FlightEstimate) -> FlightColumns {
    let column = |value: fn(&Node) -> f64| estimate.nodes.iter().map(value).collect();
    FlightColumns {
        t_s: column(|n| n.t_s),
        heading_rad: column(|n| n.heading.value.rad()),
        turn_rate_rad_s: column(|n| n.turn_rate.value.rad_s()),
        turn_rate_std_u_rad_s: column(|n| n.turn_rate.std_u.rad_s()),
        airspeed_mps: column(|n| n.airspeed_mps.value),
        wind_std_u_mps: ESTIMATE_WIND_MPS.value,
    }
}

pub(super) fn from_track(track: &Track, circle: Option<&VelocityCircle>) -> FlightColumns {
    let [from_s, to_s] = [track.takeoff_s.unwrap_or(0.0), track.landing_s.unwrap_or(f64::INFINITY)];
    let airborne = || track.points.iter().filter(|p| (from_s..=to_s).contains(&p.t_s));
    let t_s: Vec<f64> = airborne().map(|p| p.t_s).collect();
    let velocities: Vec<[f64; 2]> = airborne().map(|p| [p.velocity.east_mps, p.velocity.north_mps]).collect();
    let wind = circle.map_or([0.0; 2], |c| [c.wind.east_mps, c.wind.north_mps]);
    FlightColumns::from_velocities(&t_s, &velocities, wind, TRACK_VELOCITY_MPS.value)
}
