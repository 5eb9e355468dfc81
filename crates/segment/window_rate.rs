//! Everything measured in one window.

use crate::{SecondOpinion, Verdict, Window};
use driftless_units::{Angle, Estimate, TurnRate, Wind};

/// Everything measured in one window. `None` where the data could not tell.
#[derive(Debug, Clone)]
pub struct WindowRate {
    /// The window itself.
    pub window: Window,
    /// Whether it is good enough to count, and what speaks against it.
    pub verdict: Verdict,
    /// What the aircraft did between start and end.
    pub turn_rate: Option<Estimate<TurnRate>>,
    /// What the set-up does, turbulence wander included.
    pub steady_rate: Option<Estimate<TurnRate>>,
    /// Heading change from start to end, unwrapped.
    pub heading_change: Option<Estimate<Angle>>,
    /// The circle-drift fit of this window alone, with wind borrowed from the rest of the flight.
    pub second_opinion: Option<SecondOpinion>,
    /// Mean rate of the raw ground course, for contrast only.
    pub course_rate: Option<TurnRate>,
    /// Mean airspeed, m/s.
    pub airspeed_mps: Option<Estimate<f64>>,
    /// Mean ground speed, m/s.
    pub ground_speed_mps: f64,
    /// Mean climb, m/s.
    pub climb_mps: Option<f64>,
    /// Bank of the coordinated turn, right positive.
    pub bank: Option<Angle>,
    /// Radius of the air path, m; `None` when nothing measurable turns.
    pub air_radius_m: Option<f64>,
    /// Load factor of the coordinated turn.
    pub load_factor: Option<f64>,
    /// Mean altitude, m.
    pub altitude_m: Option<f64>,
    /// Lowest height above the take-off place, m.
    pub height_above_takeoff_m: Option<f64>,
    /// Mean wind of the window.
    pub wind: Option<Wind>,
    /// Standard uncertainty of that wind per axis (root mean square of both), m/s.
    pub wind_std_u_mps: Option<f64>,
}

impl WindowRate {
    /// Whether it passed every limit.
    pub fn accepted(&self) -> bool {
        self.verdict.accepted()
    }
}
