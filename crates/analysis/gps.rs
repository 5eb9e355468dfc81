//! The first stage of the road: what the receiver alone says of a flight.

use crate::start::{Start, start};
use crate::{Stage, VelocityCircle};
use driftless_segment::{HandsOff, HandsOffSpan, Limits, Signals, WindUnknown, WindowSpan, looks_steady, window_spans};
use driftless_track::Track;
use driftless_units::GroundPath;
use driftless_wind::flight::{
    EstimateError, FlightEstimate, Observability, SteadySpan, UnclearWind, estimate, estimate_rivals,
    estimate_with_windows,
};

/// A flight by GPS alone.
pub(crate) struct ByGps {
    /// The circle fitted to the ground velocities, where one fits.
    pub circle: Option<VelocityCircle>,
    /// Signals of the estimate that knows of no windows.
    pub free: Signals,
    /// The spans of the windows, in time order.
    pub windows: Vec<WindowSpan>,
    /// The steady ones, which the estimate was told of.
    pub steady: Vec<SteadySpan>,
    /// The estimate made with them.
    pub estimate: Result<FlightEstimate, EstimateError>,
    /// Its signals.
    pub signals: Signals,
}

impl ByGps {
    /// Why the wind of the flight is not known; `None` when it is.
    pub(crate) fn wind_unknown(&self) -> Option<WindUnknown> {
        match &self.estimate {
            Err(error) => Some(WindUnknown::NoEstimate(error.clone())),
            Ok(FlightEstimate { observability: Observability::NotObservable(why), .. }) => {
                Some(WindUnknown::Unclear(*why))
            }
            Ok(_) => None,
        }
    }
}

/// Finds the first wind, the windows, and the estimate that knows them. `progress` is told of each step as it begins.
pub(crate) fn by_gps(
    track: &Track,
    marked: &[HandsOffSpan],
    limits: &Limits,
    progress: &mut dyn FnMut(Stage),
) -> ByGps {
    progress(Stage::FirstWind);
    let path = track.path();
    let Start { circle, guesses } = start(&path);

    progress(Stage::FreeEstimate);
    let without_windows =
        if track.flights.is_empty() { Err(EstimateError::OnTheGround) } else { estimate(&path, &guesses) };

    progress(Stage::Windows);
    let free = signals_of(track, &without_windows);
    let windows = window_spans(&free, marked, limits);
    let steady_by = |speeds_by: &Signals| -> Vec<SteadySpan> {
        let steady = windows.iter().filter(|w| looks_steady(w, track, &free, speeds_by, limits));
        steady
            .map(|w| SteadySpan { start_s: w.start_s, end_s: w.end_s, marked: w.hands_off() == HandsOff::Confirmed })
            .collect()
    };

    progress(Stage::Estimate);
    let first = steady_by(&free);
    let mut estimate = with_windows(&path, without_windows, &first);
    let mut signals = signals_of(track, &estimate);
    // With some windows known, speeds are known better, and a window may turn out to be steady that did not look it.
    let steady = union(&first, steady_by(&signals));
    if steady.len() > first.len() {
        estimate = with_windows(&path, estimate, &steady);
        signals = signals_of(track, &estimate);
    }
    if let Some(rivals) = by_rivals(&path, &estimate, &steady) {
        estimate = Ok(rivals);
        signals = signals_of(track, &estimate);
    }
    ByGps { circle, free, windows, steady, estimate, signals }
}

fn signals_of(track: &Track, estimate: &Result<FlightEstimate, EstimateError>) -> Signals {
    Signals::new(track, estimate.as_ref().map_or(&[], |e| &e.nodes))
}

/// Spans of either list, in time order.
fn union(first: &[SteadySpan], second: Vec<SteadySpan>) -> Vec<SteadySpan> {
    let mut all = first.to_vec();
    all.extend(second.into_iter().filter(|span| !first.contains(span)));
    all.sort_by(|a, b| a.start_s.total_cmp(&b.start_s));
    all
}

/// The flight by every solution that it leaves open, where it leaves its wind open and has windows to measure; `None` elsewhere,
/// and where none was found.
fn by_rivals(
    path: &GroundPath,
    estimate: &Result<FlightEstimate, EstimateError>,
    steady: &[SteadySpan],
) -> Option<FlightEstimate> {
    let unclear = estimate.as_ref().ok()?;
    let Observability::NotObservable(why) = unclear.observability else { return None };
    let open = match why {
        UnclearWind::HeadingsTooAlike { .. } | UnclearWind::AirspeedNotTold { .. } => true,
        // Told, but not one of those tried: legs of a fast aircraft would be given the rates of a slow one.
        UnclearWind::AirspeedNotBelieved { .. } | UnclearWind::NoFlight => false,
    };
    (open && !steady.is_empty()).then(|| estimate_rivals(path, unclear, steady).ok())?
}

/// The estimate that knows the windows, if there are any, and changes of the wind, from one that knows none or fewer. A flight
/// that could be estimated without windows is not given up because it cannot be with them.
fn with_windows(
    path: &GroundPath,
    earlier: Result<FlightEstimate, EstimateError>,
    spans: &[SteadySpan],
) -> Result<FlightEstimate, EstimateError> {
    let earlier = earlier?;
    estimate_with_windows(path, &earlier, spans).or(Ok(earlier))
}
