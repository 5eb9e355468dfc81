//! Sheets of runs: CSV with a header, one run in each row. A row with a `mass_kg` is a known-weight run, any other a
//! stopwatch run. The columns are the keys of `[[stopwatch]]` and `[[known_weight]]`.

use super::fault::Fault;
use super::fields::{Fields, Names};
use super::runs::{stopwatch_run, weight_run};
use super::source::Source;
use super::suggest::suggestion;
use crate::model::{KnownWeightRun, Place, StopwatchRun};
use chrono::NaiveDate;
use driftless_track::{InputLimit, InputLimits};
use std::cell::RefCell;
use std::ops::Range;

const COLUMNS: [&str; 23] = [
    "setup",
    "wing",
    "pilot",
    "scenario",
    "degrees",
    "seconds",
    "count",
    "turned",
    "timed_by",
    "date",
    "flight",
    "window",
    "windows",
    "reading_std_u_s",
    "pointing_std_u_deg",
    "mass_kg",
    "mass_std_u_kg",
    "arm_m",
    "arm_std_u_m",
    "side",
    "note",
    "weather",
    "place",
];

/// A row of a sheet.
struct Row<'a> {
    source: &'a Source<'a>,
    header: &'a [String],
    record: &'a csv::StringRecord,
    line: usize,
    span: Range<usize>,
    limits: InputLimits,
    faults: &'a RefCell<Vec<Fault>>,
}

impl Row<'_> {
    fn cell(&self, key: &str) -> Option<&str> {
        let column = self.header.iter().position(|name| name == key)?;
        self.record.get(column).map(str::trim).filter(|cell| !cell.is_empty())
    }

    fn wrong(&self, key: &str, cell: &str, wanted: &str) {
        self.fault(key, format!("`{key}` is \"{cell}\"; it must be {wanted}"), None);
    }
}

impl Fields for Row<'_> {
    fn has(&self, key: &str) -> bool {
        self.cell(key).is_some()
    }
    fn text(&self, key: &'static str) -> Option<String> {
        let cell = self.cell(key)?;
        if let Err(over) = self.limits.hold(InputLimit::NameCharacters, cell.chars().count(), None) {
            self.fault(key, format!("`{key}` has {over}"), None);
            return None;
        }
        Some(cell.to_owned())
    }
    fn number(&self, key: &'static str, low: f64, high: f64) -> Option<f64> {
        let cell = self.cell(key)?;
        let number = cell.replace(',', ".").parse::<f64>().ok().filter(|number| *number >= low && *number <= high);
        if number.is_none() {
            self.wrong(key, cell, &format!("a number between {low} and {high}"));
        }
        number
    }
    fn whole(&self, key: &'static str, low: u32, high: u32) -> Option<u32> {
        let cell = self.cell(key)?;
        let number = cell.parse::<u32>().ok().filter(|number| (low..=high).contains(number));
        if number.is_none() {
            self.wrong(key, cell, &format!("a whole number between {low} and {high}"));
        }
        number
    }
    fn date(&self, key: &'static str) -> Option<NaiveDate> {
        let cell = self.cell(key)?;
        let date = cell.parse().ok();
        if date.is_none() {
            self.wrong(key, cell, "a day like 2026-05-14");
        }
        date
    }
    fn windows(&self) -> Vec<u32> {
        let Some(cell) = self.cell("windows").or_else(|| self.cell("window")) else { return Vec::new() };
        let numbers: Vec<_> = cell.split([' ', ';', '+']).filter(|n| !n.is_empty()).map(|n| n.parse().ok()).collect();
        if numbers.contains(&None) {
            self.wrong("windows", cell, "whole numbers with blanks between them");
        }
        numbers.into_iter().flatten().collect()
    }
    fn missing(&self, key: &str, example: &str) {
        if self.cell(key).is_none() {
            self.fault(
                key,
                format!("this run has no `{key}`"),
                Some(format!("fill the column, for example with {example}")),
            );
        }
    }
    fn fault(&self, key: &str, message: String, help: Option<String>) {
        let row = self.source.text.get(self.span.clone()).unwrap_or_default();
        let at = self.cell(key).and_then(|cell| row.find(cell).map(|at| (at, cell.len())));
        let span = match at {
            Some((at, length)) => self.span.start + at..self.span.start + at + length,
            None => self.span.clone(),
        };
        self.faults.borrow_mut().push(self.source.fault(span, message, help));
    }
    fn place(&self) -> Place {
        Place { file: self.source.file.to_owned(), line: self.line }
    }
    fn what(&self) -> String {
        "this run".to_owned()
    }
}

/// The runs of a sheet.
#[derive(Debug, Default)]
pub(super) struct SheetRuns {
    pub(super) stopwatch: Vec<StopwatchRun>,
    pub(super) weights: Vec<KnownWeightRun>,
    pub(super) faults: Vec<Fault>,
}

/// The position of a record counts from before the remarks and empty lines that stand above it.
fn after_remarks(text: &str, from: usize) -> usize {
    let rest = text.get(from..).unwrap_or_default();
    let above = rest.split_inclusive('\n').take_while(|line| line.starts_with('#') || line.trim().is_empty());
    from + above.map(str::len).sum::<usize>()
}

/// Reads a sheet of at most `most` runs; separators `,` `;` and tab, `#` begins a comment line.
pub(super) fn read(file: &str, text: &str, names: &Names<'_>, most: usize) -> SheetRuns {
    let source = Source::new(file, text);
    let bom = text.len() - text.trim_start_matches('\u{feff}').len();
    let body = &text[bom..];
    let first = body.lines().find(|line| !line.trim().is_empty() && !line.starts_with('#')).unwrap_or_default();
    let count = |separator: char| first.matches(separator).count();
    let separator = [';', '\t', ','].into_iter().max_by_key(|s| count(*s)).unwrap_or(',');
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(true)
        .flexible(true)
        .trim(csv::Trim::All)
        .comment(Some(b'#'))
        .delimiter(separator as u8)
        .from_reader(body.as_bytes());
    let mut runs = SheetRuns::default();
    let faults = RefCell::new(Vec::new());
    let broken = |error: &csv::Error| {
        let at = error.position().map_or(0, |position| position.byte() as usize) + bom;
        source.fault(at..at + 1, format!("cannot be read as CSV: {error}"), None)
    };
    let header: Vec<String> = match reader.headers() {
        Ok(header) => header.iter().map(|name| name.to_lowercase().replace([' ', '-'], "_")).collect(),
        Err(error) => {
            runs.faults.push(broken(&error));
            return runs;
        }
    };
    let header_at = bom + body.find(first).unwrap_or(0);
    for name in header.iter().filter(|name| !COLUMNS.contains(&name.as_str())) {
        let span = header_at..header_at + first.len();
        let fault = source.fault(span, format!("unknown column `{name}`"), suggestion(name, &COLUMNS));
        faults.borrow_mut().push(fault);
    }
    for record in reader.records().take(most) {
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                faults.borrow_mut().push(broken(&error));
                break;
            }
        };
        let position = record.position();
        let start = after_remarks(text, position.map_or(0, |p| p.byte() as usize) + bom);
        let length = text.get(start..).and_then(|rest| rest.lines().next()).map_or(0, str::len);
        let line = source.line(start);
        let row = Row {
            source: &source,
            header: &header,
            record: &record,
            line,
            span: start..start + length,
            limits: names.limits,
            faults: &faults,
        };
        if row.has("mass_kg") {
            runs.weights.extend(weight_run(&row, names));
        } else {
            runs.stopwatch.extend(stopwatch_run(&row, names));
        }
    }
    runs.faults = faults.into_inner();
    runs
}
