//! The air on its way through the flight: mean wind, slow change, gusts, thermals, and what turbulence does to yaw.

use crate::dryden::{Across, Along, scales};
use crate::noise::{Source, Stream, Wander};
use crate::scenario::{Air, Gusts};

const DEGREE: f64 = std::f64::consts::PI / 180.0;

/// Where in the air one asks.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Place {
    pub(crate) east_m: f64,
    pub(crate) north_m: f64,
    /// Above the ground.
    pub(crate) height_m: f64,
    pub(crate) heading_rad: f64,
    pub(crate) airspeed_mps: f64,
}

/// The air at one place and time; velocities are what the air moves along.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct AirMotion {
    /// Mean wind with its slow change, east and north.
    pub(crate) wind_mps: [f64; 2],
    /// Gust, east and north.
    pub(crate) gust_mps: [f64; 2],
    /// Vertical gust and thermals, up positive.
    pub(crate) up_mps: f64,
    /// What turbulence adds to the turn rate.
    pub(crate) yaw_rad_s: f64,
}

/// The mean wind at a height above the ground: sheared, veered, never reversed by shear.
pub(crate) fn mean_wind_mps(air: &Air, height_m: f64) -> [f64; 2] {
    let above_m = height_m - air.reference_height_m;
    let speed_mps = air.wind_mps * (1.0 + air.shear_per_m * above_m).max(0.0);
    let from_rad = (air.wind_from_deg + air.veer_deg_per_m * above_m) * DEGREE;
    [-speed_mps * libm::sin(from_rad), -speed_mps * libm::cos(from_rad)]
}

/// What lasting changes have added by now; each comes in evenly over its time.
fn lasting_change_mps(air: &Air, t_s: f64) -> [f64; 2] {
    air.changes.iter().fold([0.0; 2], |[east, north], change| {
        let past_s = t_s - change.at_s;
        let share = if past_s <= 0.0 { 0.0 } else { (past_s / change.over_s).min(1.0) };
        [east + share * change.east_mps, north + share * change.north_mps]
    })
}

/// The moving air of one flight.
pub(crate) struct Atmosphere<'a> {
    air: &'a Air,
    dt_s: f64,
    elapsed_s: f64,
    slow: [Wander; 2],
    slow_stream: Stream,
    gusts: GustState,
    gust_stream: Stream,
    yaw: Wander,
    yaw_stream: Stream,
}

enum GustState {
    None,
    Markov([Wander; 2]),
    Dryden { along: Along, across: Across, vertical: Across, wind_20ft_mps: f64, now: [f64; 3] },
}

impl<'a> Atmosphere<'a> {
    pub(crate) fn new(air: &'a Air, seed: u64, dt_s: f64) -> Self {
        let mut slow_stream = Stream::new(seed, Source::SlowWind);
        let mut gust_stream = Stream::new(seed, Source::Gust);
        let mut yaw_stream = Stream::new(seed, Source::YawWander);
        let pair = |sd, tau_s, stream: &mut Stream| {
            [Wander::new(sd, tau_s, dt_s, stream), Wander::new(sd, tau_s, dt_s, stream)]
        };
        let slow = pair(air.slow_sd_mps, air.slow_tau_s, &mut slow_stream);
        let gusts = match air.gusts {
            Gusts::None => GustState::None,
            Gusts::Markov { sd_mps, tau_s } => GustState::Markov(pair(sd_mps, tau_s, &mut gust_stream)),
            Gusts::Dryden(dryden) => GustState::Dryden {
                along: Along::new(&mut gust_stream),
                across: Across::new(&mut gust_stream),
                vertical: Across::new(&mut gust_stream),
                wind_20ft_mps: dryden.wind_20ft_mps,
                now: [0.0; 3],
            },
        };
        let yaw = Wander::new(air.yaw_wander_deg_s * DEGREE, air.yaw_wander_tau_s, dt_s, &mut yaw_stream);
        Self { air, dt_s, elapsed_s: 0.0, slow, slow_stream, gusts, gust_stream, yaw, yaw_stream }
    }

    /// One time step on, at the place where the aircraft is.
    pub(crate) fn step(&mut self, place: Place) {
        self.elapsed_s += self.dt_s;
        for axis in &mut self.slow {
            axis.step(&mut self.slow_stream);
        }
        self.yaw.step(&mut self.yaw_stream);
        let stream = &mut self.gust_stream;
        match &mut self.gusts {
            GustState::None => {}
            GustState::Markov(axes) => {
                for axis in axes {
                    axis.step(stream);
                }
            }
            GustState::Dryden { along, across, vertical, wind_20ft_mps, now } => {
                let s = scales(place.height_m, *wind_20ft_mps);
                let flown_m = place.airspeed_mps * self.dt_s;
                *now = [
                    s.sd_horizontal_mps * along.step(flown_m / s.length_horizontal_m, stream),
                    s.sd_horizontal_mps * across.step(flown_m / s.length_horizontal_m, stream),
                    s.sd_vertical_mps * vertical.step(flown_m / s.length_vertical_m, stream),
                ];
            }
        }
    }

    /// The air at a place, now.
    pub(crate) fn motion(&self, place: Place) -> AirMotion {
        let [mean_east, mean_north] = mean_wind_mps(self.air, place.height_m);
        let (gust_mps, gust_up_mps) = match &self.gusts {
            GustState::None => ([0.0; 2], 0.0),
            GustState::Markov([east, north]) => ([east.value(), north.value()], 0.0),
            GustState::Dryden { now: [along, across, up], .. } => {
                let (sin, cos) = (libm::sin(place.heading_rad), libm::cos(place.heading_rad));
                ([along * sin + across * cos, along * cos - across * sin], *up)
            }
        };
        let thermals_mps: f64 = self
            .air
            .thermals
            .iter()
            .map(|thermal| {
                let (east, north) = (place.east_m - thermal.east_m, place.north_m - thermal.north_m);
                let r2 = (east * east + north * north) / (thermal.radius_m * thermal.radius_m);
                thermal.strength_mps * libm::exp(-r2)
            })
            .sum();
        let [slow_east, slow_north] = &self.slow;
        let [lasting_east, lasting_north] = lasting_change_mps(self.air, self.elapsed_s);
        AirMotion {
            wind_mps: [mean_east + slow_east.value() + lasting_east, mean_north + slow_north.value() + lasting_north],
            gust_mps,
            up_mps: gust_up_mps + thermals_mps,
            yaw_rad_s: self.yaw.value(),
        }
    }
}
