//! Flights under ordinary conditions: what real receivers, real pilots and real days do to the reference flights.
//!
//! Marks name no power setting, air is still, light or moderate as the seed draws, and the conditions themselves are drawn
//! within what pilots meet (engineering judgement).

use super::{AirClass, Options, draw_order, draw_settings, orbits, window};
use crate::noise::{Source, Stream};
use crate::scenario::{Leg, Pause, Porpoising, ReceiverFilter, Residual, Scenario, WindChange};
use crate::truth::Truth;
use crate::{SimError, fly};
use driftless_track::{InputLimits, Scenario as Setting};
use std::f64::consts::TAU;

/// What is out of the ordinary of the reference flights, and ordinary in the field.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Condition {
    /// Nothing: the reference flight, for comparison.
    Plain,
    /// Stand, fly, land, change the set-up, fly again, drive home.
    TwoFlights,
    /// The logger pauses while the pilot stands, before the flight or after it.
    StandingWithGap,
    /// A wind about as fast as the aircraft: launched at no ground speed, flown backwards.
    LaunchIntoStrongWind,
    /// The logger sleeps for 25 of every 30 minutes.
    Bursts,
    /// Slow set-ups flown straight into the wind; no turn but what the set-ups do.
    IntoWind,
    /// Power changes at let-go, so that airspeed and climb do.
    PowerAtLetGo,
    /// Six windows in three hours.
    ThreeHours,
    /// Airspeed and height swing against each other.
    Porpoising,
    /// The receiver smooths positions by a low-pass of 1.5 s.
    LowPassShort,
    /// The same with 3 s.
    LowPassLong,
    /// The receiver tracks positions with gains of 0.4 and 0.08.
    AlphaBeta,
    /// Recorded velocities at 5 Hz whose errors last seconds.
    Velocities5Hz,
    /// The same at 10 Hz.
    Velocities10Hz,
    /// The wind changes by 2 m/s inside a window.
    WindChange,
    /// Glides of minutes.
    LongGlides,
}

impl Condition {
    /// All of them, in the order of the tables.
    pub const ALL: [Self; 16] = [
        Self::Plain,
        Self::TwoFlights,
        Self::StandingWithGap,
        Self::LaunchIntoStrongWind,
        Self::Bursts,
        Self::IntoWind,
        Self::PowerAtLetGo,
        Self::ThreeHours,
        Self::Porpoising,
        Self::LowPassShort,
        Self::LowPassLong,
        Self::AlphaBeta,
        Self::Velocities5Hz,
        Self::Velocities10Hz,
        Self::WindChange,
        Self::LongGlides,
    ];

    /// In words.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Plain => "reference flight, marks without names",
            Self::TwoFlights => "two flights, set-up changed between, drive home",
            Self::StandingWithGap => "logger paused while standing",
            Self::LaunchIntoStrongWind => "launch at no ground speed, flying backwards",
            Self::Bursts => "5 min of fixes every half hour",
            Self::IntoWind => "straight into the wind, no turns",
            Self::PowerAtLetGo => "power changes at let-go",
            Self::ThreeHours => "six windows in three hours",
            Self::Porpoising => "porpoising",
            Self::LowPassShort => "receiver smooths by 1.5 s",
            Self::LowPassLong => "receiver smooths by 3 s",
            Self::AlphaBeta => "receiver tracks with 0.4 and 0.08",
            Self::Velocities5Hz => "velocities at 5 Hz, errors last seconds",
            Self::Velocities10Hz => "velocities at 10 Hz, errors last seconds",
            Self::WindChange => "wind changes by 2 m/s inside a window",
            Self::LongGlides => "glides of minutes",
        }
    }
}

/// A flight under a condition. Fly it with the same seed.
///
/// # Errors
/// Those of [`simulate`](crate::simulate): some conditions are placed by the times of the flight itself.
pub fn ordinary(condition: Condition, seed: u64) -> Result<Scenario, SimError> {
    let mut draw = Stream::new(seed, Source::Ordinary);
    let class = AirClass::ALL[(draw.uniform() * 3.0) as usize % 3];
    let mut scenario = super::flight(class, seed, &Options::default());
    scenario.name = format!("ordinary-{seed}");
    condition.name().clone_into(&mut scenario.note);
    scenario.output.marks_name_settings = false;
    let draw = &mut draw;
    match condition {
        Condition::Plain => {}
        Condition::TwoFlights => two_flights(&mut scenario, draw),
        Condition::StandingWithGap => standing_with_gap(&mut scenario, seed, draw)?,
        Condition::LaunchIntoStrongWind => launch_into_strong_wind(&mut scenario, draw),
        Condition::Bursts => bursts(&mut scenario, draw),
        Condition::IntoWind => into_wind(&mut scenario, draw),
        Condition::PowerAtLetGo => power_at_let_go(&mut scenario),
        Condition::ThreeHours => three_hours(&mut scenario, draw),
        Condition::Porpoising => {
            let (airspeed_mps, period_s) = (draw.between(0.7, 1.3), draw.between(6.0, 10.0));
            scenario.aircraft.porpoising = Some(Porpoising { airspeed_mps, period_s });
        }
        Condition::LowPassShort => smoothed(&mut scenario, ReceiverFilter::LowPass(1.5)),
        Condition::LowPassLong => smoothed(&mut scenario, ReceiverFilter::LowPass(3.0)),
        Condition::AlphaBeta => smoothed(&mut scenario, ReceiverFilter::AlphaBeta { alpha: 0.4, beta: 0.08 }),
        Condition::Velocities5Hz => velocities(&mut scenario, 5.0, draw),
        Condition::Velocities10Hz => velocities(&mut scenario, 10.0, draw),
        Condition::WindChange => wind_change(&mut scenario, seed, draw)?,
        Condition::LongGlides => long_glides(&mut scenario, draw),
    }
    Ok(scenario)
}

/// Stand, take off into the wind, climb.
fn departure(scenario: &Scenario, draw: &mut Stream) -> [Leg; 3] {
    [
        Leg::Stand { seconds: draw.between(20.0, 120.0) },
        Leg::TakeOff { seconds: draw.between(4.0, 8.0), heading_deg: Some(scenario.air.wind_from_deg) },
        Leg::ToHeight { height_m: draw.between(400.0, 550.0), setting: Setting::FullPowerClimb, rate_deg_s: 0.0 },
    ]
}

/// Puts the start of the flight onto the ground, with less wind there.
fn grounded(scenario: &mut Scenario) {
    scenario.site.start_height_m = 0.0;
    scenario.air.reference_height_m = 300.0;
    scenario.air.shear_per_m = 0.002;
}

fn two_flights(scenario: &mut Scenario, draw: &mut Stream) {
    grounded(scenario);
    let other = draw_settings(draw);
    let mut legs = departure(scenario, draw).to_vec();
    let [first, second, third, fourth] = draw_order(draw);
    let span_s = Options::default().window_s;
    legs.extend(orbits(draw));
    legs.extend([first, second].into_iter().flat_map(|setting| window(setting, span_s, draw)));
    legs.push(Leg::Land);
    legs.push(Leg::Drive {
        seconds: draw.between(20.0, 120.0),
        speed_mps: draw.between(0.8, 1.5),
        heading_deg: scenario.air.wind_from_deg - 180.0,
    });
    legs.push(Leg::Refit { settings: other });
    legs.extend(departure(scenario, draw));
    legs.extend(orbits(draw));
    legs.extend([third, fourth].into_iter().flat_map(|setting| window(setting, span_s, draw)));
    legs.push(Leg::Land);
    legs.push(Leg::Stand { seconds: draw.between(30.0, 300.0) });
    for _ in 0..6 {
        legs.push(Leg::Drive {
            seconds: draw.between(20.0, 60.0),
            speed_mps: draw.between(6.0, 25.0),
            heading_deg: draw.between(0.0, 360.0),
        });
    }
    scenario.legs = legs;
}

/// The flight of the scenario between departure and landing.
fn from_the_ground(scenario: &mut Scenario, draw: &mut Stream) {
    grounded(scenario);
    let departure = departure(scenario, draw);
    scenario.legs.splice(0..0, departure);
    scenario.legs.push(Leg::Land);
    scenario.legs.push(Leg::Stand { seconds: draw.between(100.0, 500.0) });
}

fn standing_with_gap(scenario: &mut Scenario, seed: u64, draw: &mut Stream) -> Result<(), SimError> {
    from_the_ground(scenario, draw);
    scenario.legs.insert(0, Leg::Stand { seconds: draw.between(100.0, 500.0) });
    let truth = flown(scenario, seed)?;
    let takeoff_s = truth.steps.iter().find(|s| !s.on_ground).map_or(0.0, |s| s.t_s);
    let landing_s = truth.steps.iter().rev().find(|s| !s.on_ground).map_or(0.0, |s| s.t_s);
    let (from_s, to_s) = if draw.uniform() < 0.5 {
        let to_s = draw.between(0.3, 0.95) * takeoff_s;
        (to_s - draw.between(12.0, 0.25 * takeoff_s), to_s)
    } else {
        let from_s = landing_s + draw.between(8.0, 40.0);
        (from_s, from_s + draw.between(12.0, 60.0))
    };
    scenario.sensors.pauses.push(Pause { from_s: from_s.max(0.0), to_s });
    Ok(())
}

fn launch_into_strong_wind(scenario: &mut Scenario, draw: &mut Stream) {
    from_the_ground(scenario, draw);
    scenario.air.shear_per_m = 0.0005;
    // The slowest setting flies 10.1 m/s, the fastest 14.1.
    scenario.air.wind_mps = draw.between(9.5, 11.5);
}

fn bursts(scenario: &mut Scenario, draw: &mut Stream) {
    const EVERY_S: f64 = 1800.0;
    const LENGTH_S: f64 = 300.0;
    scenario.sensors.rate_hz = 1.0;
    for _ in 0..5 {
        for setting in draw_order(draw) {
            let straight = Leg::Straight {
                seconds: draw.between(60.0, 200.0),
                setting: Some(Setting::TrimLevel),
                heading_deg: None,
            };
            scenario.legs.push(straight);
            scenario.legs.extend(window(setting, Options::default().window_s, draw));
        }
    }
    let hours_s = 4.0 * EVERY_S;
    let pause = |i: f64| Pause { from_s: i * EVERY_S + LENGTH_S, to_s: (i + 1.0) * EVERY_S };
    scenario.sensors.pauses = (0..(hours_s / EVERY_S) as u32).map(|i| pause(f64::from(i))).collect();
}

fn into_wind(scenario: &mut Scenario, draw: &mut Stream) {
    let from_deg = scenario.air.wind_from_deg;
    scenario.air.wind_mps = draw.between(4.0, 7.5);
    scenario.site.heading_deg = from_deg;
    for power in scenario.aircraft.settings.values_mut() {
        power.airspeed_mps -= 1.0;
        power.residual = Residual::RateDegS(draw.between(-0.8, 0.8));
    }
    let heading = |draw: &mut Stream| Some((from_deg + draw.between(-15.0, 15.0)).rem_euclid(360.0));
    let trim = Some(Setting::TrimLevel);
    let mut legs = vec![Leg::Straight { seconds: 60.0, setting: trim, heading_deg: heading(draw) }];
    for setting in draw_order(draw) {
        let setting = Some(setting);
        legs.push(Leg::HandsOff { seconds: draw.between(40.0, 65.0), setting });
        legs.push(Leg::Straight { seconds: draw.between(30.0, 60.0), setting: trim, heading_deg: heading(draw) });
    }
    scenario.legs = legs;
}

fn power_at_let_go(scenario: &mut Scenario) {
    let mut before = Some(Setting::TrimLevel);
    for leg in &mut scenario.legs {
        match leg {
            Leg::Turn { setting, .. } | Leg::Straight { setting, .. } => *setting = before,
            Leg::HandsOff { setting, .. } => before = *setting,
            _ => {}
        }
    }
}

fn three_hours(scenario: &mut Scenario, draw: &mut Stream) {
    scenario.sensors.rate_hz = 1.0;
    let trim = Some(Setting::TrimLevel);
    let mut legs = orbits(draw);
    let order = draw_order(draw);
    for setting in order.into_iter().chain(order.into_iter().take(2)) {
        for _ in 0..2 {
            legs.push(Leg::Straight { seconds: draw.between(500.0, 900.0), setting: trim, heading_deg: None });
            let by_deg = draw.between(-150.0, 150.0);
            legs.push(Leg::Turn { by_deg, rate_deg_s: draw.between(6.0, 12.0), setting: trim });
        }
        legs.extend(window(setting, Options::default().window_s, draw));
    }
    scenario.legs = legs;
}

fn smoothed(scenario: &mut Scenario, filter: ReceiverFilter) {
    scenario.sensors.rate_hz = 1.0;
    scenario.sensors.filter = Some(filter);
}

fn velocities(scenario: &mut Scenario, rate_hz: f64, draw: &mut Stream) {
    scenario.sensors.rate_hz = rate_hz;
    scenario.sensors.doppler_mps = Some(draw.between(0.1, 0.3));
    scenario.sensors.doppler_tau_s = draw.between(1.5, 5.0);
}

fn wind_change(scenario: &mut Scenario, seed: u64, draw: &mut Stream) -> Result<(), SimError> {
    let truth = flown(scenario, seed)?;
    let windows = &truth.windows;
    let Some(window) = windows.get((draw.uniform() * windows.len() as f64) as usize) else { return Ok(()) };
    let over_s = draw.between(5.0, 20.0);
    let at_s = draw.between(window.start_s + 10.0, window.end_s - 10.0 - over_s);
    let towards_rad = draw.between(0.0, TAU);
    let (east_mps, north_mps) = (2.0 * libm::sin(towards_rad), 2.0 * libm::cos(towards_rad));
    scenario.air.changes.push(WindChange { at_s, over_s, east_mps, north_mps });
    Ok(())
}

fn long_glides(scenario: &mut Scenario, draw: &mut Stream) {
    scenario.site.start_height_m = 2500.0;
    scenario.air.reference_height_m = 1500.0;
    scenario.air.shear_per_m = 0.0004;
    scenario.air.veer_deg_per_m = 0.01;
    let mut legs = orbits(draw);
    for _ in 0..4 {
        legs.extend(window(Setting::PowerOffGlide, [120.0, 210.0], draw));
    }
    scenario.legs = legs;
}

/// The flight as it goes, to place conditions by: neither wind nor logger changes its times.
fn flown(scenario: &Scenario, seed: u64) -> Result<Truth, SimError> {
    fly::fly(scenario, seed, &InputLimits::default())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reference::TUNING_SEEDS;
    use crate::simulate;

    fn flights(condition: Condition) -> impl Iterator<Item = crate::SimulatedFlight> {
        TUNING_SEEDS.take(6).map(move |seed| {
            let scenario = ordinary(condition, seed).expect("a plan");
            simulate(&scenario, seed).unwrap_or_else(|error| panic!("{}, seed {seed}: {error}", condition.name()))
        })
    }

    #[test]
    fn every_condition_can_be_flown_and_has_windows() {
        for condition in Condition::ALL {
            for flight in flights(condition) {
                assert!(flight.truth.windows.len() >= 4, "{}", condition.name());
                assert!(flight.fixes.len() > 300, "{}", condition.name());
            }
        }
    }

    #[test]
    fn two_flights_leave_the_ground_twice_and_drive_home_fast() {
        for flight in flights(Condition::TwoFlights) {
            let steps = &flight.truth.steps;
            let left = steps.windows(2).filter(|pair| pair[0].on_ground && !pair[1].on_ground).count();
            assert_eq!(left, 2);
            let last_airborne = steps.iter().rposition(|s| !s.on_ground).expect("a flight");
            let fastest =
                steps[last_airborne + 400..].iter().map(|s| s.ground_velocity.speed_mps()).fold(0.0, f64::max);
            assert!(fastest > 6.0, "driven at {fastest} m/s");
        }
    }

    #[test]
    fn the_wind_changes_by_two_metres_a_second_inside_a_window() {
        for flight in flights(Condition::WindChange) {
            let change = flight.scenario.air.changes[0];
            assert!((change.east_mps.hypot(change.north_mps) - 2.0).abs() < 1e-9);
            let (from_s, to_s) = (change.at_s, change.at_s + change.over_s);
            assert!(flight.truth.windows.iter().any(|w| w.start_s < from_s && to_s < w.end_s));
        }
    }

    #[test]
    fn pauses_have_no_fix() {
        for flight in flights(Condition::Bursts).chain(flights(Condition::StandingWithGap)) {
            for pause in &flight.scenario.sensors.pauses {
                let seconds =
                    |fix: &driftless_track::Fix| (fix.time - flight.truth.epoch).num_milliseconds() as f64 / 1000.0;
                assert!(!flight.fixes.iter().map(seconds).any(|t_s| pause.from_s <= t_s && t_s < pause.to_s));
            }
        }
    }
}
