//! The reference flights on which the program's accuracy is tuned and judged.
//!
//! Each has four hands-off windows, one per scenario, in the air from start to end: two calibration orbits, then for
//! every window a turn onto a new heading, straight flight while power and trim settle, and let-go. Airspeeds, turn
//! rates, window lengths, the order of the windows, headings, wind and fix rate are drawn from the seed.

mod imu;
mod ordinary;

pub use imu::imu;
pub use ordinary::{Condition, ordinary};

use crate::noise::{Source, Stream};
use crate::scenario::{
    Air, Aircraft, Direction, Format, Gusts, Leg, Output, PowerSetting, Residual, Scenario, Sensors, Site,
};
use chrono::DateTime;
use driftless_track::Scenario as Setting;
use std::collections::BTreeMap;
use std::ops::Range;

/// Seeds on which anything may be tuned.
pub const TUNING_SEEDS: Range<u64> = 0..1_000_000;
/// Seeds on which figures are judged: nothing may ever be tuned on them.
pub const JUDGING_SEEDS: Range<u64> = 1_000_000..2_000_000;

/// How rough the air is: gust per horizontal axis (8 s) and wander of the turn rate (3 s).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AirClass {
    /// No turbulence.
    Still,
    /// Gusts of 0.3 m/s, yaw wander of 0.4 °/s.
    Light,
    /// Gusts of 0.6 m/s, yaw wander of 0.8 °/s.
    Moderate,
}

impl AirClass {
    /// All of them, smoothest first.
    pub const ALL: [Self; 3] = [Self::Still, Self::Light, Self::Moderate];

    /// Gust per horizontal axis, m/s.
    pub const fn gust_mps(self) -> f64 {
        match self {
            Self::Still => 0.0,
            Self::Light => 0.3,
            Self::Moderate => 0.6,
        }
    }

    /// Wander of the turn rate, °/s.
    pub const fn yaw_wander_deg_s(self) -> f64 {
        match self {
            Self::Still => 0.0,
            Self::Light => 0.4,
            Self::Moderate => 0.8,
        }
    }

    /// The word for it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Still => "still",
            Self::Light => "light",
            Self::Moderate => "moderate",
        }
    }
}

/// What may be varied about the reference flights.
#[derive(Debug, Clone, PartialEq)]
pub struct Options {
    /// Whether the two calibration orbits are flown.
    pub orbits: bool,
    /// Whether positions are rounded as in an IGC file without extensions (0.001', whole metres).
    pub igc_quantised: bool,
    /// Length of the steady spans, seconds, drawn between these.
    pub window_s: [f64; 2],
    /// Fixes per second; drawn from 1, 2, 5 and 10 when absent.
    pub rate_hz: Option<f64>,
    /// Wind speed, m/s, drawn between these.
    pub wind_mps: [f64; 2],
    /// Whether the log carries the marks of let-go and take-over.
    pub marks: bool,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            orbits: true,
            igc_quantised: false,
            window_s: [45.0, 75.0],
            rate_hz: None,
            wind_mps: [0.0, 7.0],
            marks: true,
        }
    }
}

/// A reference flight. Fly it with the same seed: `simulate(&reference::flight(class, seed, &options), seed)`.
///
/// One seed draws the same aircraft, plan and wind in every class and, as far as they go, with every option, so that
/// classes and options are compared on like flights.
pub fn flight(class: AirClass, seed: u64, options: &Options) -> Scenario {
    let mut draw = Stream::new(seed, Source::Reference);
    let site_heading_deg = draw.between(0.0, 360.0);
    let wind_from_deg = draw.between(0.0, 360.0);
    let [wind_low, wind_high] = options.wind_mps;
    let wind_mps = draw.between(wind_low, wind_high);
    let drawn_rate_hz = [1.0, 2.0, 5.0, 10.0][(draw.uniform() * 4.0) as usize % 4];
    let settings = draw_settings(&mut draw);
    let mut legs = orbits(&mut draw);
    if !options.orbits {
        legs.clear();
    }
    for setting in draw_order(&mut draw) {
        legs.extend(window(setting, options.window_s, &mut draw));
    }
    legs.push(Leg::Straight { seconds: 15.0, setting: Some(Setting::TrimLevel), heading_deg: None });
    let position_step_arcmin = if options.igc_quantised { 0.001 } else { 0.0 };
    let altitude_step_m = if options.igc_quantised { 1.0 } else { 0.0 };
    Scenario {
        name: format!("reference-{}-{seed}", class.name()),
        note: "Reference flight: four windows, two calibration orbits.".to_owned(),
        setup: "reference".to_owned(),
        seed,
        start_utc: DateTime::from_timestamp(1_780_293_600, 0).unwrap_or_default(),
        site: Site {
            lat_deg: 47.5,
            lon_deg: 11.0,
            elevation_m: 600.0,
            heading_deg: site_heading_deg,
            start_height_m: 600.0,
        },
        aircraft: Aircraft {
            airspeed_lag_s: 2.5,
            climb_lag_s: 2.0,
            roll_lag_s: 1.0,
            let_go_lag_s: 2.5,
            corrections_deg_s: 0.8,
            porpoising: None,
            propeller: None,
            settings,
        },
        air: Air {
            wind_mps,
            wind_from_deg,
            reference_height_m: 600.0,
            shear_per_m: 0.004,
            veer_deg_per_m: 0.06,
            slow_sd_mps: 0.5,
            slow_tau_s: 600.0,
            gusts: match class {
                AirClass::Still => Gusts::None,
                _ => Gusts::Markov { sd_mps: class.gust_mps(), tau_s: 8.0 },
            },
            yaw_wander_deg_s: class.yaw_wander_deg_s(),
            yaw_wander_tau_s: 3.0,
            thermals: Vec::new(),
            changes: Vec::new(),
        },
        sensors: Sensors {
            rate_hz: options.rate_hz.unwrap_or(drawn_rate_hz),
            position_white_m: 0.4,
            position_slow_m: 1.5,
            slow_tau_s: 60.0,
            position_step_arcmin,
            altitude_step_m,
            ..Sensors::default()
        },
        output: Output {
            formats: vec![if options.igc_quantised { Format::Igc } else { Format::Gpx }],
            marks_in_log: options.marks,
            ..Output::default()
        },
        legs,
    }
}

/// Airspeeds between 10.1 and 14.1 m/s, turn rates between -7 and +7 °/s.
fn draw_settings(draw: &mut Stream) -> BTreeMap<Setting, PowerSetting> {
    [
        (Setting::TrimLevel, [10.3, 11.3], [0.0, 0.0]),
        (Setting::AcceleratedLevel, [12.3, 14.1], [0.0, 0.0]),
        (Setting::FullPowerClimb, [10.1, 11.1], [1.5, 2.2]),
        (Setting::PowerOffGlide, [10.3, 11.5], [-2.2, -1.5]),
    ]
    .into_iter()
    .map(|(setting, [slow, fast], [low, high])| {
        let airspeed_mps = draw.between(slow, fast);
        let climb_mps = draw.between(low, high);
        let residual = Residual::RateDegS(draw.between(-7.0, 7.0));
        (setting, PowerSetting { airspeed_mps, climb_mps, residual })
    })
    .collect()
}

/// One full circle each way at trim level.
fn orbits(draw: &mut Stream) -> Vec<Leg> {
    let setting = Some(Setting::TrimLevel);
    let first = if draw.uniform() < 0.5 { Direction::Right } else { Direction::Left };
    let second = if first == Direction::Right { Direction::Left } else { Direction::Right };
    let mut orbit = |direction| Leg::Orbit { turns: 1.0, direction, rate_deg_s: draw.between(8.0, 12.0), setting };
    let straight = |seconds| Leg::Straight { seconds, setting, heading_deg: None };
    vec![straight(15.0), orbit(first), straight(8.0), orbit(second)]
}

/// The four scenarios in random order (Fisher-Yates).
fn draw_order(draw: &mut Stream) -> [Setting; 4] {
    let mut order = [Setting::TrimLevel, Setting::AcceleratedLevel, Setting::FullPowerClimb, Setting::PowerOffGlide];
    for i in (1..order.len()).rev() {
        order.swap(i, (draw.uniform() * (i + 1) as f64) as usize);
    }
    order
}

/// Repositioning turn, straight flight in the new setting, hands off.
fn window(setting: Setting, [shortest_s, longest_s]: [f64; 2], draw: &mut Stream) -> [Leg; 3] {
    let side = if draw.uniform() < 0.5 { -1.0 } else { 1.0 };
    let by_deg = side * draw.between(40.0, 180.0);
    let rate_deg_s = draw.between(6.0, 12.0);
    let straight_s = draw.between(15.0, 25.0);
    let steady_s = draw.between(shortest_s, longest_s);
    let setting = Some(setting);
    [
        Leg::Turn { by_deg, rate_deg_s, setting },
        Leg::Straight { seconds: straight_s, setting, heading_deg: None },
        Leg::HandsOff { seconds: steady_s, setting },
    ]
}
