//! Whether the headings flown determine the wind.

use super::Node;
use super::constants::{
    NARROW_HEADINGS_RAD, WORST_AIRSPEED_NARROW_STD_U_MPS, WORST_AIRSPEED_STD_U_MPS, WORST_WIND_STD_U_MPS,
};

/// Whether the wind can be told from this flight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Observability {
    /// It can.
    Observable,
    /// It cannot, and why.
    NotObservable(UnclearWind),
}

/// Why the wind cannot be told from a flight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum UnclearWind {
    /// The estimate holds no moment of flight.
    NoFlight,
    /// The headings flown leave the wind too uncertain.
    HeadingsTooAlike {
        /// Standard uncertainty of the wind per axis, median of the flight, m/s.
        wind_std_u_mps: f64,
        /// What it may be at the most, m/s.
        limit_mps: f64,
    },
    /// The headings flown, too alike, do not tell airspeed from wind.
    AirspeedNotTold {
        /// Standard uncertainty of the airspeed, median of the flight, m/s.
        airspeed_std_u_mps: f64,
        /// What it may be at the most, m/s.
        limit_mps: f64,
    },
}

/// Judges by the posterior uncertainty itself: it is large exactly when the headings flown do not determine the wind.
pub(super) fn judge(nodes: &[Node]) -> Observability {
    let middle = |std_u: fn(&Node) -> f64| {
        let mut std_u: Vec<f64> = nodes.iter().map(std_u).collect();
        std_u.sort_by(f64::total_cmp);
        std_u.get(std_u.len() / 2).copied()
    };
    let (Some(wind_std_u_mps), Some(airspeed_std_u_mps)) =
        (middle(Node::wind_std_u_mps), middle(|node| node.airspeed_mps.std_u))
    else {
        return Observability::NotObservable(UnclearWind::NoFlight);
    };
    if wind_std_u_mps > WORST_WIND_STD_U_MPS.value {
        let limit_mps = WORST_WIND_STD_U_MPS.value;
        return Observability::NotObservable(UnclearWind::HeadingsTooAlike { wind_std_u_mps, limit_mps });
    }
    let headings = || nodes.iter().map(|node| node.heading.value.rad());
    let span_rad = headings().fold(f64::NEG_INFINITY, f64::max) - headings().fold(f64::INFINITY, f64::min);
    let narrow = span_rad < NARROW_HEADINGS_RAD.value;
    let limit_mps = if narrow { WORST_AIRSPEED_NARROW_STD_U_MPS.value } else { WORST_AIRSPEED_STD_U_MPS.value };
    if airspeed_std_u_mps > limit_mps {
        return Observability::NotObservable(UnclearWind::AirspeedNotTold { airspeed_std_u_mps, limit_mps });
    }
    Observability::Observable
}
