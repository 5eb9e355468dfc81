//! What is flown: the reference flights, and what is varied about them.

use driftless_analysis::FlightConfig;
use driftless_sim::reference::{AirClass, JUDGING_SEEDS, Options, TUNING_SEEDS};

/// Which seeds flights are drawn from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Seeds {
    /// Those on which anything may be tuned.
    Tuning,
    /// Those on which figures are judged.
    Judging,
}

impl Seeds {
    /// The first of them.
    pub const fn first(self) -> u64 {
        match self {
            Self::Tuning => TUNING_SEEDS.start,
            Self::Judging => JUDGING_SEEDS.start,
        }
    }
}

/// What is varied about the reference flights.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Variant {
    /// Nothing: one fix every 0.1 to 1 s, two orbits, windows of 45 to 75 s, marks.
    Reference,
    /// GPX, one fix a second.
    Gpx1Hz,
    /// IGC without extra digits (0.001'), one fix a second.
    Igc1Hz,
    /// No calibration orbits.
    NoOrbits,
    /// No marks.
    Unmarked,
    /// A wind faster than the aircraft: it flies backwards over the ground on some headings.
    StrongWind,
    /// Steady spans of this many seconds, one fix a second.
    Length(u32),
}

impl Variant {
    /// All of them, in the order of the tables.
    pub const ALL: [Self; 11] = [
        Self::Reference,
        Self::Gpx1Hz,
        Self::Igc1Hz,
        Self::NoOrbits,
        Self::Unmarked,
        Self::StrongWind,
        Self::Length(10),
        Self::Length(20),
        Self::Length(30),
        Self::Length(60),
        Self::Length(90),
    ];

    /// In words.
    pub fn name(self) -> String {
        match self {
            Self::Reference => "reference flights".to_owned(),
            Self::Gpx1Hz => "GPX, 1 Hz".to_owned(),
            Self::Igc1Hz => "IGC 0.001', 1 Hz".to_owned(),
            Self::NoOrbits => "no orbits".to_owned(),
            Self::Unmarked => "no marks".to_owned(),
            Self::StrongWind => "wind 14.5 to 18 m/s, above airspeed".to_owned(),
            Self::Length(seconds) => format!("{seconds} s windows, 1 Hz"),
        }
    }

    /// Options of the reference flights.
    pub fn options(self) -> Options {
        let plain = Options::default();
        match self {
            Self::Reference => plain,
            Self::Gpx1Hz => Options { rate_hz: Some(1.0), ..plain },
            Self::Igc1Hz => Options { rate_hz: Some(1.0), igc_quantised: true, ..plain },
            Self::NoOrbits => Options { orbits: false, ..plain },
            Self::Unmarked => Options { marks: false, ..plain },
            // The fastest setting of any reference flight flies 14.1 m/s.
            Self::StrongWind => Options { wind_mps: [14.5, 18.0], ..plain },
            Self::Length(seconds) => {
                Options { rate_hz: Some(1.0), window_s: [f64::from(seconds), f64::from(seconds)], ..plain }
            }
        }
    }

    /// Limits of the analysis: the program's own, but for windows that are too short for them.
    pub fn config(self) -> FlightConfig {
        let mut config = FlightConfig::default();
        if matches!(self, Self::Length(_)) {
            config.limits.min_length_s = 5.0;
        }
        config
    }

    /// Flights flown for every flight of the reference study.
    fn share(self) -> f64 {
        match self {
            Self::Reference => 1.0,
            Self::Length(_) => 0.2,
            _ => 0.4,
        }
    }
}

/// A number of flights of one kind in one class of air.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Study {
    /// How rough the air is.
    pub class: AirClass,
    /// What is varied.
    pub variant: Variant,
    /// How many flights.
    pub flights: u64,
}

/// Windows of one reference flight.
const WINDOWS_PER_FLIGHT: f64 = 4.0;
/// Fewer flights say nothing.
const FEWEST_FLIGHTS: u64 = 2;

/// The studies of a run with this many windows per class in the reference study.
pub fn plan(classes: &[AirClass], variants: &[Variant], windows: u64) -> Vec<Study> {
    variants
        .iter()
        .flat_map(|&variant| {
            let flights = ((windows as f64 * variant.share() / WINDOWS_PER_FLIGHT).ceil() as u64).max(FEWEST_FLIGHTS);
            classes.iter().map(move |&class| Study { class, variant, flights })
        })
        .collect()
}
