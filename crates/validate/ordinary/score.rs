//! One flight under an ordinary condition, against its truth.

use crate::ValidateError;
use crate::score::{TruthOnTrack, WindowScore, analyse};
use driftless_analysis::{FlightConfig, Observability, Smoothing};
use driftless_sim::reference::{Condition, ordinary};
use driftless_sim::simulate;
use driftless_units::Scenario;

/// One window against its truth.
#[derive(Debug, Clone, PartialEq)]
pub struct OrdinaryWindow {
    /// Rates, wind and airspeed.
    pub score: WindowScore,
    /// Whether any of it was flown on the ground.
    pub on_ground: bool,
    /// The scenario that the program names.
    pub named: Scenario,
    /// The scenario flown, where most of the window lies in a hands-off window of the truth.
    pub flown: Option<Scenario>,
}

/// One flight against its truth.
#[derive(Debug, Clone, PartialEq)]
pub struct OrdinaryScore {
    /// Its seed.
    pub seed: u64,
    /// Why the log gave no analysis at all, in words.
    pub refused: Option<String>,
    /// Whether the program says that it knows the wind.
    pub wind_stated: bool,
    /// Over how long the program takes the receiver to smooth, s.
    pub smoothing_s: Option<f64>,
    /// Windows of the program, in time order.
    pub windows: Vec<OrdinaryWindow>,
}

impl OrdinaryScore {
    /// Accepted windows.
    pub fn accepted(&self) -> impl Iterator<Item = &OrdinaryWindow> {
        self.windows.iter().filter(|w| w.score.accepted)
    }
}

/// Flies and scores one flight. A log that is refused is part of the score.
///
/// # Errors
/// [`ValidateError::Simulate`] when the flight cannot be flown.
pub fn fly(condition: Condition, seed: u64) -> Result<OrdinaryScore, ValidateError> {
    let simulated = |source| ValidateError::Simulate { seed, source };
    let scenario = ordinary(condition, seed).map_err(simulated)?;
    let flight = simulate(&scenario, seed).map_err(simulated)?;
    let analysis = match analyse(&flight, FlightConfig::default(), Vec::new()) {
        Ok(analysis) => analysis,
        Err(ValidateError::Refused { source, .. }) => {
            return Ok(OrdinaryScore {
                seed,
                refused: Some(source.to_string()),
                wind_stated: false,
                smoothing_s: None,
                windows: Vec::new(),
            });
        }
        Err(error) => return Err(error),
    };
    let truth = TruthOnTrack::new(&flight.truth, &analysis.track);
    let windows = analysis.windows.iter().map(|measured| {
        let window = &measured.window;
        let (start_s, end_s) = (truth.time_s(window.start_s), truth.time_s(window.end_s));
        let on_ground = |t_s: f64| {
            let step = (t_s / driftless_sim::STEP_S).round().max(0.0) as usize;
            flight.truth.steps.get(step).is_none_or(|s| s.on_ground)
        };
        OrdinaryWindow {
            score: truth.window(&analysis, measured),
            on_ground: [start_s, 0.5 * (start_s + end_s), end_s].into_iter().any(on_ground),
            named: window.scenario,
            flown: truth.under(window.start_s, window.end_s).map(|flown| flown.setting),
        }
    });
    Ok(OrdinaryScore {
        seed,
        refused: None,
        wind_stated: analysis.estimate.as_ref().is_some_and(|e| matches!(e.observability, Observability::Observable)),
        smoothing_s: analysis.estimate.as_ref().and_then(|e| e.smoothing).map(Smoothing::over_s),
        windows: windows.collect(),
    })
}
