//! Whether the headings flown determine the wind.

use super::Node;
use super::constants::{
    FASTEST_BELIEVED_MPS, FULL_TURN_WITHIN_S, NARROW_HEADINGS_RAD, SLOWEST_BELIEVED_MPS,
    WORST_AIRSPEED_NARROW_STD_U_MPS, WORST_AIRSPEED_STD_U_MPS, WORST_WIND_STD_U_MPS,
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
    /// The airspeed found is none that is flown, and no full turn shows it.
    AirspeedNotBelieved {
        /// Airspeed, median of the flight, m/s.
        airspeed_mps: f64,
        /// The slowest, or the fastest, that is believed, m/s.
        limit_mps: f64,
    },
}

/// The median of a figure over nodes; `None` without any.
fn median(nodes: &[Node], figure: impl Fn(&Node) -> f64) -> Option<f64> {
    let mut figures: Vec<f64> = nodes.iter().map(figure).collect();
    figures.sort_by(f64::total_cmp);
    figures.get(figures.len() / 2).copied()
}

/// The airspeed of the flight where it is one that nobody flies, with the limit that it misses.
///
/// Straight into the wind another solution fits nearly as well: slower through the air, with the wind that goes with it, or
/// heading back. What tells it from the truth is an airspeed that strains what is believed of them. A full turn shows the
/// airspeed by itself, whatever is believed.
fn unbelieved_airspeed(nodes: &[Node]) -> Option<UnclearWind> {
    let airspeed_mps = median(nodes, |node| node.airspeed_mps.value)?;
    let believed_mps = airspeed_mps.clamp(SLOWEST_BELIEVED_MPS.value, FASTEST_BELIEVED_MPS.value);
    let strained = (airspeed_mps - believed_mps).abs() > 0.0;
    (strained && !turns_full(nodes))
        .then_some(UnclearWind::AirspeedNotBelieved { airspeed_mps, limit_mps: believed_mps })
}

/// Whether the heading goes once around within a time that leaves wind and airspeed as they are.
fn turns_full(nodes: &[Node]) -> bool {
    let mut first = 0;
    nodes.iter().enumerate().any(|(last, node)| {
        while node.t_s - nodes[first].t_s > FULL_TURN_WITHIN_S.value {
            first += 1;
        }
        let turned_rad = |from: &Node| (node.heading.value.rad() - from.heading.value.rad()).abs();
        nodes[first..last].iter().any(|from| turned_rad(from) >= std::f64::consts::TAU)
    })
}

/// Judges by the posterior uncertainty itself: it is large exactly when the headings flown do not determine the wind.
pub(super) fn judge(nodes: &[Node]) -> Observability {
    let (Some(wind_std_u_mps), Some(airspeed_std_u_mps)) =
        (median(nodes, Node::wind_std_u_mps), median(nodes, |node| node.airspeed_mps.std_u))
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
    unbelieved_airspeed(nodes).map_or(Observability::Observable, Observability::NotObservable)
}

#[cfg(test)]
mod tests {
    use super::*;
    use driftless_units::{Angle, Estimate, Position, TurnRate, Wind};

    /// Nodes of 300 s, one a second, at an airspeed and a turn rate.
    fn nodes(airspeed_mps: f64, turn_rate_deg_s: f64) -> Vec<Node> {
        let node = |t_s: f64| Node {
            t_s,
            altitude_m: None,
            air_position: Position::new(0.0, 0.0),
            wind: Wind::default(),
            wind_cov: [0.04, 0.0, 0.04],
            airspeed_mps: Estimate::new(airspeed_mps, 0.3),
            heading: Estimate::new(Angle::from_deg(turn_rate_deg_s * t_s), Angle::from_deg(1.0)),
            turn_rate: Estimate::new(TurnRate::from_deg_s(turn_rate_deg_s), TurnRate::from_deg_s(0.1)),
            climb_mps: None,
        };
        (0..300).map(|k| node(f64::from(k))).collect()
    }

    #[test]
    fn an_airspeed_that_nobody_flies_needs_a_full_turn_to_be_believed() {
        let unclear = |airspeed_mps, limit_mps| {
            Observability::NotObservable(UnclearWind::AirspeedNotBelieved { airspeed_mps, limit_mps })
        };
        // 1.5 °/s for 300 s is more than a full turn, but not within three minutes.
        assert_eq!(judge(&nodes(6.0, 1.5)), unclear(6.0, SLOWEST_BELIEVED_MPS.value));
        assert_eq!(judge(&nodes(20.0, 1.5)), unclear(20.0, FASTEST_BELIEVED_MPS.value));
        assert_eq!(judge(&nodes(10.0, 1.5)), Observability::Observable);
        assert_eq!(judge(&nodes(6.0, 3.5)), Observability::Observable);
        // A circle of a standard rate turn, whatever flies it.
        assert_eq!(judge(&nodes(51.4, 3.0)), Observability::Observable);
    }
}
