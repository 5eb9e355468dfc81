//! Flies the plan: pilot, aircraft and air, in steps of [`STEP_S`].
//!
//! The heading is the exact state: the turn rate is linear within a step and the heading its exact integral;
//! the position integrates wind + gust + airspeed along the heading by Simpson's rule, whose error over a 10 m/s
//! turn at 10 °/s is below a micrometre a minute.

use crate::SimError;
use crate::atmosphere::{Atmosphere, Place};
use crate::noise::{Source, Stream, Wander};
use crate::scenario::{Leg, PowerSetting, Scenario};
use crate::torque::residual_turn;
use crate::truth::{STEP_S, Truth, TruthStep, TruthWindow};
use driftless_track::Scenario as Setting;
use driftless_track::{InputLimit, InputLimits};
use driftless_units::{Angle, GRAVITY_MPS2, Position, TurnRate, Velocity, Wind};
use std::collections::BTreeMap;
use std::f64::consts::{PI, TAU};

/// No leg but those with a length of their own may take longer, seconds.
const LONGEST_LEG_S: f64 = 3600.0;
/// How hard the pilot steers back to a heading: turn rate per angle, 1/s. With a roll lag of 1 s the answer is
/// damped at 0.8 of critical.
const STEERING_PER_S: f64 = 0.4;
/// Turn rate with which the pilot turns onto the heading of a straight leg, °/s.
const TURN_ONTO_DEG_S: f64 = 8.0;
/// Airspeed of a plan that names no power setting, m/s.
const USUAL_AIRSPEED_MPS: f64 = 10.0;
/// Run-out after touch-down, seconds.
const RUN_OUT_S: f64 = 6.0;
const DEGREE: f64 = PI / 180.0;

/// Flies a checked scenario.
pub(crate) fn fly(scenario: &Scenario, seed: u64, limits: &InputLimits) -> Result<Truth, SimError> {
    let mut flight = Flight::new(scenario, seed);
    flight.limits = *limits;
    for (i, leg) in scenario.legs.iter().enumerate() {
        flight.leg = i;
        flight.fly_leg(leg)?;
    }
    Ok(Truth { epoch: scenario.start_utc, steps: flight.steps, windows: flight.windows })
}

/// What the pilot (or the aircraft by itself) asks for during one step.
#[derive(Debug, Clone, Copy)]
struct Control {
    /// Turn rate asked for, rad/s.
    rate_rad_s: f64,
    /// Lag with which the bank follows, seconds.
    bank_lag_s: f64,
    hands_off: bool,
}

struct Flight<'a> {
    scenario: &'a Scenario,
    atmosphere: Atmosphere<'a>,
    corrections: Wander,
    pilot: Stream,
    setting: Setting,
    /// Share of the flying velocity that the wheels or feet let through: 0 standing, 1 flying.
    freedom: f64,
    /// Climb through the air, m/s, lagged.
    climb_mps: f64,
    /// Airspeed of the power setting, m/s, lagged; porpoising comes on top.
    airspeed_mps: f64,
    /// Velocity of walking or driving over the ground, m/s.
    driven_mps: [f64; 2],
    /// What each power setting does, now.
    settings: &'a BTreeMap<Setting, PowerSetting>,
    leg: usize,
    limits: InputLimits,
    steps: Vec<TruthStep>,
    now: TruthStep,
    windows: Vec<TruthWindow>,
}

impl<'a> Flight<'a> {
    fn new(scenario: &'a Scenario, seed: u64) -> Self {
        let site = &scenario.site;
        let airborne = site.start_height_m > 0.0;
        let first = scenario.legs.iter().find_map(Leg::setting).unwrap_or(Setting::TrimLevel);
        let mut pilot = Stream::new(seed, Source::Pilot);
        let corrections = Wander::new(scenario.aircraft.corrections_deg_s * DEGREE, 2.0, STEP_S, &mut pilot);
        let power = scenario.aircraft.settings.get(&first).copied();
        let now = TruthStep {
            t_s: 0.0,
            position: Position::new(0.0, 0.0),
            altitude_m: site.elevation_m + site.start_height_m,
            heading: Angle::from_deg(site.heading_deg),
            turn_rate: TurnRate::default(),
            bank: Angle::default(),
            airspeed_mps: power.map_or(USUAL_AIRSPEED_MPS, |p| p.airspeed_mps),
            climb_mps: 0.0,
            wind: Wind::default(),
            gust: Wind::default(),
            ground_velocity: Velocity::new(0.0, 0.0),
            on_ground: !airborne,
            hands_off: false,
            setting: first,
        };
        let mut flight = Self {
            scenario,
            atmosphere: Atmosphere::new(&scenario.air, seed, STEP_S),
            corrections,
            pilot,
            setting: first,
            freedom: if airborne { 1.0 } else { 0.0 },
            climb_mps: if airborne { power.map_or(0.0, |p| p.climb_mps) } else { 0.0 },
            airspeed_mps: power.map_or(USUAL_AIRSPEED_MPS, |p| p.airspeed_mps),
            driven_mps: [0.0; 2],
            settings: &scenario.aircraft.settings,
            leg: 0,
            limits: InputLimits::default(),
            steps: Vec::new(),
            now,
            windows: Vec::new(),
        };
        flight.breathe();
        flight.steps.push(flight.now);
        flight
    }

    fn fly_leg(&mut self, leg: &'a Leg) -> Result<(), SimError> {
        if let Some(setting) = leg.setting() {
            self.setting = setting;
        }
        match *leg {
            Leg::Stand { seconds } => self.for_seconds(seconds, |flight| {
                flight.freedom = 0.0;
                flight.step(flight.by_hand(0.0))
            }),
            Leg::Drive { seconds, speed_mps, heading_deg } => {
                self.driven_mps = along(speed_mps, heading_deg * DEGREE);
                self.for_seconds(seconds, |flight| flight.step(flight.by_hand(0.0)))?;
                self.driven_mps = [0.0; 2];
                Ok(())
            }
            Leg::Refit { ref settings } => {
                self.settings = settings;
                Ok(())
            }
            Leg::TakeOff { seconds, heading_deg } => {
                if let Some(deg) = heading_deg {
                    let present = self.now.heading.rad();
                    self.now.heading = Angle::from_rad(present + smallest_turn(deg * DEGREE - present));
                }
                self.take_off(seconds)
            }
            Leg::Straight { seconds, heading_deg, .. } => {
                let present = self.now.heading.rad();
                let hold = heading_deg.map_or(present, |deg| present + smallest_turn(deg * DEGREE - present));
                if heading_deg.is_some() {
                    self.turn_onto(hold, TURN_ONTO_DEG_S * DEGREE)?;
                }
                self.for_seconds(seconds, |flight| {
                    let control = flight.holding(hold);
                    flight.step(control)
                })
            }
            Leg::Turn { by_deg, rate_deg_s, .. } => self.turn_by(by_deg * DEGREE, rate_deg_s * DEGREE),
            Leg::Orbit { turns, direction, rate_deg_s, .. } => {
                self.turn_by(direction.sign() * turns * TAU, rate_deg_s * DEGREE)
            }
            Leg::FigureEight { rate_deg_s, .. } => {
                self.turn_by(TAU, rate_deg_s * DEGREE)?;
                self.turn_by(-TAU, rate_deg_s * DEGREE)
            }
            Leg::ToHeight { height_m, rate_deg_s, .. } => self.fly_to_height(height_m, rate_deg_s * DEGREE),
            Leg::HandsOff { seconds, .. } => self.hands_off(seconds),
            Leg::Land => self.land(),
        }
    }

    fn turn_by(&mut self, by_rad: f64, rate_rad_s: f64) -> Result<(), SimError> {
        self.turn_onto(self.now.heading.rad() + by_rad, rate_rad_s)
    }

    /// Turns until the (unwrapped) heading is reached and the turn all but stopped.
    fn turn_onto(&mut self, heading_rad: f64, rate_rad_s: f64) -> Result<(), SimError> {
        self.until(|flight| {
            let to_go = heading_rad - flight.now.heading.rad();
            let done = to_go.abs() < 2.0 * DEGREE && flight.now.bank.rad().abs() < 2.0 * DEGREE;
            (!done).then(|| flight.by_hand((STEERING_PER_S * to_go).clamp(-rate_rad_s, rate_rad_s)))
        })
    }

    fn fly_to_height(&mut self, height_m: f64, rate_rad_s: f64) -> Result<(), SimError> {
        let upward = self.height_m() < height_m;
        let hold = self.now.heading.rad();
        self.until(|flight| {
            let short = if upward { flight.height_m() < height_m } else { flight.height_m() > height_m };
            short.then(|| if rate_rad_s == 0.0 { flight.holding(hold) } else { flight.by_hand(rate_rad_s) })
        })
    }

    fn hands_off(&mut self, seconds: f64) -> Result<(), SimError> {
        let steady_rate =
            self.power().map_or(TurnRate::default(), |power| residual_turn(&self.scenario.aircraft, &power));
        let control = Control {
            rate_rad_s: steady_rate.rad_s(),
            bank_lag_s: self.scenario.aircraft.let_go_lag_s,
            hands_off: true,
        };
        let let_go_s = self.now.t_s;
        self.for_seconds(self.scenario.transient_s(), |flight| flight.step(control))?;
        let start_s = self.now.t_s;
        self.for_seconds(seconds, |flight| flight.step(control))?;
        let end_s = self.now.t_s;
        let id = u32::try_from(self.windows.len() + 1).unwrap_or(u32::MAX);
        let setting = self.setting;
        self.windows.push(TruthWindow { id, setting, let_go_s, take_over_s: end_s, start_s, end_s, steady_rate });
        Ok(())
    }

    fn take_off(&mut self, seconds: f64) -> Result<(), SimError> {
        self.for_seconds(seconds, |flight| {
            flight.freedom = (flight.freedom + STEP_S / seconds).min(1.0);
            flight.step(flight.by_hand(0.0))
        })?;
        // The sum of the shares need not reach 1 to the last digit.
        self.freedom = 1.0;
        Ok(())
    }

    fn land(&mut self) -> Result<(), SimError> {
        let hold = self.now.heading.rad();
        self.until(|flight| (flight.height_m() > 0.0).then(|| flight.holding(hold)))?;
        self.for_seconds(RUN_OUT_S, |flight| {
            flight.freedom = (flight.freedom - STEP_S / RUN_OUT_S).max(0.0);
            flight.step(flight.by_hand(0.0))
        })?;
        self.freedom = 0.0;
        Ok(())
    }

    /// The pilot asks for a turn rate.
    fn by_hand(&self, rate_rad_s: f64) -> Control {
        Control { rate_rad_s, bank_lag_s: self.scenario.aircraft.roll_lag_s, hands_off: false }
    }

    /// The pilot holds a heading, with the small corrections nobody can help making.
    fn holding(&mut self, heading_rad: f64) -> Control {
        let limit = TURN_ONTO_DEG_S * DEGREE;
        let back = (STEERING_PER_S * (heading_rad - self.now.heading.rad())).clamp(-limit, limit);
        let correction = self.corrections.step(&mut self.pilot);
        self.by_hand(back + correction)
    }

    fn height_m(&self) -> f64 {
        self.now.altitude_m - self.scenario.site.elevation_m
    }

    fn power(&self) -> Option<PowerSetting> {
        self.settings.get(&self.setting).copied()
    }

    /// Airspeed and climb that porpoising adds at a time, m/s: height is traded for speed, V dV = -g dh.
    fn porpoising(&self, t_s: f64) -> [f64; 2] {
        let Some(swing) = self.scenario.aircraft.porpoising.filter(|_| self.freedom >= 1.0) else { return [0.0; 2] };
        let omega = TAU / swing.period_s;
        let (sin, cos) = (libm::sin(omega * t_s), libm::cos(omega * t_s));
        [swing.airspeed_mps * sin, -self.airspeed_mps / GRAVITY_MPS2 * swing.airspeed_mps * omega * cos]
    }

    fn for_seconds(
        &mut self,
        seconds: f64,
        mut step: impl FnMut(&mut Self) -> Result<(), SimError>,
    ) -> Result<(), SimError> {
        for _ in 0..(seconds / STEP_S).round() as usize {
            step(self)?;
        }
        Ok(())
    }

    /// Steps until `control` has nothing more to ask.
    fn until(&mut self, mut control: impl FnMut(&mut Self) -> Option<Control>) -> Result<(), SimError> {
        for _ in 0..(LONGEST_LEG_S / STEP_S) as usize {
            let Some(control) = control(self) else { return Ok(()) };
            self.step(control)?;
        }
        Err(SimError::Endless { leg: self.leg, name: self.leg_name(), limit_s: LONGEST_LEG_S })
    }

    fn leg_name(&self) -> &'static str {
        self.scenario.legs.get(self.leg).map_or("", Leg::name)
    }

    /// One step of [`STEP_S`].
    fn step(&mut self, control: Control) -> Result<(), SimError> {
        let flown_s = self.steps.len() as f64 * STEP_S;
        if flown_s > self.limits.of(InputLimit::ScenarioSeconds) as f64 {
            let over = self.limits.over(InputLimit::ScenarioSeconds, None);
            return Err(SimError::TooLong { leg: self.leg, name: self.leg_name(), over });
        }
        let before = self.now;
        let aircraft = &self.scenario.aircraft;
        let flying = self.freedom >= 1.0;
        if let Some(power) = self.power() {
            approach(&mut self.airspeed_mps, power.airspeed_mps, aircraft.airspeed_lag_s);
            let climb_mps = if flying { power.climb_mps } else { 0.0 };
            approach(&mut self.climb_mps, climb_mps, aircraft.climb_lag_s);
        }
        let [faster_mps, _] = self.porpoising(self.steps.len() as f64 * STEP_S);
        self.now.airspeed_mps = self.airspeed_mps + faster_mps;
        let mut bank_rad = before.bank.rad();
        let wanted_bank_rad = libm::atan(self.now.airspeed_mps * control.rate_rad_s / GRAVITY_MPS2);
        approach(&mut bank_rad, if flying { wanted_bank_rad } else { 0.0 }, control.bank_lag_s);
        self.now.bank = Angle::from_rad(bank_rad);
        self.now.hands_off = control.hands_off;
        self.now.setting = self.setting;

        self.atmosphere.step(self.place());
        self.now.t_s = self.steps.len() as f64 * STEP_S;
        let yaw_rad_s = self.atmosphere.motion(self.place()).yaw_rad_s;
        let coordinated_rad_s = GRAVITY_MPS2 * libm::tan(bank_rad) / self.now.airspeed_mps;
        self.now.turn_rate = TurnRate::from_rad_s(if flying { coordinated_rad_s + yaw_rad_s } else { 0.0 });
        let (w0, w1) = (before.turn_rate.rad_s(), self.now.turn_rate.rad_s());
        let middle_rad = before.heading.rad() + STEP_S * (3.0 * w0 + w1) / 8.0;
        self.now.heading = Angle::from_rad(before.heading.rad() + STEP_S * 0.5 * (w0 + w1));
        self.now.altitude_m += STEP_S * before.climb_mps;

        self.breathe();
        self.now.position = moved(&before, &self.now, middle_rad, self.freedom, self.driven_mps);
        if self.height_m() < 0.0 {
            if flying && !matches!(self.scenario.legs.get(self.leg), Some(Leg::Land)) {
                return Err(SimError::HitsGround { leg: self.leg, name: self.leg_name(), at_s: self.now.t_s });
            }
            self.now.altitude_m = self.scenario.site.elevation_m;
        }
        self.steps.push(self.now);
        Ok(())
    }

    /// Puts the air of this moment, and the velocities that follow from it, into the present step.
    fn breathe(&mut self) {
        let air = self.atmosphere.motion(self.place());
        let [wind_east, wind_north] = air.wind_mps;
        let [gust_east, gust_north] = air.gust_mps;
        let through_air = along(self.now.airspeed_mps, self.now.heading.rad());
        self.now.wind = Wind::new(wind_east, wind_north);
        self.now.gust = Wind::new(gust_east, gust_north);
        self.now.on_ground = self.freedom < 1.0;
        self.now.ground_velocity = Velocity::new(
            self.freedom * (wind_east + gust_east + through_air[0]) + self.driven_mps[0],
            self.freedom * (wind_north + gust_north + through_air[1]) + self.driven_mps[1],
        );
        let [_, porpoised_mps] = self.porpoising(self.now.t_s);
        self.now.climb_mps = if self.now.on_ground { 0.0 } else { self.climb_mps + air.up_mps + porpoised_mps };
    }

    fn place(&self) -> Place {
        Place {
            east_m: self.now.position.east_m,
            north_m: self.now.position.north_m,
            height_m: self.height_m(),
            heading_rad: self.now.heading.rad(),
            airspeed_mps: self.now.airspeed_mps,
        }
    }
}

/// First-order lag over one step, exact for a constant target.
fn approach(value: &mut f64, target: f64, lag_s: f64) {
    *value = target + (*value - target) * libm::exp(-STEP_S / lag_s);
}

fn along(speed_mps: f64, heading_rad: f64) -> [f64; 2] {
    [speed_mps * libm::sin(heading_rad), speed_mps * libm::cos(heading_rad)]
}

/// Simpson's rule on the velocity; wind and gust, which are not known in the middle, enter by their ends' mean.
fn moved(
    before: &TruthStep,
    after: &TruthStep,
    middle_rad: f64,
    freedom: f64,
    driven_mps: [f64; 2],
) -> Position<driftless_units::Ground> {
    let (v0, v1) = (before.ground_velocity, after.ground_velocity);
    let through_air = along(0.5 * (before.airspeed_mps + after.airspeed_mps), middle_rad);
    let air = |step: &TruthStep| (step.wind.east_mps + step.gust.east_mps, step.wind.north_mps + step.gust.north_mps);
    let ((e0, n0), (e1, n1)) = (air(before), air(after));
    let middle_east = freedom * (0.5 * (e0 + e1) + through_air[0]) + driven_mps[0];
    let middle_north = freedom * (0.5 * (n0 + n1) + through_air[1]) + driven_mps[1];
    Position::new(
        before.position.east_m + STEP_S / 6.0 * (v0.east_mps + 4.0 * middle_east + v1.east_mps),
        before.position.north_m + STEP_S / 6.0 * (v0.north_mps + 4.0 * middle_north + v1.north_mps),
    )
}

/// The smallest turn that makes an angle, radians.
fn smallest_turn(rad: f64) -> f64 {
    driftless_units::wrap_pi_rad(rad)
}
