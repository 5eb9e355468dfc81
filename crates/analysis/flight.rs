//! One flight, from log to analysis: the road of the data in one function.

use crate::alert::alerts;
use crate::compass::with_log_compass;
use crate::second_opinion::second_opinion;
use crate::start::{Start, start};
use crate::{FlightAnalysis, FlightConfig, InertialFile, MadeBy, WindowMeasurement, analyse_inertial};
use chrono::{DateTime, Utc};
use driftless_segment::marks_file::{self, MarksError};
use driftless_segment::measure;
use driftless_segment::{
    Evidence, MarkedSpan, Signals, WindUnknown, judge, looks_steady, name_scenarios, pair_marks, windows,
};
use driftless_track::{FlightLog, InputLimits, Problem, Problems, Severity, Track, TrackError, prepare};
use driftless_wind::flight::{
    EstimateError, FlightEstimate, Observability, SteadySpan, estimate, estimate_with_windows,
};

/// What an analysis needs besides the log.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FlightInput {
    /// Name of the log file as given.
    pub file: String,
    /// Text of the marks file, if one was given.
    pub marks_text: Option<String>,
    /// Inertial files recorded beside it; faults in them are problems, never errors.
    pub inertial: Vec<InertialFile>,
    /// Version of the program.
    pub version: String,
    /// Command line as typed.
    pub command: String,
    /// SHA-256 of the log as given, lower-case hex.
    pub input_sha256: String,
    /// Limits.
    pub config: FlightConfig,
}

/// Why a log gives no analysis at all.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum AnalysisError {
    /// The log holds no track.
    #[error(transparent)]
    Track(#[from] TrackError),
    /// The marks file cannot be used.
    #[error(transparent)]
    Marks(#[from] MarksError),
}

/// Where an analysis stands, for a progress display.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    /// Cleaning the track.
    Track,
    /// Looking for a first wind.
    FirstWind,
    /// Estimating the flight without windows.
    FreeEstimate,
    /// Finding windows.
    Windows,
    /// Estimating the flight with its windows.
    Estimate,
    /// Aligning inertial files, if there are any.
    Inertial,
    /// Measuring and judging.
    Measure,
}

impl Stage {
    /// All of them in order.
    pub const ALL: [Self; 7] = [
        Self::Track,
        Self::FirstWind,
        Self::FreeEstimate,
        Self::Windows,
        Self::Estimate,
        Self::Inertial,
        Self::Measure,
    ];

    /// What is being done, in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Track => "cleaning the track",
            Self::FirstWind => "looking for a first wind",
            Self::FreeEstimate => "estimating the flight",
            Self::Windows => "finding windows",
            Self::Estimate => "estimating the flight with its windows",
            Self::Inertial => "aligning inertial data",
            Self::Measure => "measuring windows",
        }
    }
}

/// Analyses one flight. `progress` is told of each stage as it begins.
///
/// A flight whose wind cannot be told still gives an analysis: track, problems and refused windows.
///
/// # Errors
/// [`AnalysisError`] when the log holds no track or the marks file cannot be used.
pub fn analyse_flight(
    log: FlightLog,
    input: FlightInput,
    progress: &mut dyn FnMut(Stage),
) -> Result<FlightAnalysis, AnalysisError> {
    let mut problems = Problems::default();
    let limits = &input.config.limits;

    progress(Stage::Track);
    let track = prepare(&log, &input.config.track)?;
    let marked = marked_spans(&log, &track, input.marks_text.as_deref(), &input.config.input, &mut problems)?;

    progress(Stage::FirstWind);
    let Start { circle, guesses } = start(&track);

    progress(Stage::FreeEstimate);
    let free = estimate(&track, &guesses);

    progress(Stage::Windows);
    let free_signals = Signals::new(&track, free.as_ref().map_or(&[], |f| &f.nodes));
    let mut windows = windows(&free_signals, &marked, limits);
    let spans = |speeds_by: &Signals| -> Vec<SteadySpan> {
        let steady = windows.iter().filter(|w| looks_steady(w, &track, &free_signals, speeds_by, limits));
        steady.map(|w| SteadySpan { start_s: w.start_s, end_s: w.end_s }).collect()
    };

    progress(Stage::Estimate);
    let first = spans(&free_signals);
    let mut estimate = with_windows(&track, free, &first);
    let mut signals = Signals::new(&track, estimate.as_ref().map_or(&[], |e| &e.nodes));
    // With some windows known, speeds are known better, and a window may turn out to be steady that did not look it.
    let all = union(&first, spans(&signals));
    if all.len() > first.len() {
        estimate = with_windows(&track, estimate, &all);
        signals = Signals::new(&track, estimate.as_ref().map_or(&[], |e| &e.nodes));
    }
    let wind_unknown = why_wind_unknown(&estimate);
    let mut estimate = estimate.ok();

    let mut inertial = (!input.inertial.is_empty()).then(|| {
        progress(Stage::Inertial);
        analyse_inertial(&input.inertial, &track, estimate.as_ref(), circle.as_ref(), &input.config.input)
    });
    let mut before_gyro = None;
    if let Some(fused) = inertial.as_mut().zip(estimate.as_ref()).and_then(|(i, e)| i.fuse(&track, e, &all)) {
        signals = Signals::new(&track, &fused.nodes);
        before_gyro = estimate.replace(fused);
    }
    let sensors = inertial.as_ref().is_some_and(|i| i.in_estimate || i.compass_in_estimate);
    let (compass, fused) = estimate.as_ref().map(|e| with_log_compass(&track, e, &all, sensors)).unwrap_or_default();
    if let Some(fused) = fused {
        signals = Signals::new(&track, &fused.nodes);
        estimate = Some(fused);
    }
    let yaw_wander_deg_s = estimate.as_ref().map_or(0.0, |e| e.noise.yaw_wander_deg_s);

    progress(Stage::Measure);
    name_scenarios(&mut windows, &track, &signals, limits);
    let windows: Vec<WindowMeasurement> = windows
        .into_iter()
        .map(|window| {
            let second = second_opinion(&track, &window, circle.as_ref(), yaw_wander_deg_s);
            let mut measured = measure(&track, estimate.as_ref(), window, second);
            let evidence = Evidence {
                track: &track,
                free: &free_signals,
                with_windows: &signals,
                turn_rate: measured.turn_rate,
                wind_std_u_mps: measured.wind_std_u_mps,
                wind_unknown: wind_unknown.as_ref(),
                height_above_takeoff_m: measured.height_above_takeoff_m,
            };
            judge(&mut measured.window, &evidence, limits);
            measured
        })
        .collect();

    let settling = estimate.as_ref().map(|e| e.settling);
    let alerts = alerts(&windows, wind_unknown.as_ref(), settling, compass.as_ref(), inertial.as_ref());
    let of_inertial = inertial.as_mut().map_or_else(Vec::new, |inertial| {
        let gps_alone = |w: &WindowMeasurement| match &before_gyro {
            Some(before) => measure(&track, Some(before), w.window.clone(), None).turn_rate,
            None => w.turn_rate,
        };
        inertial.summarise_windows(&windows, &windows.iter().map(gps_alone).collect::<Vec<_>>());
        std::mem::take(&mut inertial.problems)
    });
    Ok(FlightAnalysis {
        made_by: MadeBy {
            version: input.version,
            command: input.command,
            input_sha256: input.input_sha256,
            config: input.config.entries(),
        },
        file: input.file,
        format: log.format,
        fixes_read: log.fixes.len(),
        problems: all_problems(log.problems, &track, problems).into_iter().chain(of_inertial).collect(),
        alerts,
        track,
        estimate,
        circle,
        windows,
        compass,
        inertial,
    })
}

/// What somebody marked: a marks file stands in for the marks of the log.
fn marked_spans(
    log: &FlightLog,
    track: &Track,
    marks_text: Option<&str>,
    limits: &InputLimits,
    problems: &mut Problems,
) -> Result<Vec<MarkedSpan>, MarksError> {
    let Some(text) = marks_text else {
        return Ok(pair_marks(track, problems));
    };
    let rows = marks_file::parse(text, limits)?;
    let placed = marks_file::place(&rows, first_fix(log, track), track, problems);
    if placed.is_empty() {
        problems.add(
            "marks-file-unused",
            Severity::Warning,
            None,
            || "the marks file names no window inside this log".to_owned(),
            "check the date and the time zone of the marks",
        );
    }
    Ok(placed)
}

/// The moment from which a marks file counts seconds: the first fix of the log, unless its time is off by more than
/// an hour from the first fix that could be used.
fn first_fix(log: &FlightLog, track: &Track) -> DateTime<Utc> {
    let near = |time: &DateTime<Utc>| (track.epoch - *time).num_minutes().abs() <= 60;
    log.fixes.first().map(|f| f.time).filter(near).unwrap_or(track.epoch)
}

/// Spans of either list, in time order.
fn union(first: &[SteadySpan], second: Vec<SteadySpan>) -> Vec<SteadySpan> {
    let mut all = first.to_vec();
    all.extend(second.into_iter().filter(|span| !first.contains(span)));
    all.sort_by(|a, b| a.start_s.total_cmp(&b.start_s));
    all
}

/// The estimate that knows the windows, from one that knows none or fewer. A flight that could be estimated without
/// windows is not given up because it cannot be with them.
fn with_windows(
    track: &Track,
    earlier: Result<FlightEstimate, EstimateError>,
    spans: &[SteadySpan],
) -> Result<FlightEstimate, EstimateError> {
    let earlier = earlier?;
    if spans.is_empty() {
        return Ok(earlier);
    }
    estimate_with_windows(track, &earlier, spans).or(Ok(earlier))
}

fn why_wind_unknown(estimate: &Result<FlightEstimate, EstimateError>) -> Option<WindUnknown> {
    match estimate {
        Err(error) => Some(WindUnknown::NoEstimate(error.clone())),
        Ok(FlightEstimate { observability: Observability::NotObservable(why), .. }) => Some(WindUnknown::Unclear(*why)),
        Ok(_) => None,
    }
}

fn all_problems(reading: Vec<Problem>, track: &Track, analysis: Problems) -> Vec<Problem> {
    reading.into_iter().chain(track.problems.iter().cloned()).chain(analysis.into_vec()).collect()
}
