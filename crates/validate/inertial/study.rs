//! What is flown with an inertial sensor.

use driftless_analysis::FlightConfig;
use driftless_inertial::compass::earth_field;
use driftless_sim::reference::{self, AirClass, Options};
use driftless_sim::scenario::{Imu, Leg, Magnetometer, Residual, Scenario};

/// What is flown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Reference flights whose steady spans are this many seconds long; gyro and accelerometer.
    Windows(u32),
    /// Reference flights with spans of a minute and a magnetometer as well.
    Compass(CompassState),
    /// No turn but the little that a set-up turns by itself; gyro and accelerometer.
    NoTurns,
}

/// State of a magnetometer. In each it has a constant field of its own, as every sensor beside an engine does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CompassState {
    /// The reference sensor in the field that the World Magnetic Model gives for the place.
    Sound,
    /// Load and ignition add a field that wanders by 4 to 16 µT on each axis.
    Wandering,
    /// Iron beside it turns its north by 8 to 30°.
    Turned,
    /// Iron beside it takes 18 to 50 % of the field away.
    Weakened,
}

impl CompassState {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Sound, Self::Wandering, Self::Turned, Self::Weakened];

    /// In words.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Sound => "sound",
            Self::Wandering => "wandering by 4 to 16 µT",
            Self::Turned => "north turned by 8 to 30°",
            Self::Weakened => "field weakened by 18 to 50 %",
        }
    }
}

/// Lengths of the windows flown, seconds.
pub(crate) const LENGTHS_S: [u32; 5] = [5, 10, 20, 30, 60];
/// Those of which a figure is wanted.
pub(crate) const WANTED_LENGTHS_S: [u32; 2] = [10, 60];
/// Windows of compass flights, seconds.
pub(crate) const COMPASS_WINDOW_S: u32 = 60;
/// Without turns: residual turn rates, °/s, between minus and plus this.
const NO_TURN_DEG_S: f64 = 0.3;
/// Constants of SplitMix64.
const SPREAD: [u64; 3] = [0x9e37_79b9_7f4a_7c15, 0xbf58_476d_1ce4_e5b9, 0x94d0_49bb_1331_11eb];

impl Kind {
    /// All of them, in the order of the tables.
    pub fn all() -> Vec<Self> {
        let windows = LENGTHS_S.map(Self::Windows);
        let compasses = CompassState::ALL.map(Self::Compass);
        windows.into_iter().chain(compasses).chain([Self::NoTurns]).collect()
    }

    /// In words.
    pub fn name(self) -> String {
        match self {
            Self::Windows(seconds) => format!("{seconds} s windows"),
            Self::Compass(state) => format!("compass {}", state.name()),
            Self::NoTurns => "no turns".to_owned(),
        }
    }

    /// Share of the flights of the windows that figures are wanted of.
    fn share(self) -> f64 {
        match self {
            Self::Windows(seconds) if WANTED_LENGTHS_S.contains(&seconds) => 1.0,
            Self::Compass(CompassState::Sound) | Self::Windows(_) | Self::NoTurns => 0.5,
            Self::Compass(_) => 0.25,
        }
    }

    fn window_s(self) -> u32 {
        match self {
            Self::Windows(seconds) => seconds,
            Self::Compass(_) | Self::NoTurns => COMPASS_WINDOW_S,
        }
    }

    /// Limits of the analysis: the program's own, but for windows that are too short for them.
    pub fn config(self) -> FlightConfig {
        let mut config = FlightConfig::default();
        config.limits.min_length_s = config.limits.min_length_s.min(0.5 * f64::from(self.window_s()));
        config
    }

    /// The flight and its sensor.
    pub fn scenario(self, class: AirClass, seed: u64) -> Scenario {
        let seconds = f64::from(self.window_s());
        let options = Options { window_s: [seconds; 2], orbits: self != Self::NoTurns, ..Options::default() };
        let mut scenario = reference::flight(class, seed, &options);
        if self == Self::NoTurns {
            without_turns(&mut scenario, seed);
        }
        let mut imu = reference::imu(seed);
        match self {
            Self::Compass(state) => set_compass(&mut imu, &scenario, state, seed),
            _ => imu.mag = None,
        }
        scenario.sensors.imu = Some(imu);
        scenario
    }
}

fn without_turns(scenario: &mut Scenario, seed: u64) {
    scenario.legs.retain(|leg| !matches!(leg, Leg::Turn { .. } | Leg::Orbit { .. }));
    for (k, setting) in scenario.aircraft.settings.values_mut().enumerate() {
        setting.residual = Residual::RateDegS(NO_TURN_DEG_S * (2.0 * share(seed, k as u64) - 1.0));
    }
}

/// The field of the place instead of the reference sensor's, which knows no place, and what disturbs it.
fn set_compass(imu: &mut Imu, scenario: &Scenario, state: CompassState, seed: u64) {
    let site = &scenario.site;
    let height_m = site.elevation_m + site.start_height_m;
    let earth = earth_field(site.lat_deg, site.lon_deg, height_m, scenario.start_utc).ok();
    let Some((mag, earth)) = imu.mag.as_mut().zip(earth) else { return };
    *mag = Magnetometer {
        field_ut: earth.strength_ut,
        declination_deg: earth.declination_deg,
        inclination_deg: earth.inclination_deg,
        ..mag.clone()
    };
    let draw = share(seed, 0);
    match state {
        CompassState::Sound => {}
        CompassState::Wandering => mag.disturbance_ut = 4.0 + 12.0 * draw,
        CompassState::Turned => {
            let side = if share(seed, 1) < 0.5 { -1.0 } else { 1.0 };
            mag.declination_deg += side * (8.0 + 22.0 * draw);
        }
        CompassState::Weakened => mag.field_ut *= 0.82 - 0.32 * draw,
    }
}

/// A number between 0 and 1 by seed and place (SplitMix64; Steele, Lea & Flood 2014, from memory): any that spreads.
fn share(seed: u64, place: u64) -> f64 {
    let mut x = (seed ^ place.wrapping_mul(SPREAD[1])).wrapping_add(SPREAD[0]);
    x = (x ^ (x >> 30)).wrapping_mul(SPREAD[1]);
    x = (x ^ (x >> 27)).wrapping_mul(SPREAD[2]);
    ((x ^ (x >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
}

/// A number of flights of one kind in one class of air.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct InertialStudy {
    /// How rough the air is.
    pub class: AirClass,
    /// What is flown.
    pub kind: Kind,
    /// How many flights.
    pub flights: u64,
}

/// Fewer flights say nothing.
const FEWEST_FLIGHTS: u64 = 2;

/// The studies of a run with this many flights per class and length of which a figure is wanted; the others fly a share.
pub fn plan(classes: &[AirClass], flights: u64) -> Vec<InertialStudy> {
    Kind::all()
        .into_iter()
        .flat_map(|kind| {
            let flights = ((flights as f64 * kind.share()).ceil() as u64).max(FEWEST_FLIGHTS);
            classes.iter().map(move |&class| InertialStudy { class, kind, flights })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_drawn_by_seed_spread_evenly() {
        let drawn: Vec<f64> = (0..4000).map(|k| share(1_000_000 + k / 2, k % 2)).collect();
        let mean = drawn.iter().sum::<f64>() / 4000.0;
        let square = drawn.iter().map(|d| (d - 0.5).powi(2)).sum::<f64>() / 4000.0;
        // Mean 1/2 and variance 1/12, to four standard errors (0.0046 and 0.0012).
        assert!((mean - 0.5).abs() < 0.02 && (square - 1.0 / 12.0).abs() < 0.005, "{mean}, {square}");
    }

    #[test]
    fn flights_without_turns_have_none() {
        let scenario = Kind::NoTurns.scenario(AirClass::Still, 3);
        assert!(!scenario.legs.iter().any(|leg| matches!(leg, Leg::Turn { .. } | Leg::Orbit { .. })));
        assert_eq!(scenario.legs.iter().filter(|leg| matches!(leg, Leg::HandsOff { .. })).count(), 4);
        assert!(scenario.sensors.imu.is_some_and(|imu| imu.mag.is_none()));
    }
}
