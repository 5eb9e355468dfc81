//! Collects fixes, marks and problems while a reader runs, and judges at the end what came out.

use crate::ReadError;
use driftless_track::{
    Fix, FixQuality, FlightLog, InputLimit, InputLimits, LogFormat, Mark, OverLimit, Problem, Problems, Severity,
    SourceRef,
};

/// Memory for so many is taken at first, and always: from fewer nobody can tell how many there will be.
const FEWEST_FIXES: usize = 64;

/// What a reader has so far.
#[derive(Debug, Default)]
pub(crate) struct LogBuilder {
    pub(crate) fixes: Vec<Fix>,
    pub(crate) marks: Vec<Mark>,
    /// How much is read.
    pub(crate) limits: InputLimits,
    /// The first limit that was passed; then there is no log.
    over: Option<OverLimit>,
    segment_starts: Vec<usize>,
    problems: Problems,
    points_without_time: u32,
    first_without_time: u32,
    /// Length of the text.
    bytes: u64,
    /// Fixes without a third dimension.
    flat: u32,
    first_flat: Option<SourceRef>,
}

impl LogBuilder {
    /// One that takes no more than these limits allow.
    pub(crate) fn within(limits: InputLimits) -> Self {
        Self { limits, problems: Problems::within(&limits), ..Self::default() }
    }

    /// How long the text is that places count in: memory for fixes is taken by it.
    pub(crate) fn expect_bytes(&mut self, bytes: usize) {
        self.bytes = bytes as u64;
    }

    /// Memory for as many fixes as the rest of the file should hold, by what its beginning, up to `byte`, held. Doubling
    /// would take, and clear, up to twice of what is needed.
    fn grow(&mut self, byte: u64) {
        let known = self.fixes.len();
        let all = (known as u64).saturating_mul(self.bytes) / byte.max(1);
        let all = usize::try_from(all).unwrap_or(usize::MAX).min(self.limits.of(InputLimit::Fixes));
        let more = all.saturating_sub(known);
        // A guess that was too low is mended by a quarter.
        self.fixes.reserve_exact((more + more / 64).max(known / 4).max(FEWEST_FIXES));
    }

    /// A fix. Behind the limit none is kept, and the log ends in its error.
    pub(crate) fn fix(&mut self, fix: Fix) {
        match self.limits.hold(InputLimit::Fixes, self.fixes.len() + 1, fix.source.line_number()) {
            Ok(()) => {
                if fix.quality == FixQuality::TwoD {
                    self.flat = self.flat.saturating_add(1);
                    self.first_flat.get_or_insert(fix.source);
                }
                if self.fixes.len() == self.fixes.capacity() {
                    self.grow(fix.source.byte);
                }
                self.fixes.push(fix);
            }
            Err(over) => self.refuse(over),
        }
    }

    /// A limit was passed.
    pub(crate) fn refuse(&mut self, over: OverLimit) {
        self.over.get_or_insert(over);
    }

    /// A record or value was left out.
    pub(crate) fn warn(&mut self, code: &'static str, place: SourceRef, message: impl FnOnce() -> String, help: &str) {
        self.problems.add(code, Severity::Warning, Some(place), message, help);
    }

    /// Something found, with all its parts.
    pub(crate) fn add(
        &mut self,
        code: &'static str,
        severity: Severity,
        place: Option<SourceRef>,
        message: impl FnOnce() -> String,
        help: &str,
    ) {
        self.problems.add(code, severity, place, message, help);
    }

    /// Worth knowing; nothing was lost.
    pub(crate) fn note(&mut self, code: &'static str, place: SourceRef, message: impl FnOnce() -> String, help: &str) {
        self.problems.add(code, Severity::Note, Some(place), message, help);
    }

    /// A warning about the file as a whole.
    pub(crate) fn warn_all(&mut self, code: &'static str, message: impl FnOnce() -> String, help: &str) {
        self.problems.add(code, Severity::Warning, None, message, help);
    }

    /// A note about the file as a whole.
    pub(crate) fn note_all(&mut self, code: &'static str, message: impl FnOnce() -> String, help: &str) {
        self.problems.add(code, Severity::Note, None, message, help);
    }

    /// A position that does not say when.
    pub(crate) fn drop_without_time(&mut self, place: SourceRef) {
        if self.points_without_time == 0 {
            self.first_without_time = place.line;
        }
        self.points_without_time = self.points_without_time.saturating_add(1);
        self.warn("point-without-time", place, || "a point without a time was left out".to_owned(), "");
    }

    /// None of the fixes counts.
    pub(crate) fn drop_fixes(&mut self) {
        self.fixes.clear();
    }

    /// Whether positions without a time were met.
    pub(crate) fn has_points_without_time(&self) -> bool {
        self.points_without_time > 0
    }

    /// The next fix begins a new segment of the recorder.
    pub(crate) fn start_segment(&mut self) {
        if self.segment_starts.last() != Some(&self.fixes.len()) {
            self.segment_starts.push(self.fixes.len());
        }
    }

    /// The log, if it holds a fix.
    pub(crate) fn finish(mut self, format: LogFormat, help: &'static str) -> Result<FlightLog, ReadError> {
        if let Some(over) = self.over {
            return Err(over.into());
        }
        if self.fixes.is_empty() {
            if self.points_without_time > 0 {
                return Err(ReadError::NoTimes {
                    format,
                    points: self.points_without_time,
                    line: self.first_without_time,
                });
            }
            return Err(ReadError::NoFixes { format, problems: self.problems.into_vec(), help });
        }
        self.segment_starts.retain(|&start| start < self.fixes.len());
        if self.segment_starts.first() != Some(&0) {
            self.segment_starts.insert(0, 0);
        }
        if let Some(first) = self.first_flat {
            let flat = self.flat;
            let total = self.fixes.len();
            self.problems.add(
                "fix-without-3d",
                Severity::Note,
                Some(first),
                || {
                    format!(
                        "{flat} of {total} fixes were marked by the receiver as two-dimensional or without satellites"
                    )
                },
                "they are kept out of the wind and turn estimates",
            );
        }
        let Self { fixes, marks, segment_starts, problems, .. } = self;
        Ok(FlightLog { format, fixes, marks, segment_starts, problems: problems.into_vec() })
    }

    /// The problems alone, for a reader that makes no flight log.
    pub(crate) fn into_problems(self) -> Vec<Problem> {
        self.problems.into_vec()
    }

    /// The error for a file that stopped before its first fix.
    pub(crate) fn cut_off(self, format: LogFormat, place: SourceRef) -> ReadError {
        ReadError::CutOff { format, line: place.line, byte: place.byte, problems: self.problems.into_vec() }
    }
}
