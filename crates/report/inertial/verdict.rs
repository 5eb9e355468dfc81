//! Whether the sensor helps, in words: first what part it has in this report, then how quiet it is.

use crate::html::parts::{sentence, stopped};
use driftless_analysis::{FlightAnalysis, InertialAnalysis};
use driftless_display::inertial::{gain, gain_words, sources};

/// How far an inertial sensor came on its way into a report.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Status {
    /// Its gyro or its compass took part in the estimate.
    Used,
    /// It lies on the flight, and the estimate goes without it.
    NotUsed,
    /// It was read and cannot be laid on the flight.
    NotAligned,
    /// No file of it could be read.
    NotRead,
}

impl Status {
    pub(super) fn of(inertial: &InertialAnalysis) -> Self {
        match (&inertial.not_aligned, &inertial.health) {
            _ if inertial.takes_part() => Self::Used,
            (None, _) => Self::NotUsed,
            (Some(_), Some(_)) => Self::NotAligned,
            (Some(_), None) => Self::NotRead,
        }
    }

    /// The word for programs.
    pub(super) const fn code(self) -> &'static str {
        match self {
            Self::Used => "used",
            Self::NotUsed => "not-used",
            Self::NotAligned => "not-aligned",
            Self::NotRead => "not-read",
        }
    }
}

/// Why a sensor did not get further; `None` for one that is used.
pub(super) fn reason(inertial: &InertialAnalysis) -> Option<&str> {
    match Status::of(inertial) {
        Status::Used => None,
        Status::NotUsed => {
            Some(inertial.not_used.as_deref().unwrap_or("there is no estimate of the flight to take it into"))
        }
        Status::NotAligned | Status::NotRead => inertial.not_aligned.as_deref(),
    }
}

/// What part the inertial data has in the turn rates, and why no more.
pub(super) fn part(analysis: &FlightAnalysis, inertial: &InertialAnalysis) -> String {
    let why = reason(inertial).map(|why| match Status::of(inertial) {
        // It begins with the name of the file, which keeps its letters.
        Status::NotRead => stopped(why),
        _ => sentence(why),
    });
    let why = why.unwrap_or_default();
    match Status::of(inertial) {
        Status::Used => {
            let gained = match gain_words(analysis) {
                Some(words) => format!("their intervals are {words}"),
                None => "there is no window to show what that gains".to_owned(),
            };
            let helps = match gain(analysis) {
                Some((ratio, _)) if ratio < 1.1 => "The sensor helps little here",
                Some(_) => "The sensor helps",
                None => "The sensor was taken in",
            };
            let together = sources(inertial);
            let parts = match (inertial.in_estimate, inertial.compass_in_estimate) {
                (true, true) => "gyro and compass",
                (false, true) => "compass",
                _ => "gyro",
            };
            let gyro = inertial.not_used.as_deref().map(|why| format!(" The gyro has no part: {}", stopped(why)));
            format!(
                "{helps}: its {parts} took part in the estimate, the turn rates of this report rest on {together} together, \
                 and {gained}.{}",
                gyro.unwrap_or_default()
            )
        }
        Status::NotUsed => format!(
            "The sensor does not help: it is aligned with the flight, but has no part in the turn rates of this report, \
             which rest on GPS alone. {why} What the sensor says stands beside them."
        ),
        Status::NotAligned => format!(
            "The sensor does not help: it cannot be aligned with the flight, and the turn rates of this report rest on GPS \
             alone. {why}"
        ),
        Status::NotRead => format!(
            "The sensor does not help: no inertial file could be read, and the turn rates of this report rest on GPS alone. \
             {why}"
        ),
    }
    .trim_end()
    .to_owned()
}

/// How quiet the sensor is; nothing for one whose gyro is dead, for what is left of it says nothing.
pub(super) fn noise(analysis: &FlightAnalysis, inertial: &InertialAnalysis) -> Option<String> {
    let dead = analysis.problems.iter().any(|p| p.code == "imu-gyro-axis-dead");
    inertial.verdict.as_deref().filter(|_| !dead).map(sentence)
}

/// All of it.
pub(super) fn verdict(analysis: &FlightAnalysis, inertial: &InertialAnalysis) -> String {
    let words = [Some(part(analysis, inertial)), noise(analysis, inertial)];
    words.into_iter().flatten().collect::<Vec<_>>().join(" ").replace('\u{a0}', " ")
}
