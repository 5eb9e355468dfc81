//! The whole-flight estimate: one least-squares problem over the flight, block-tridiagonal in time.

use driftless_units::{Air, Angle, Estimate, Position, TurnRate, Wind};

/// Everything the flight tells about the air and the aircraft, with covariance.
#[derive(Debug, Clone)]
pub struct FlightEstimate {
    /// Nodes in time order (at most one a second or so).
    pub nodes: Vec<Node>,
    /// Noise levels estimated from this log.
    pub noise: NoiseLevels,
    /// Whether wind (and with it heading) is determined by the headings flown; else the words that say why not.
    pub observability: Observability,
}

/// State of the flight at one time.
#[derive(Debug, Clone, Copy)]
pub struct Node {
    /// Seconds from the track's epoch.
    pub t_s: f64,
    /// Altitude, metres.
    pub altitude_m: f64,
    /// Position carried along with the air mass (drift removed), metres from the first node.
    pub air_position: Position<Air>,
    /// Mean wind at this time and height (without gusts).
    pub wind: Wind,
    /// Covariance of the wind, m²/s²: [east-east, east-north, north-north].
    pub wind_cov: [f64; 3],
    /// True airspeed, m/s.
    pub airspeed_mps: Estimate<f64>,
    /// Heading, unwrapped (continuous over the flight).
    pub heading: Estimate<Angle>,
    /// Turn rate at this moment.
    pub turn_rate: Estimate<TurnRate>,
    /// Climb rate, m/s (smoothed from altitude).
    pub climb_mps: f64,
}

/// A stretch of time within which the turn rate is steady but for turbulence, seconds from the track's epoch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteadySpan {
    /// Start, after the let-go transient.
    pub start_s: f64,
    /// End, before take-over.
    pub end_s: f64,
}

/// The two turn rates of a window.
#[derive(Debug, Clone, Copy)]
pub struct WindowTurn {
    /// Heading change from start to end, unwrapped.
    pub heading_change: Estimate<Angle>,
    /// What the aircraft did: heading change over time.
    pub turn_rate: Estimate<TurnRate>,
    /// What the set-up does: the steady part, with the wander that turbulence put into the window.
    pub steady_rate: Estimate<TurnRate>,
}

/// Noise levels, estimated from the log.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NoiseLevels {
    /// White position error per axis of one fix, m.
    pub position_m: f64,
    /// Gust per horizontal axis, m/s (first-order Markov).
    pub gust_mps: f64,
    /// Wander of the turn rate by turbulence, °/s (first-order Markov).
    pub yaw_wander_deg_s: f64,
    /// Random walk of the airspeed inside windows, m/s per √s.
    pub airspeed_walk: f64,
}

/// Whether the wind can be told from this flight.
#[derive(Debug, Clone, PartialEq)]
pub enum Observability {
    /// It can.
    Observable,
    /// It cannot, and why, with figures.
    NotObservable(String),
}
