//! The model that made the flight, linearised about the truth, step by step of the simulation.

use super::covariance::Covariance;
use super::{Bound, Knowledge};
use driftless_analysis::Scenario as Setting;
use driftless_sim::scenario::{Air, Gusts};
use driftless_sim::{STEP_S, SimulatedFlight, TruthStep};
use driftless_units::GRAVITY_MPS2;

/// Position over the ground, east then north.
const POSITION: [usize; 2] = [0, 1];
/// Slow error of the receiver.
const RECEIVER: [usize; 2] = [2, 3];
/// Slow change of the wind.
const SLOW_WIND: [usize; 2] = [4, 5];
const GUST: [usize; 2] = [6, 7];
const YAW: usize = 8;
const HEADING: usize = 9;
const AIRSPEED: usize = 10;
/// Turn rate without the wander of turbulence.
const TURN: usize = 11;
/// Mean wind at the reference height.
const WIND: [usize; 2] = [12, 13];
const SHEAR: usize = 14;
const VEER: usize = 15;
/// Trim airspeed of each power setting, in the order of [`Setting::ALL`].
const TRIM: usize = 16;
/// Copies for each window: its heading change, its steady rate, the wind in its middle east and north.
const COPIES: usize = TRIM + 5;
const COPIES_EACH: usize = 4;

/// Spreads before anything is known: far wider than anything flown, or the linear problem would borrow from them.
const ANYWHERE_M: f64 = 1000.0;
const ANY_HEADING_RAD: f64 = 10.0;
const ANY_SPEED_MPS: f64 = 30.0;
const ANY_TURN_RAD_S: f64 = 1.0;

/// A first-order Markov process, stepped exactly.
#[derive(Debug, Clone, Copy)]
struct Markov {
    keep: f64,
    gained: f64,
    sd: f64,
}

impl Markov {
    fn new(sd: f64, tau_s: f64) -> Self {
        let keep = (-STEP_S / tau_s).exp();
        Self { keep, gained: sd * sd * (1.0 - keep * keep), sd }
    }
}

/// The walk along the flight.
pub(super) struct Walk<'a> {
    flight: &'a SimulatedFlight,
    /// First and last step of each window.
    windows: Vec<(usize, usize)>,
    knowledge: Knowledge,
    covariance: Covariance,
    receiver: Markov,
    slow_wind: Markov,
    gust: Markov,
    yaw: Markov,
    /// Variance per second of turn rate and airspeed outside windows.
    piloted: [f64; 2],
}

impl<'a> Walk<'a> {
    pub(super) fn new(flight: &'a SimulatedFlight, windows: &[(f64, f64)], knowledge: Knowledge) -> Self {
        let (air, sensors) = (&flight.scenario.air, &flight.scenario.sensors);
        let step_of = |t_s: f64| (t_s / STEP_S).round().max(0.0) as usize;
        let windows: Vec<_> = windows.iter().map(|(start_s, end_s)| (step_of(*start_s), step_of(*end_s))).collect();
        let receiver = Markov::new(sensors.position_slow_m, sensors.slow_tau_s);
        let slow_wind = Markov::new(air.slow_sd_mps, air.slow_tau_s);
        let gust = match air.gusts {
            Gusts::Markov { sd_mps, tau_s } => Markov::new(sd_mps, tau_s),
            // Reference flights have no Dryden gusts.
            Gusts::None | Gusts::Dryden(_) => Markov::new(0.0, 1.0),
        };
        let yaw = Markov::new(air.yaw_wander_deg_s.to_radians(), air.yaw_wander_tau_s);
        let mut sd = vec![0.0; COPIES + COPIES_EACH * windows.len()];
        for axis in 0..2 {
            sd[POSITION[axis]] = ANYWHERE_M;
            sd[RECEIVER[axis]] = receiver.sd;
            sd[SLOW_WIND[axis]] = slow_wind.sd;
            sd[GUST[axis]] = gust.sd;
            sd[WIND[axis]] = ANY_SPEED_MPS;
        }
        sd[YAW] = yaw.sd;
        sd[HEADING] = ANY_HEADING_RAD;
        sd[AIRSPEED] = ANY_SPEED_MPS;
        sd[TURN] = ANY_TURN_RAD_S;
        sd[SHEAR] = air.shear_per_m.abs();
        sd[VEER] = air.veer_deg_per_m.to_radians().abs();
        sd[TRIM..COPIES].fill(ANY_SPEED_MPS);
        let freedom = if knowledge == Knowledge::FreerPilot { 10.0 } else { 1.0 };
        let piloted = [changes(flight, &windows, turn_rad_s), changes(flight, &windows, |s| s.airspeed_mps)]
            .map(|variance| freedom * variance);
        let covariance = Covariance::independent(&sd);
        Self { flight, windows, knowledge, covariance, receiver, slow_wind, gust, yaw, piloted }
    }

    /// The same with a wind that is known to be nothing.
    #[cfg(test)]
    pub(super) fn in_still_air(flight: &'a SimulatedFlight, windows: &[(f64, f64)], knowledge: Knowledge) -> Self {
        let mut walk = Self::new(flight, windows, knowledge);
        for part in WIND {
            walk.covariance.combine(part, 0.0, &[]);
        }
        walk
    }

    /// Walks to the end of the flight, where every copy has learnt all there is to learn.
    pub(super) fn into_bounds(mut self) -> Vec<Bound> {
        let flight = self.flight;
        let steps = &flight.truth.steps;
        let mut fixes = flight.fixes.iter().peekable();
        if self.knowledge == Knowledge::LagsToo {
            self.covariance.combine(AIRSPEED, 0.0, &[(trim_of(steps[0].setting), 1.0)]);
        }
        for (k, step) in steps.iter().enumerate() {
            self.copy_at(k);
            let until_s = step.t_s + 0.5 * STEP_S;
            while fixes.next_if(|f| (f.time - flight.truth.epoch).as_seconds_f64() < until_s).is_some() {
                self.learn_position();
            }
            if let Some(next) = steps.get(k + 1) {
                self.advance(k, step, next);
            }
        }
        let variance = |w: usize, copy: usize| self.covariance.variance(COPIES + COPIES_EACH * w + copy);
        self.windows
            .iter()
            .enumerate()
            .map(|(w, (first, last))| Bound {
                turn_deg_s: variance(w, 0).sqrt().to_degrees() / ((last - first) as f64 * STEP_S),
                steady_deg_s: variance(w, 1).sqrt().to_degrees(),
                wind_mps: (variance(w, 2) + variance(w, 3)).sqrt(),
            })
            .collect()
    }

    fn copy_at(&mut self, k: usize) {
        for (w, (first, last)) in self.windows.iter().enumerate() {
            let copy = COPIES + COPIES_EACH * w;
            if k == *first {
                self.covariance.combine(copy, 0.0, &[(HEADING, 1.0)]);
            }
            if k == *last {
                self.covariance.combine(copy, -1.0, &[(HEADING, 1.0)]);
                self.covariance.combine(copy + 1, 0.0, &[(TURN, 1.0)]);
            }
            if k == usize::midpoint(*first, *last) {
                let wind = self.wind_form(&self.flight.truth.steps[k]);
                for axis in 0..2 {
                    self.covariance.combine(copy + 2 + axis, 0.0, &wind.terms(axis, 1.0));
                }
            }
        }
    }

    fn wind_form(&self, step: &TruthStep) -> WindForm {
        let scenario = &self.flight.scenario;
        WindForm::at(&scenario.air, step.altitude_m - scenario.site.elevation_m)
    }

    fn learn_position(&mut self) {
        let sensors = &self.flight.scenario.sensors;
        // A minute of latitude is a nautical mile; rounding to a step has the variance step²/12. East-west steps are
        // shorter away from the equator.
        let step_m = sensors.position_step_arcmin * 1852.0;
        let shorter = [self.flight.scenario.site.lat_deg.to_radians().cos(), 1.0];
        for axis in 0..2 {
            let rounding = (step_m * shorter[axis]).powi(2) / 12.0;
            let variance = sensors.position_white_m.powi(2) + rounding;
            self.covariance.learn_sum(POSITION[axis], RECEIVER[axis], variance);
        }
    }

    fn advance(&mut self, k: usize, step: &TruthStep, next: &TruthStep) {
        let h = STEP_S;
        let wind = self.wind_form(step);
        let heading_rad = 0.5 * (step.heading.rad() + next.heading.rad());
        let (sin, cos) = heading_rad.sin_cos();
        let v = step.airspeed_mps;
        let covariance = &mut self.covariance;
        for (axis, (along, across)) in [(sin, cos), (cos, -sin)].into_iter().enumerate() {
            let mut terms = wind.terms(axis, h).to_vec();
            terms.extend([
                (GUST[axis], h),
                (AIRSPEED, h * along),
                (HEADING, h * v * across),
                (TURN, 0.5 * h * h * v * across),
            ]);
            covariance.combine(POSITION[axis], 1.0, &terms);
        }
        covariance.combine(HEADING, 1.0, &[(TURN, h), (YAW, h)]);
        for (parts, markov) in [
            (&RECEIVER[..], self.receiver),
            (&SLOW_WIND[..], self.slow_wind),
            (&GUST[..], self.gust),
            (&[YAW][..], self.yaw),
        ] {
            for part in parts {
                covariance.combine(*part, markov.keep, &[]);
                covariance.disturb(*part, markov.gained);
            }
        }
        let inside = self.windows.iter().any(|(first, last)| *first <= k && k < *last);
        let [turn, airspeed] = if inside { [0.0; 2] } else { self.piloted };
        covariance.disturb(TURN, turn * h);
        match self.knowledge {
            Knowledge::Log | Knowledge::FreerPilot => covariance.disturb(AIRSPEED, airspeed * h),
            Knowledge::LagsToo => {
                let keep = (-h / self.flight.scenario.aircraft.airspeed_lag_s).exp();
                covariance.combine(AIRSPEED, keep, &[(trim_of(next.setting), 1.0 - keep)]);
            }
        }
    }
}

/// How the wind at a height follows from that at the reference height.
struct WindForm {
    /// By that wind, turned and grown.
    turned: [[f64; 2]; 2],
    by_shear: [f64; 2],
    by_veer: [f64; 2],
}

impl WindForm {
    fn at(air: &Air, height_m: f64) -> Self {
        let above_m = height_m - air.reference_height_m;
        let growth = 1.0 + air.shear_per_m * above_m;
        let (sin, cos) = (air.veer_deg_per_m * above_m).to_radians().sin_cos();
        let (from_sin, from_cos) = air.wind_from_deg.to_radians().sin_cos();
        let [east, north] = [-air.wind_mps * from_sin, -air.wind_mps * from_cos];
        // Clockwise by the veer.
        let turned = [[growth * cos, growth * sin], [-growth * sin, growth * cos]];
        let here = [turned[0][0] * east + turned[0][1] * north, turned[1][0] * east + turned[1][1] * north];
        Self {
            turned,
            by_shear: [above_m * here[0] / growth, above_m * here[1] / growth],
            by_veer: [above_m * here[1], -above_m * here[0]],
        }
    }

    /// What makes up the wind on an axis (without gusts), each times `scale`.
    fn terms(&self, axis: usize, scale: f64) -> [(usize, f64); 5] {
        [
            (SLOW_WIND[axis], scale),
            (WIND[0], scale * self.turned[axis][0]),
            (WIND[1], scale * self.turned[axis][1]),
            (SHEAR, scale * self.by_shear[axis]),
            (VEER, scale * self.by_veer[axis]),
        ]
    }
}

fn trim_of(setting: Setting) -> usize {
    TRIM + Setting::ALL.iter().position(|s| *s == setting).unwrap_or(0)
}

fn turn_rad_s(step: &TruthStep) -> f64 {
    GRAVITY_MPS2 * step.bank.rad().tan() / step.airspeed_mps
}

/// Mean square change over one second, outside windows.
fn changes(flight: &SimulatedFlight, windows: &[(usize, usize)], value: impl Fn(&TruthStep) -> f64) -> f64 {
    let second = (1.0 / STEP_S).round() as usize;
    let outside = |k: usize| !windows.iter().any(|(first, last)| k + second > *first && k < *last);
    let steps = &flight.truth.steps;
    let squares = steps.iter().zip(steps.iter().skip(second)).enumerate().filter(|(k, _)| outside(*k));
    let (sum, count) = squares.fold((0.0, 0.0), |(sum, n), (_, (a, b))| (sum + (value(b) - value(a)).powi(2), n + 1.0));
    if count > 0.0 { sum / count } else { 0.0 }
}
