//! The flights of a log: each goes down the road by itself, and what came out is laid side by side.

use crate::gps::by_gps;
use crate::sensors::by_sensors;
use crate::windows::measured_windows;
use crate::{
    CompassAgreement, InertialAnalysis, InertialFile, InertialStatus, Stage, VelocityCircle, WindowMeasurement,
};
use driftless_segment::{HandsOffSpan, Limits, WindUnknown};
use driftless_track::{Airborne, InputLimits, Problem, Track};
use driftless_wind::flight::FlightEstimate;
use std::borrow::Cow;

/// One flight of a log.
#[derive(Debug, Clone, PartialEq)]
pub struct FlownFlight {
    /// When it left the ground and was on it again.
    pub airborne: Airborne,
    /// Numbers of its windows.
    pub windows: Vec<u32>,
    /// Why its wind is not known; `None` when it is.
    pub wind_unknown: Option<WindUnknown>,
    /// How far the inertial files came on this flight; `None` without any.
    pub inertial: Option<InertialStatus>,
}

/// What came of the flights of a log.
pub(crate) struct Flown {
    /// None when the log stays on the ground.
    pub flights: Vec<FlownFlight>,
    /// Of all flights, numbered on from one to the next.
    pub windows: Vec<WindowMeasurement>,
    /// Of all flights, one behind the other.
    pub estimate: Option<FlightEstimate>,
    /// Of the longest flight; what sensors saw in windows is of all.
    pub wind_unknown: Option<WindUnknown>,
    pub circle: Option<VelocityCircle>,
    pub compass: Option<CompassAgreement>,
    pub inertial: Option<InertialAnalysis>,
    pub problems: Vec<Problem>,
}

/// Takes every flight down the road. Inertial files are laid on each by itself: a clock that was set again between two flights, or
/// a sensor that was mounted anew, is another one.
pub(crate) fn fly_each(
    track: &Track,
    marked: &[HandsOffSpan],
    inertial: &[InertialFile],
    limits: (&Limits, &InputLimits),
    progress: &mut dyn FnMut(Stage),
) -> Flown {
    let on_the_ground = track.flights.is_empty();
    let parts = parts(track, marked);
    let main = longest(&parts);
    let mut flown = Flown {
        flights: Vec::new(),
        windows: Vec::new(),
        estimate: None,
        wind_unknown: None,
        circle: None,
        compass: None,
        inertial: None,
        problems: Vec::new(),
    };
    let (mut estimates, mut on_flights) = (Vec::new(), Vec::new());
    for (number, Part { track, marked, airborne }) in parts.into_iter().enumerate() {
        let track = track.as_ref();
        let gps = by_gps(track, &marked, limits.0, progress);
        let sensors = by_sensors(track, &gps, inertial, limits.1, progress);
        progress(Stage::Measure);
        let windows = measured_windows(track, &gps, &sensors, limits.0, flown.windows.len());
        if !on_the_ground {
            flown.flights.push(FlownFlight {
                airborne,
                windows: windows.iter().map(|w| w.window.id).collect(),
                wind_unknown: gps.wind_unknown(),
                inertial: sensors.inertial.as_ref().map(|sensor| sensor.status()),
            });
        }
        if number == main {
            flown.wind_unknown = gps.wind_unknown();
            flown.circle = gps.circle;
            flown.compass = sensors.compass;
        }
        let laid_on = sensors.inertial.map(|sensor| sensor.with_windows(&gps, &windows));
        on_flights.extend(laid_on.map(|of| (number == main, of)));
        estimates.extend(sensors.estimate.or(gps.estimate.ok()));
        // Files are read once for each flight, and what is wrong with them is told once.
        let new: Vec<Problem> = sensors.problems.into_iter().filter(|p| !flown.problems.contains(p)).collect();
        flown.problems.extend(new);
        flown.windows.extend(windows);
    }
    flown.inertial = of_the_log(on_flights);
    flown.estimate = FlightEstimate::one_behind_the_other(estimates);
    flown
}

/// What sensors add to a log: clock, mounting and health as the longest flight shows them, or where they had no part in that one,
/// the first in which they had; with what was seen in the windows of all flights.
fn of_the_log(on_flights: Vec<(bool, InertialAnalysis)>) -> Option<InertialAnalysis> {
    let used = |wanted: &dyn Fn(&(bool, InertialAnalysis)) -> bool| on_flights.iter().position(wanted);
    let place = used(&|(main, of)| *main && of.takes_part())
        .or_else(|| used(&|(_, of)| of.takes_part()))
        .or_else(|| used(&|(main, _)| *main))?;
    let windows = on_flights.iter().flat_map(|(_, of)| of.windows.iter().cloned()).collect();
    let (_, of) = on_flights.into_iter().nth(place)?;
    Some(InertialAnalysis { windows, ..of })
}

/// A flight and what was marked in it.
struct Part<'a> {
    track: Cow<'a, Track>,
    marked: Vec<HandsOffSpan>,
    airborne: Airborne,
}

/// The track of each flight with the marks nearest to it. A log that stays on the ground is one part, in which nothing is
/// measured and which is no flight.
fn parts<'a>(track: &'a Track, marked: &[HandsOffSpan]) -> Vec<Part<'a>> {
    let flights = if track.flights.is_empty() { vec![Airborne::default()] } else { track.flights.clone() };
    let off_s = |flight: &Airborne, t_s: f64| {
        let early_s = flight.takeoff_s.map_or(0.0, |takeoff_s| takeoff_s - t_s);
        let late_s = flight.landing_s.map_or(0.0, |landing_s| t_s - landing_s);
        early_s.max(late_s).max(0.0)
    };
    let nearest = |span: &HandsOffSpan| {
        let middle_s = 0.5 * (span.let_go_s + span.take_over_s);
        let by = |i: &usize| flights.get(*i).map_or(f64::INFINITY, |flight| off_s(flight, middle_s));
        (0..flights.len()).min_by(|a, b| by(a).total_cmp(&by(b)))
    };
    let of: Vec<Option<usize>> = marked.iter().map(nearest).collect();
    flights
        .iter()
        .enumerate()
        .map(|(number, airborne)| Part {
            track: track.of_flight(number),
            marked: marked
                .iter()
                .zip(&of)
                .filter(|(_, of)| **of == Some(number))
                .map(|(span, _)| span.clone())
                .collect(),
            airborne: *airborne,
        })
        .collect()
}

fn longest(parts: &[Part<'_>]) -> usize {
    let length_s = |part: &Part<'_>| {
        let to_s = part.airborne.landing_s.unwrap_or_else(|| part.track.duration_s());
        to_s - part.airborne.takeoff_s.unwrap_or(0.0)
    };
    // Of equal ones the first.
    (0..parts.len()).rev().max_by(|a, b| length_s(&parts[*a]).total_cmp(&length_s(&parts[*b]))).unwrap_or(0)
}
