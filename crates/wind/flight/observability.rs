//! Whether the headings flown determine the wind.

use super::Node;
use super::constants::WORST_WIND_STD_U_MPS;

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
}

/// Judges by the posterior uncertainty itself: it is large exactly when the headings flown do not determine the wind.
pub(super) fn judge(nodes: &[Node]) -> Observability {
    let mut std_u: Vec<f64> = nodes.iter().map(Node::wind_std_u_mps).collect();
    std_u.sort_by(f64::total_cmp);
    let Some(&wind_std_u_mps) = std_u.get(std_u.len() / 2) else {
        return Observability::NotObservable(UnclearWind::NoFlight);
    };
    if wind_std_u_mps <= WORST_WIND_STD_U_MPS.value {
        return Observability::Observable;
    }
    Observability::NotObservable(UnclearWind::HeadingsTooAlike {
        wind_std_u_mps,
        limit_mps: WORST_WIND_STD_U_MPS.value,
    })
}
