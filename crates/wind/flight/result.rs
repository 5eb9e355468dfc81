//! What the estimate hands on: nodes with covariance, noise levels, and the turn of any window.

use super::blocks::aircraft::{HEADING, steady_rate};
use super::constants::{BELIEVED_AIRSPEED_MPS, BELIEVED_AIRSPEED_STD_U_MPS, STRAINED_BEYOND};
use super::gyro::GyroDoubt;
use super::pass::Pass;
use super::rivals::Rival;
use super::smoothing::Smoothing;
use super::state::Functional;
use super::{Observability, SteadySpan};
use driftless_units::{Air, Angle, Estimate, Position, TurnRate, Wind};

/// Everything the flight tells about the air and the aircraft, with covariance.
#[derive(Debug, Clone)]
pub struct FlightEstimate {
    /// Nodes in time order (at most one a second, plus one at each edge of a window).
    pub nodes: Vec<Node>,
    /// What the receiver does to positions before it writes them down, where that shows; undone in the estimate.
    pub smoothing: Option<Smoothing>,
    /// When the wind changed more than its slow change explains, seconds from the path's epoch, in time order.
    pub wind_changes_s: Vec<f64>,
    /// Noise levels estimated from this log.
    pub noise: NoiseLevels,
    /// Whether wind (and with it heading) is determined by the headings flown; else why not.
    pub observability: Observability,
    /// How its passes ended.
    pub settling: Settling,
    /// The spans this estimate was made with, each with its turn.
    pub turns: Vec<(SteadySpan, WindowTurn)>,
    /// Where the wind is not observable, the solutions that the log does not rule out, slowest first: the turns are those of all of
    /// them together. Empty where it is, and where none were looked for.
    pub rivals: Vec<Rival>,
}

impl FlightEstimate {
    /// Estimates of flights that follow each other as one; what is of a flight as a whole (levels, smoothing, how it settled,
    /// whether the wind can be told) is that of the one with the most nodes. `None` without any.
    pub fn one_behind_the_other(flights: Vec<Self>) -> Option<Self> {
        let longest = flights.iter().map(|flight| flight.nodes.len()).max()?;
        let place = flights.iter().position(|flight| flight.nodes.len() == longest)?;
        let mut flights = flights;
        let (mut nodes, mut turns, mut wind_changes_s) = (Vec::new(), Vec::new(), Vec::new());
        for flight in &mut flights {
            nodes.append(&mut flight.nodes);
            turns.append(&mut flight.turns);
            wind_changes_s.append(&mut flight.wind_changes_s);
        }
        Some(Self { nodes, turns, wind_changes_s, ..flights.swap_remove(place) })
    }

    /// Slowest and fastest airspeed of the solutions that the log leaves open, m/s; `None` where it tells the wind.
    pub fn rival_airspeeds_mps(&self) -> Option<(f64, f64)> {
        let airspeeds = || self.rivals.iter().map(|rival| rival.airspeed_mps);
        self.rivals.first()?;
        Some((airspeeds().fold(f64::INFINITY, f64::min), airspeeds().fold(0.0, f64::max)))
    }

    /// Mean airspeed of the solutions that the log leaves open, m/s, where it lies far from what was believed of it.
    pub fn strained_airspeed_mps(&self) -> Option<f64> {
        self.rivals.first()?;
        let mean_mps: f64 = self.rivals.iter().map(|rival| rival.weight * rival.airspeed_mps).sum();
        let farthest_mps = STRAINED_BEYOND.value * BELIEVED_AIRSPEED_STD_U_MPS.value;
        ((mean_mps - BELIEVED_AIRSPEED_MPS.value).abs() > farthest_mps).then_some(mean_mps)
    }

    /// The turn of a span; `None` unless the estimate was made with exactly this span.
    pub fn window_turn(&self, span: SteadySpan) -> Option<WindowTurn> {
        self.turns.iter().find(|(s, _)| *s == span).map(|(_, turn)| *turn)
    }

    /// The node nearest in time; `None` outside the estimated part of the flight (half a minute of grace).
    pub fn node_at(&self, t_s: f64) -> Option<&Node> {
        let after = self.nodes.partition_point(|n| n.t_s < t_s);
        let near = [after.checked_sub(1), Some(after)].into_iter().flatten().filter_map(|i| self.nodes.get(i));
        near.min_by(|a, b| (a.t_s - t_s).abs().total_cmp(&(b.t_s - t_s).abs())).filter(|n| (n.t_s - t_s).abs() < 30.0)
    }

    /// The nodes within `[start_s, end_s]`.
    pub fn nodes_in(&self, start_s: f64, end_s: f64) -> &[Node] {
        driftless_units::items_between(&self.nodes, |n| n.t_s, start_s, end_s)
    }
}

/// How the passes of an estimate ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Settling {
    /// Passes made from the last start on.
    pub passes: usize,
    /// Whether the last of them changed nothing that matters. Else there were as many as are made at the most.
    pub settled: bool,
}

/// State of the flight at one time.
#[derive(Debug, Clone, Copy)]
pub struct Node {
    /// Seconds from the path's epoch.
    pub t_s: f64,
    /// Altitude, metres; `None` where the log has none.
    pub altitude_m: Option<f64>,
    /// Position carried along with the air mass (mean wind removed), metres from the first node.
    pub air_position: Position<Air>,
    /// Mean wind at this time and height (without gusts).
    pub wind: Wind,
    /// Covariance of the wind, m²/s²: east-east, east-north, north-north.
    pub wind_cov: [f64; 3],
    /// True airspeed, m/s.
    pub airspeed_mps: Estimate<f64>,
    /// Heading, unwrapped (continuous over the flight).
    pub heading: Estimate<Angle>,
    /// Turn rate at this moment.
    pub turn_rate: Estimate<TurnRate>,
    /// Climb rate, m/s (slope of the altitude over ten seconds); `None` where the log has no altitude.
    pub climb_mps: Option<f64>,
}

impl Node {
    /// Standard uncertainty of the wind per axis (root mean square of both), m/s.
    pub fn wind_std_u_mps(&self) -> f64 {
        (0.5 * (self.wind_cov[0] + self.wind_cov[2])).max(0.0).sqrt()
    }
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
    /// White position error per axis of one node (mean of the fixes of a second), m.
    pub position_m: f64,
    /// Gust per horizontal axis, m/s (first-order Markov, 8 s).
    pub gust_mps: f64,
    /// Wander of the turn rate by turbulence, °/s (first-order Markov, 3 s); the typical value when the estimate was
    /// made without windows.
    pub yaw_wander_deg_s: f64,
    /// Random walk of the airspeed inside windows, m/s per √s.
    pub airspeed_walk: f64,
    /// Random walk of the piloted turn, as acceleration across the path, m/s² per √s.
    pub turn_walk: f64,
}

/// The two variances of a window's turn: of the heading change, rad², and of the steady rate, rad²/s².
#[derive(Debug, Clone, Copy)]
pub(super) struct TurnVariances {
    pub(super) heading_change: f64,
    pub(super) steady_rate: f64,
}

impl TurnVariances {
    /// Of the span between nodes `i` and `j`.
    pub(super) fn new<const N: usize>(pass: &Pass<N>, i: usize, j: usize) -> Self {
        let heading = Functional::pick(HEADING);
        let heading_change = pass.covariance(i, &heading, &heading) + pass.covariance(j, &heading, &heading)
            - 2.0 * pass.cross_covariance(i, &heading, j, &heading);
        let middle = middle(i, j);
        let (_, slope) = steady_rate(pass.nodes[middle].mean.as_slice());
        Self { heading_change: heading_change.max(0.0), steady_rate: pass.covariance(middle, &slope, &slope).max(0.0) }
    }
}

/// The steady part is one number inside the span; the middle node has it as well as any.
const fn middle(i: usize, j: usize) -> usize {
    usize::midpoint(i, j)
}

/// The turn between nodes `i` and `j`, the edges of a span; `dof` of the heading change and of the steady rate.
/// `doubt` is what the estimate cannot know about a gyro; nothing without one.
pub(super) fn window_turn<const N: usize>(
    pass: &Pass<N>,
    i: usize,
    j: usize,
    span: SteadySpan,
    dof: [f64; 2],
    doubt: &GyroDoubt,
) -> WindowTurn {
    let change_rad = pass.nodes[j].mean[HEADING] - pass.nodes[i].mean[HEADING];
    let variances = TurnVariances::new(pass, i, j);
    let change_std_u_rad = variances.heading_change.sqrt().hypot(doubt.of_turn_rad(change_rad));
    let length_s = span.end_s - span.start_s;
    let (steady_rad_s, _) = steady_rate(pass.nodes[middle(i, j)].mean.as_slice());
    let steady_std_u_rad_s = variances.steady_rate.sqrt().hypot(doubt.scale * steady_rad_s);
    WindowTurn {
        heading_change: Estimate::with_dof(Angle::from_rad(change_rad), Angle::from_rad(change_std_u_rad), dof[0]),
        turn_rate: Estimate::with_dof(
            TurnRate::from_rad_s(change_rad / length_s),
            TurnRate::from_rad_s(change_std_u_rad / length_s),
            dof[0],
        ),
        steady_rate: Estimate::with_dof(
            TurnRate::from_rad_s(steady_rad_s),
            TurnRate::from_rad_s(steady_std_u_rad_s),
            dof[1],
        ),
    }
}
