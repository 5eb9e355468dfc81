//! The marks of a flight: those of the log, or of the marks file given beside it.

use chrono::{DateTime, Utc};
use driftless_segment::marks_file::{self, MarksError};
use driftless_segment::{HandsOffSpan, pair_marks};
use driftless_track::{FlightLog, InputLimits, Problems, Severity, Track};

/// What somebody marked: a marks file stands in for the marks of the log.
///
/// # Errors
/// [`MarksError`] when the marks file cannot be used.
pub(crate) fn marked_spans(
    log: &FlightLog,
    track: &Track,
    marks_text: Option<&str>,
    limits: &InputLimits,
    problems: &mut Problems,
) -> Result<Vec<HandsOffSpan>, MarksError> {
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
