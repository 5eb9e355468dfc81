//! One flight: flown, written as a file, read, analysed as a user's log is, and held against its truth.

use crate::ValidateError;
use crate::bound::{Bound, Knowledge, bounds};
use crate::study::Variant;
use crate::unmarked::{self, Unmarked};
use driftless_analysis::{
    Asked, Favoured, Finding, FlightAnalysis, FlightConfig, FlightFiles, InertialFile, Node, Track, WindowMeasurement,
    analyse_files,
};
use driftless_sim::reference::{self, AirClass};
use driftless_sim::scenario::Format;
use driftless_sim::{SimulatedFlight, Truth, TruthWindow, simulate};
use driftless_units::{Estimate, Quantity};

/// Probabilities of the intervals that are held against the truth; the contract's 95 % and 68 % are among them.
pub(crate) const LEVELS: [f64; 9] = [0.2, 0.4, 0.5, 0.6, 0.68, 0.8, 0.9, 0.95, 0.99];

/// An estimate against its truth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Judged {
    /// Estimate minus truth.
    pub error: f64,
    /// Standard uncertainty as stated.
    pub std_u: f64,
    /// Whether the interval of each of `LEVELS` holds the truth.
    pub inside: [bool; LEVELS.len()],
}

impl Judged {
    /// Judges an estimate; `unit` makes the unit of the result out of SI.
    pub(crate) fn of<Q: Quantity>(estimate: &Estimate<Q>, truth: Q, unit: f64) -> Self {
        let inside = |p: f64| {
            let interval = estimate.interval(p);
            interval.low.si() <= truth.si() && truth.si() <= interval.high.si()
        };
        Self {
            error: unit * (estimate.value.si() - truth.si()),
            std_u: unit * estimate.std_u.si(),
            inside: LEVELS.map(inside),
        }
    }

    /// Whether the interval of a probability, which must be one of `LEVELS`, holds the truth.
    pub fn covered(&self, probability: f64) -> bool {
        LEVELS.iter().zip(self.inside).any(|(level, inside)| *level == probability && inside)
    }
}

/// A wind against its truth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WindJudged {
    /// Length of the error vector, m/s.
    pub error_mps: f64,
    /// Squared error over its stated covariance, per axis: 1 on average when that is honest.
    pub normalised_square: f64,
}

/// One window against its truth. Rates in °/s.
#[derive(Debug, Clone, PartialEq)]
pub struct WindowScore {
    /// Whether the program accepted it.
    pub accepted: bool,
    /// Why not (and cautions).
    pub findings: Vec<Finding>,
    /// Length of the steady span, s.
    pub length_s: f64,
    /// `turn_rate` against the realised rate between the window's own ends.
    pub turn: Option<Judged>,
    /// `steady_rate` against the turn rate of the set-up; `None` for a candidate that is no hands-off window.
    pub steady: Option<Judged>,
    /// The second opinion against the realised rate.
    pub second: Option<Judged>,
    /// Which of both figures the log speaks for, where the program tells of a difference.
    pub told_apart: Option<Favoured>,
    /// Error of the raw course rate.
    pub course_error: Option<f64>,
    /// Mean wind of the window.
    pub wind: Option<WindJudged>,
    /// Mean airspeed of the window, m/s.
    pub airspeed: Option<Judged>,
    /// What no estimate can beat that knows what a log tells; not for candidates.
    pub bound: Option<Bound>,
    /// The same for an estimate that knows the aircraft's lags too; for the reference flights.
    pub bound_with_lags: Option<Bound>,
    /// The same for a pilot who is freer between windows; for the reference flights.
    pub bound_with_freer_pilot: Option<Bound>,
}

/// One flight against its truth.
#[derive(Debug, Clone, PartialEq)]
pub struct FlightScore {
    /// Its seed.
    pub seed: u64,
    /// Windows flown.
    pub flown: usize,
    /// Windows of the program, in time order.
    pub windows: Vec<WindowScore>,
    /// The wind along the whole flight, node by node.
    pub profile: Vec<WindJudged>,
    /// What was found of the windows; for flights without marks.
    pub unmarked: Option<Unmarked>,
}

impl FlightScore {
    /// Accepted windows.
    pub fn accepted(&self) -> impl Iterator<Item = &WindowScore> {
        self.windows.iter().filter(|w| w.accepted)
    }
}

/// Flies and scores one flight.
///
/// # Errors
/// [`ValidateError`] when the flight does not come through at all; refused windows are part of the score.
pub fn score(class: AirClass, variant: Variant, seed: u64) -> Result<FlightScore, ValidateError> {
    let scenario = reference::flight(class, seed, &variant.options());
    let flight = simulate(&scenario, seed).map_err(|source| ValidateError::Simulate { seed, source })?;
    let analysis = analyse(&flight, variant.config(), Vec::new())?;
    Ok(compare(&flight, &analysis, variant))
}

/// The road of a user's log: a file, read, analysed, with inertial files beside it or without.
pub(crate) fn analyse(
    flight: &SimulatedFlight,
    config: FlightConfig,
    inertial: Vec<InertialFile>,
) -> Result<FlightAnalysis, ValidateError> {
    let seed = flight.seed;
    let format = flight.scenario.output.formats.first().copied().unwrap_or(Format::Gpx);
    let file = flight.to_format(format);
    let files = FlightFiles { log: file.as_bytes(), inertial, ..FlightFiles::default() };
    let asked = Asked { config, ..Asked::default() };
    analyse_files(files, &asked, &mut |_| {}).map_err(|source| ValidateError::Refused { seed, source })
}

fn compare(flight: &SimulatedFlight, analysis: &FlightAnalysis, variant: Variant) -> FlightScore {
    let truth = TruthOnTrack::new(&flight.truth, &analysis.track);
    let nodes = analysis.estimate.as_ref().map_or(&[][..], |e| &e.nodes);
    let mut windows: Vec<WindowScore> = analysis.windows.iter().map(|w| truth.window(analysis, w)).collect();
    if variant != Variant::Unmarked {
        let time_s = |track_s| truth.time_s(track_s);
        let spans: Vec<_> =
            analysis.windows.iter().map(|w| (time_s(w.window.start_s), time_s(w.window.end_s))).collect();
        let also = |knowledge| (variant == Variant::Reference).then(|| bounds(flight, &spans, knowledge));
        let (with_lags, freer_pilot) = (also(Knowledge::LagsToo), also(Knowledge::FreerPilot));
        for (i, (window, bound)) in windows.iter_mut().zip(bounds(flight, &spans, Knowledge::Log)).enumerate() {
            window.bound = Some(bound);
            window.bound_with_lags = with_lags.as_ref().and_then(|b| b.get(i)).copied();
            window.bound_with_freer_pilot = freer_pilot.as_ref().and_then(|b| b.get(i)).copied();
        }
    }
    FlightScore {
        seed: flight.seed,
        flown: flight.truth.windows.len(),
        windows,
        profile: nodes.iter().filter_map(|n| truth.node(n)).collect(),
        unmarked: (variant == Variant::Unmarked).then(|| unmarked::compare(&truth, analysis)),
    }
}

/// The truth in the times of the track.
pub(crate) struct TruthOnTrack<'a> {
    pub(crate) truth: &'a Truth,
    /// Time of the truth's epoch on the track's clock, seconds.
    shift_s: f64,
}

/// 180/π: the rates of a score are in °/s.
pub(crate) const DEGREES: f64 = 180.0 / std::f64::consts::PI;

impl<'a> TruthOnTrack<'a> {
    pub(crate) fn new(truth: &'a Truth, track: &Track) -> Self {
        Self { truth, shift_s: track.seconds_of(truth.epoch) }
    }

    /// From the track's clock to the truth's.
    pub(crate) fn time_s(&self, track_s: f64) -> f64 {
        track_s - self.shift_s
    }

    /// The hands-off window that lies under most of a span, if one does under half of it.
    pub(crate) fn under(&self, start_s: f64, end_s: f64) -> Option<&TruthWindow> {
        let (start_s, end_s) = (self.time_s(start_s), self.time_s(end_s));
        self.truth.windows.iter().find(|w| {
            let overlap_s = end_s.min(w.take_over_s) - start_s.max(w.let_go_s);
            overlap_s > 0.5 * (end_s - start_s)
        })
    }

    pub(crate) fn window(&self, analysis: &FlightAnalysis, measured: &WindowMeasurement) -> WindowScore {
        let window = &measured.window;
        let (start_s, end_s) = (self.time_s(window.start_s), self.time_s(window.end_s));
        let realised = self.truth.realised_rate(start_s, end_s);
        let flown = self.under(window.start_s, window.end_s);
        let mean = |value: fn(&driftless_sim::TruthStep) -> f64| self.truth.mean_over(start_s, end_s, value);
        WindowScore {
            accepted: measured.accepted(),
            findings: measured.verdict.findings.clone(),
            length_s: window.end_s - window.start_s,
            turn: measured.turn_rate.map(|e| Judged::of(&e, realised, DEGREES)),
            steady: measured.steady_rate.zip(flown).map(|(e, w)| Judged::of(&e, w.steady_rate, DEGREES)),
            second: measured.second_opinion.map(|s| Judged::of(&s.turn_rate, realised, DEGREES)),
            told_apart: analysis.disagreement(measured),
            course_error: measured.course_rate.map(|rate| rate.deg_s() - realised.deg_s()),
            wind: measured.wind.zip(measured.wind_std_u_mps).map(|(wind, std_u)| {
                let (east, north) = (mean(|s| s.wind.east_mps), mean(|s| s.wind.north_mps));
                wind_judged([wind.east_mps - east, wind.north_mps - north], [std_u * std_u, 0.0, std_u * std_u])
            }),
            airspeed: measured.airspeed_mps.map(|e| Judged::of(&e, mean(|s| s.airspeed_mps), 1.0)),
            bound: None,
            bound_with_lags: None,
            bound_with_freer_pilot: None,
        }
    }

    fn node(&self, node: &Node) -> Option<WindJudged> {
        let step = (self.time_s(node.t_s) / driftless_sim::STEP_S).round();
        let wind = self.truth.steps.get(step.max(0.0) as usize)?.wind;
        let error = [node.wind.east_mps - wind.east_mps, node.wind.north_mps - wind.north_mps];
        Some(wind_judged(error, node.wind_cov))
    }
}

fn wind_judged([east, north]: [f64; 2], [ee, en, nn]: [f64; 3]) -> WindJudged {
    let determinant = ee * nn - en * en;
    let square = (nn * east * east - 2.0 * en * east * north + ee * north * north) / determinant;
    WindJudged { error_mps: east.hypot(north), normalised_square: 0.5 * square }
}
