//! What really happened, at every step.

use crate::scenario::Scenario;
use chrono::{DateTime, TimeDelta, Utc};
use driftless_track::Scenario as Setting;
use driftless_units::{Angle, Ground, Position, TurnRate, Velocity, Wind};

/// Time between two steps of the simulation, seconds.
pub const STEP_S: f64 = 0.05;

/// The truth of a flight.
#[derive(Debug, Clone, PartialEq)]
pub struct Truth {
    /// Time zero of every `t_s`.
    pub epoch: DateTime<Utc>,
    /// One step every [`STEP_S`] seconds from time zero. Never empty.
    pub steps: Vec<TruthStep>,
    /// The hands-off windows, in time order.
    pub windows: Vec<TruthWindow>,
}

/// The truth at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TruthStep {
    /// Seconds from the epoch.
    pub t_s: f64,
    /// Metres east and north of the site.
    pub position: Position<Ground>,
    /// Altitude, metres.
    pub altitude_m: f64,
    /// Heading, unwrapped: continuous over the flight.
    pub heading: Angle,
    /// Rate of turn through the air; the heading is its integral (trapezoids between steps).
    pub turn_rate: TurnRate,
    /// Bank, right positive, of the coordinated turn; turbulence's wander of the turn rate has no part in it.
    pub bank: Angle,
    /// True airspeed, m/s.
    pub airspeed_mps: f64,
    /// Climb over the ground, m/s.
    pub climb_mps: f64,
    /// Mean wind with its slow change, at this time and height.
    pub wind: Wind,
    /// Gust on top of it.
    pub gust: Wind,
    /// Velocity over the ground: in the air, wind + gust + airspeed along the heading.
    pub ground_velocity: Velocity<Ground>,
    /// Standing or rolling on the ground.
    pub on_ground: bool,
    /// The hands are off the brakes.
    pub hands_off: bool,
    /// The power setting.
    pub setting: Setting,
}

/// The truth of one hands-off window. Times are seconds from the epoch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TruthWindow {
    /// Number, from 1.
    pub id: u32,
    /// Power setting.
    pub setting: Setting,
    /// Brakes released.
    pub let_go_s: f64,
    /// Brakes taken again.
    pub take_over_s: f64,
    /// Start of the steady span: let-go and four time constants.
    pub start_s: f64,
    /// End of the steady span: take-over.
    pub end_s: f64,
    /// The turn rate of the set-up, without turbulence.
    pub steady_rate: TurnRate,
}

impl Truth {
    /// Seconds from first to last step.
    pub fn duration_s(&self) -> f64 {
        self.steps.last().map_or(0.0, |step| step.t_s)
    }

    /// The UTC time of `t_s`.
    pub fn time_at(&self, t_s: f64) -> DateTime<Utc> {
        self.epoch + TimeDelta::microseconds((t_s * 1e6).round() as i64)
    }

    /// Heading at any time, unwrapped; exact, because the turn rate is linear between steps. Held outside the flight.
    pub fn heading_at(&self, t_s: f64) -> Angle {
        let Some((a, b, x)) = self.around(t_s) else { return Angle::default() };
        let (w0, w1) = (a.turn_rate.rad_s(), b.turn_rate.rad_s());
        Angle::from_rad(a.heading.rad() + STEP_S * x * (w0 + 0.5 * x * (w1 - w0)))
    }

    /// What the aircraft did between two times: heading change over time.
    pub fn realised_rate(&self, start_s: f64, end_s: f64) -> TurnRate {
        let change = self.heading_at(end_s) - self.heading_at(start_s);
        TurnRate::from_rad_s(change.rad() / (end_s - start_s))
    }

    /// Position at any time, metres from the site.
    pub fn position_at(&self, t_s: f64) -> Position<Ground> {
        let motion = self.motion_at(t_s);
        Position::new(motion.east_m, motion.north_m)
    }

    /// Position, altitude and ground velocity at any time, by cubic interpolation with the velocities.
    pub(crate) fn motion_at(&self, t_s: f64) -> Motion {
        let Some((a, b, x)) = self.around(t_s) else { return Motion::default() };
        let hermite = |p0: f64, v0: f64, p1: f64, v1: f64| {
            let (d, x2) = (p1 - p0, x * x);
            p0 + x * STEP_S * v0 + x2 * (3.0 * d - STEP_S * (2.0 * v0 + v1)) + x2 * x * (STEP_S * (v0 + v1) - 2.0 * d)
        };
        let (va, vb) = (a.ground_velocity, b.ground_velocity);
        Motion {
            east_m: hermite(a.position.east_m, va.east_mps, b.position.east_m, vb.east_mps),
            north_m: hermite(a.position.north_m, va.north_mps, b.position.north_m, vb.north_mps),
            altitude_m: a.altitude_m + x * (b.altitude_m - a.altitude_m),
            east_mps: va.east_mps + x * (vb.east_mps - va.east_mps),
            north_mps: va.north_mps + x * (vb.north_mps - va.north_mps),
        }
    }

    /// The steps before and after a time, and how far between them it lies, 0 to 1.
    pub(crate) fn around(&self, t_s: f64) -> Option<(&TruthStep, &TruthStep, f64)> {
        let last = self.steps.len().checked_sub(1)?;
        let at = (t_s / STEP_S).clamp(0.0, last as f64);
        let i = (at.floor() as usize).min(last.saturating_sub(1));
        let a = self.steps.get(i)?;
        let b = self.steps.get(i + 1).unwrap_or(a);
        Some((a, b, at - i as f64))
    }

    /// The mean of something over a span of time, by the steps inside it.
    pub fn mean_over(&self, start_s: f64, end_s: f64, value: impl Fn(&TruthStep) -> f64) -> f64 {
        let inside = self.steps.iter().filter(|s| s.t_s >= start_s && s.t_s <= end_s);
        let (sum, n) = inside.fold((0.0, 0.0), |(sum, n), step| (sum + value(step), n + 1.0));
        sum / n
    }
}

/// Place and velocity, as sensors see them.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Motion {
    pub(crate) east_m: f64,
    pub(crate) north_m: f64,
    pub(crate) altitude_m: f64,
    pub(crate) east_mps: f64,
    pub(crate) north_mps: f64,
}

impl Scenario {
    /// Transient after let-go that the steady span leaves out, seconds: four time constants, after which less than
    /// 2 % of the change is still to come.
    pub(crate) fn transient_s(&self) -> f64 {
        4.0 * self.aircraft.let_go_lag_s
    }
}
