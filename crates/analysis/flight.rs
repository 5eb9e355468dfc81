//! One flight, from log to analysis: the road of the data in one function.

use crate::alert::alerts;
use crate::flights::fly_each;
use crate::marks::marked_spans;
use crate::{FlightAnalysis, FlightConfig, InertialFile, MadeBy, Stage};
use driftless_segment::marks_file::MarksError;
use driftless_track::{FlightLog, Problems, TrackError, prepare};

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

/// Analyses one flight: what GPS says, what sensors add, what was measured. `progress` is told of each step as it begins.
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
    // The fixes have done their work, and take more than all that is made from here on.
    let FlightLog { format, fixes, problems: while_reading, .. } = log;
    let fixes_read = fixes.len();
    drop(fixes);

    let flown = fly_each(&track, &marked, &input.inertial, (limits, &input.config.input), progress);
    let (compass, inertial) = (flown.compass.as_ref(), flown.inertial.as_ref());
    let alerts = alerts(&flown.windows, flown.wind_unknown, flown.estimate.as_ref(), compass, inertial);
    Ok(FlightAnalysis {
        made_by: MadeBy {
            version: input.version,
            command: input.command,
            input_sha256: input.input_sha256,
            config: input.config.entries(),
        },
        file: input.file,
        format,
        fixes_read,
        alerts,
        problems: [while_reading, track.problems.clone(), problems.into_vec(), flown.problems].concat(),
        track,
        flights: flown.flights,
        estimate: flown.estimate,
        circle: flown.circle,
        windows: flown.windows,
        compass: flown.compass,
        inertial: flown.inertial,
    })
}
