//! The marks file: CSV with header `let_go,take_over,scenario,setup,note`.
//!
//! Times are RFC 3339 (with zone) or seconds from the first fix. The last three columns may be missing or empty;
//! columns may stand in any order; lines that begin with `#` are comments. Spreadsheets that write `;` are understood.

use crate::Origin;
use crate::constants::FARTHEST_MARK_S;
use crate::marks::{HandsOffSpan, keep_usable};
use chrono::{DateTime, Utc};
use driftless_track::{InputLimit, InputLimits, OverLimit, Problems, Scenario, Track};
use driftless_units::excerpt;

/// One row of a marks file.
#[derive(Debug, Clone, PartialEq)]
pub struct MarksRow {
    /// Line in the file, from 1.
    pub line: u64,
    /// Brakes released.
    pub let_go: MarkTime,
    /// Brakes taken again; always later than `let_go`, in the same form.
    pub take_over: MarkTime,
    /// Scenario, where named.
    pub scenario: Option<Scenario>,
    /// Set-up, where named.
    pub setup: Option<String>,
    /// Note, where written.
    pub note: Option<String>,
}

/// A time in a marks file.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MarkTime {
    /// A moment.
    Utc(DateTime<Utc>),
    /// Seconds after the first fix of the log.
    FromFirstFix(f64),
}

/// Why a marks file cannot be used. Nothing of a faulty file is used: a wrong time gives a wrong turn rate.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("marks file, line {line}: {fault}")]
pub struct MarksError {
    /// Line in the file, from 1.
    pub line: u64,
    /// What is wrong there.
    pub fault: MarksFault,
}

/// What is wrong in a marks file.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum MarksFault {
    /// No header, or nothing at all.
    #[error("the file is empty; it needs the header let_go,take_over,scenario,setup,note")]
    Empty,
    /// A column that must be there is not.
    #[error("no column \"{0}\" in the header; it needs let_go,take_over and may have scenario,setup,note")]
    MissingColumn(&'static str),
    /// A column nobody knows.
    #[error("unknown column {0}; columns are let_go,take_over,scenario,setup,note")]
    UnknownColumn(String),
    /// A column named twice.
    #[error("column {0} stands twice in the header")]
    RepeatedColumn(String),
    /// A time that cannot be read.
    #[error("{column} {text} is neither a time with zone (2026-05-01T06:30:00Z) nor seconds from the first fix")]
    Time {
        /// Which column.
        column: &'static str,
        /// What stands there, in quotes.
        text: String,
    },
    /// Seconds that no log reaches.
    #[error(
        "{column} \"{text}\" is {days:.0} days from the first fix; give seconds from the first fix of the log, or a time with \
         zone (2026-05-01T06:30:00Z)"
    )]
    FarAway {
        /// Which column.
        column: &'static str,
        /// What stands there.
        text: String,
        /// How far that is.
        days: f64,
    },
    /// One time as a moment, the other in seconds.
    #[error("let_go and take_over must both be times or both be seconds")]
    MixedTimes,
    /// Take-over not after let-go.
    #[error("take_over {take_over} is not after let_go {let_go}")]
    Reversed {
        /// As written.
        let_go: String,
        /// As written.
        take_over: String,
    },
    /// A scenario nobody knows.
    #[error(
        "unknown scenario {0}; names are trim-level, accelerated-level, full-power-climb, power-off-glide, unclassified"
    )]
    Scenario(String),
    /// A cell longer than is read.
    #[error(transparent)]
    OverLimit(#[from] OverLimit),
    /// Quoting or row length broken.
    #[error("{0}")]
    Csv(String),
}

const COLUMNS: [&str; 5] = ["let_go", "take_over", "scenario", "setup", "note"];

/// Reads a marks file.
///
/// # Errors
/// The first line that cannot be understood or passes a limit, with what is wrong there.
pub fn parse(text: &str, limits: &InputLimits) -> Result<Vec<MarksRow>, MarksError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .comment(Some(b'#'))
        .delimiter(delimiter(text))
        .from_reader(text.as_bytes());
    let mut records = reader.records();
    let header = match records.next() {
        Some(record) => record.map_err(|e| csv_error(&e))?,
        None => return Err(MarksError { line: 1, fault: MarksFault::Empty }),
    };
    let columns = Columns::from_header(&header).map_err(|fault| MarksError { line: line_of(&header), fault })?;
    let mut count = 0;
    records
        .map(|record| {
            let record = record.map_err(|e| csv_error(&e))?;
            count += 1;
            let over = |fault: OverLimit| MarksError { line: line_of(&record), fault: fault.into() };
            limits.hold(InputLimit::Runs, count, None).map_err(over)?;
            columns.row(&record, limits).map_err(|fault| MarksError { line: line_of(&record), fault })
        })
        .filter(|row| !matches!(row, Ok(None)))
        .filter_map(Result::transpose)
        .collect()
}

/// Places the rows of a marks file on a track.
///
/// `first_fix` is the time of the log's first fix, from which seconds count.
pub fn place(rows: &[MarksRow], first_fix: DateTime<Utc>, track: &Track, problems: &mut Problems) -> Vec<HandsOffSpan> {
    let offset_s = track.seconds_of(first_fix);
    let seconds = |time: MarkTime| match time {
        MarkTime::Utc(time) => track.seconds_of(time),
        MarkTime::FromFirstFix(s) => offset_s + s,
    };
    let spans = rows
        .iter()
        .map(|row| HandsOffSpan {
            let_go_s: seconds(row.let_go),
            take_over_s: seconds(row.take_over),
            origin: Origin::Given,
            scenario: row.scenario,
            setup: row.setup.clone(),
            note: row.note.clone(),
        })
        .collect();
    keep_usable(spans, track, problems)
}

/// Where each known column stands.
struct Columns([Option<usize>; COLUMNS.len()]);

impl Columns {
    fn from_header(header: &csv::StringRecord) -> Result<Self, MarksFault> {
        let mut places = [None; COLUMNS.len()];
        for (place, name) in header.iter().enumerate().filter(|(_, name)| !name.is_empty()) {
            let plain = name.to_lowercase().replace([' ', '-'], "_");
            let known = COLUMNS.iter().zip(&mut places).find(|(column, _)| **column == plain);
            match known {
                None => return Err(MarksFault::UnknownColumn(shown(name))),
                Some((_, Some(_))) => return Err(MarksFault::RepeatedColumn(shown(&plain))),
                Some((_, slot)) => *slot = Some(place),
            }
        }
        for (column, place) in COLUMNS.iter().zip(&places).take(2) {
            if place.is_none() {
                return Err(MarksFault::MissingColumn(column));
            }
        }
        Ok(Self(places))
    }

    /// A row; `None` when nothing stands in it.
    fn row(&self, record: &csv::StringRecord, limits: &InputLimits) -> Result<Option<MarksRow>, MarksFault> {
        if record.iter().all(str::is_empty) {
            return Ok(None);
        }
        let [let_go, take_over, scenario, setup, note] =
            self.0.map(|place| place.and_then(|p| record.get(p)).unwrap_or_default());
        for cell in [scenario, setup, note] {
            limits.hold(InputLimit::NameCharacters, cell.chars().count(), None)?;
        }
        let times = (time("let_go", let_go)?, time("take_over", take_over)?);
        let in_order = match times {
            (MarkTime::Utc(a), MarkTime::Utc(b)) => a < b,
            (MarkTime::FromFirstFix(a), MarkTime::FromFirstFix(b)) => a < b,
            _ => return Err(MarksFault::MixedTimes),
        };
        if !in_order {
            return Err(MarksFault::Reversed { let_go: shown(let_go), take_over: shown(take_over) });
        }
        let scenario = match scenario {
            "" => None,
            name => Some(
                Scenario::from_name(&name.to_lowercase().replace([' ', '_'], "-"))
                    .ok_or_else(|| MarksFault::Scenario(shown(name)))?,
            ),
        };
        let text = |cell: &str| (!cell.is_empty()).then(|| cell.to_owned());
        Ok(Some(MarksRow {
            line: line_of(record),
            let_go: times.0,
            take_over: times.1,
            scenario,
            setup: text(setup),
            note: text(note),
        }))
    }
}

const DAY_S: f64 = 86_400.0;

fn time(column: &'static str, text: &str) -> Result<MarkTime, MarksFault> {
    if let Ok(seconds) = text.parse::<f64>()
        && seconds.is_finite()
    {
        if seconds.abs() > FARTHEST_MARK_S.value {
            return Err(MarksFault::FarAway { column, text: text.to_owned(), days: seconds.abs() / DAY_S });
        }
        return Ok(MarkTime::FromFirstFix(seconds));
    }
    DateTime::parse_from_rfc3339(text)
        .map(|t| MarkTime::Utc(t.to_utc()))
        .map_err(|_| MarksFault::Time { column, text: shown(text) })
}

/// What stands in a cell, in quotes, short enough for a message.
fn shown(cell: &str) -> String {
    excerpt(cell.as_bytes())
}

/// The delimiter of the header: `;` only where it holds no comma.
fn delimiter(text: &str) -> u8 {
    let header = text.lines().find(|l| !l.trim().is_empty() && !l.starts_with('#')).unwrap_or_default();
    if header.contains(';') && !header.contains(',') { b';' } else { b',' }
}

fn line_of(record: &csv::StringRecord) -> u64 {
    record.position().map_or(1, csv::Position::line)
}

fn csv_error(error: &csv::Error) -> MarksError {
    let line = error.position().map_or(1, csv::Position::line);
    MarksError { line, fault: MarksFault::Csv(error.to_string()) }
}

#[cfg(test)]
mod tests;
