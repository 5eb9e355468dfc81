//! Marks in a log, paired into spans somebody vouched for.

use crate::Origin;
use crate::constants::SAME_PRESS_S;
use driftless_track::{Mark, MarkKind, Problems, Scenario, Severity, Track};

/// The time between let-go and take-over, marked by somebody or found, before anything is trimmed. Seconds from the track's
/// epoch.
#[derive(Debug, Clone, PartialEq)]
pub struct HandsOffSpan {
    /// Brakes released; of a candidate about where they may have been.
    pub let_go_s: f64,
    /// Brakes taken again.
    pub take_over_s: f64,
    /// Marks of the log, a marks file, or the program.
    pub origin: Origin,
    /// Scenario named with it.
    pub scenario: Option<Scenario>,
    /// Set-up named with it.
    pub setup: Option<String>,
    /// Note written with it.
    pub note: Option<String>,
}

/// Pairs the let-go and take-over marks of a track. Whatever does not pair is reported, never guessed at.
pub fn pair_marks(track: &Track, problems: &mut Problems) -> Vec<HandsOffSpan> {
    let mut spans = Vec::new();
    let mut open: Option<&Mark> = None;
    let mut lone_take_over: Option<&Mark> = None;
    for mark in track.marks.iter().filter(|m| m.kind != MarkKind::Other) {
        note_unknown_scenario(mark, problems);
        match (mark.kind, open) {
            (MarkKind::LetGo, None) => open = Some(mark),
            (MarkKind::LetGo, Some(earlier)) => {
                if seconds_between(earlier, mark) > SAME_PRESS_S.value {
                    report_doubled(earlier, mark, problems);
                    // A take-over was probably not marked: only what follows the later let-go is vouched for.
                    open = Some(mark);
                }
            }
            (MarkKind::TakeOver, Some(let_go)) => {
                spans.push(HandsOffSpan {
                    let_go_s: track.seconds_of(let_go.time),
                    take_over_s: track.seconds_of(mark.time),
                    origin: Origin::Marked,
                    scenario: let_go.scenario.or(mark.scenario),
                    setup: None,
                    note: None,
                });
                open = None;
                lone_take_over = None;
            }
            _ => {
                let repeated = lone_take_over.is_some_and(|m| seconds_between(m, mark) <= SAME_PRESS_S.value)
                    || spans.last().is_some_and(|s| track.seconds_of(mark.time) - s.take_over_s <= SAME_PRESS_S.value);
                if !repeated {
                    report_lone_take_over(mark, problems);
                }
                lone_take_over = Some(mark);
            }
        }
    }
    if let Some(let_go) = open {
        match lone_take_over {
            Some(take_over) => report_reversed(take_over, let_go, problems),
            None => report_lone_let_go(let_go, problems),
        }
    }
    keep_usable(spans, track, problems)
}

/// Puts spans in time order and drops, with a word, those outside the log and those that overlap an earlier one.
pub(crate) fn keep_usable(mut spans: Vec<HandsOffSpan>, track: &Track, problems: &mut Problems) -> Vec<HandsOffSpan> {
    spans.sort_by(|a, b| a.let_go_s.total_cmp(&b.let_go_s));
    let last_s = track.duration_s();
    let mut kept: Vec<HandsOffSpan> = Vec::with_capacity(spans.len());
    for span in spans {
        if span.take_over_s <= 0.0 || span.let_go_s >= last_s {
            problems.add(
                "mark-outside-log",
                Severity::Warning,
                None,
                || {
                    format!(
                        "the marked window from {} lies outside the log, which runs from {} to {}",
                        date_and_clock(track, span.let_go_s),
                        date_and_clock(track, 0.0),
                        date_and_clock(track, last_s)
                    )
                },
                "check the time zone and the date of the marks; times are UTC unless they say otherwise",
            );
        } else if kept.last().is_some_and(|k| span.let_go_s < k.take_over_s) {
            problems.add(
                "mark-overlap",
                Severity::Warning,
                None,
                || {
                    format!(
                        "the marked window from {} begins before the one before it ends; left out",
                        clock(track, span.let_go_s)
                    )
                },
                "give each window its own let-go and take-over",
            );
        } else {
            kept.push(HandsOffSpan {
                let_go_s: span.let_go_s.max(0.0),
                take_over_s: span.take_over_s.min(last_s),
                ..span
            });
        }
    }
    kept
}

fn clock(track: &Track, t_s: f64) -> String {
    track.time_at(t_s).format("%H:%M:%S UTC").to_string()
}

/// With the date: a mark outside the log often has the right time of the wrong day.
fn date_and_clock(track: &Track, t_s: f64) -> String {
    track.time_at(t_s).format("%Y-%m-%d %H:%M:%S UTC").to_string()
}

fn seconds_between(earlier: &Mark, later: &Mark) -> f64 {
    (later.time - earlier.time).as_seconds_f64()
}

fn report_doubled(earlier: &Mark, later: &Mark, problems: &mut Problems) {
    problems.add(
        "mark-doubled-let-go",
        Severity::Warning,
        Some(earlier.source),
        || {
            format!(
                "two let-go marks in a row, at {} and {}; the later one counts",
                earlier.time.format("%H:%M:%S"),
                later.time.format("%H:%M:%S UTC")
            )
        },
        "mark every take-over, or give the times in a marks file",
    );
}

fn report_lone_take_over(mark: &Mark, problems: &mut Problems) {
    problems.add(
        "mark-unpaired-take-over",
        Severity::Warning,
        Some(mark.source),
        || format!("take-over at {} has no let-go before it", mark.time.format("%H:%M:%S UTC")),
        "mark every let-go, or give the times in a marks file",
    );
}

fn report_lone_let_go(mark: &Mark, problems: &mut Problems) {
    problems.add(
        "mark-unpaired-let-go",
        Severity::Warning,
        Some(mark.source),
        || format!("let-go at {} has no take-over after it", mark.time.format("%H:%M:%S UTC")),
        "mark every take-over, or give the times in a marks file",
    );
}

fn report_reversed(take_over: &Mark, let_go: &Mark, problems: &mut Problems) {
    problems.add(
        "mark-reversed",
        Severity::Warning,
        Some(take_over.source),
        || {
            format!(
                "take-over at {} stands before let-go at {} and nothing follows",
                take_over.time.format("%H:%M:%S"),
                let_go.time.format("%H:%M:%S UTC")
            )
        },
        "the two marks may have been swapped; give the times in a marks file",
    );
}

fn note_unknown_scenario(mark: &Mark, problems: &mut Problems) {
    let named = mark.text.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).count() > 2;
    if named && mark.scenario.is_none() {
        problems.add(
            "mark-unknown-scenario",
            Severity::Note,
            Some(mark.source),
            || format!("the mark \"{}\" names no scenario known here", mark.text),
            "scenario names are trim-level, accelerated-level, full-power-climb, power-off-glide, unclassified",
        );
    }
}

#[cfg(test)]
mod tests;
