//! The third stage of the road: the windows of a flight, named, measured and judged on the last estimate.

use crate::WindowMeasurement;
use crate::gps::ByGps;
use crate::second_opinion::second_opinion;
use crate::sensors::BySensors;
use driftless_segment::{Basis, Limits, ScenarioBasis, Signals, measure, name_scenarios};
use driftless_track::{Scenario, Track};

/// The windows in time order, each with its verdict; numbers go on from those of the flights before.
pub(crate) fn measured_windows(
    track: &Track,
    gps: &ByGps,
    sensors: &BySensors,
    limits: &Limits,
    numbered_after: usize,
) -> Vec<WindowMeasurement> {
    let estimate = sensors.estimate.as_ref().or(gps.estimate.as_ref().ok());
    let by_sensors = sensors.estimate.as_ref().map(|estimate| Signals::new(track, &estimate.nodes));
    let signals = by_sensors.as_ref().unwrap_or(&gps.signals);
    let wind_unknown = gps.wind_unknown();
    let basis =
        Basis { track, estimate, free: &gps.free, with_windows: signals, wind_unknown: wind_unknown.as_ref(), limits };
    let airspeed_open = estimate.is_some_and(|e| !e.rivals.is_empty());
    name_scenarios(gps.windows.clone(), track, signals, limits)
        .into_iter()
        .map(|mut window| {
            if airspeed_open && window.scenario_basis != ScenarioBasis::Marked && needs_airspeed(window.scenario) {
                window.scenario = Scenario::Unclassified;
            }
            window.id += numbered_after as u32;
            let second = second_opinion(track, &window, gps.circle.as_ref(), estimate);
            measure(window, second, &basis)
        })
        .collect()
}

/// Whether only the airspeed tells a scenario from another.
const fn needs_airspeed(scenario: Scenario) -> bool {
    matches!(scenario, Scenario::TrimLevel | Scenario::AcceleratedLevel)
}
