//! Rows into one Parquet file, or into a folder with one for each year.

use super::parquet::RowsFile;
use crate::output::{Place, WholeFile, cannot_write, to_stdout};
use crate::terminal;
use anyhow::Context;
use chrono::{DateTime, Datelike};
use driftless_analysis::Asked;
use driftless_report::{Cell, WINDOW_COLUMNS, WindowRow};
use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
use std::path::{Path, PathBuf};

/// The column by which rows are put into years.
const YEAR_OF: &str = "start_utc";

/// The name of the file in the folder of a year. The folders are named as those that query engines take for a column.
const FILE: &str = "windows.parquet";

/// Takes the rows of all logs. A file is there, whole, when all is done.
pub(super) struct ParquetSink {
    made_by: MadeBy,
    to: To,
}

enum To {
    Stdout(RowsFile<Vec<u8>>),
    File(PathBuf, Option<RowsFile<WholeFile>>),
    Years(PathBuf, BTreeMap<i32, RowsFile<WholeFile>>),
}

impl ParquetSink {
    /// Into one file.
    pub(super) fn one_file(place: Place, asked: &Asked) -> anyhow::Result<Self> {
        let made_by = made_by(asked);
        let to = match place {
            Place::Stdout => To::Stdout(RowsFile::begin(Vec::new(), &pairs(&made_by)).context(NO_FILE)?),
            Place::File(path) => To::File(path, None),
        };
        Ok(Self { made_by, to })
    }

    /// Into a folder.
    pub(super) fn by_year(folder: PathBuf, asked: &Asked) -> Self {
        Self { made_by: made_by(asked), to: To::Years(folder, BTreeMap::new()) }
    }

    /// Takes the rows of a log, of which there may be none.
    pub(super) fn put(&mut self, rows: Vec<WindowRow>) -> anyhow::Result<()> {
        let made_by = pairs(&self.made_by);
        match &mut self.to {
            To::Stdout(file) => file.put(rows).context(NO_FILE),
            To::File(path, file) => {
                if file.is_none() {
                    *file = Some(begin(path, &made_by)?);
                }
                file.as_mut().map_or(Ok(()), |file| file.put(rows)).map_err(cannot_write(path))
            }
            To::Years(folder, years) => {
                for row in rows {
                    let year = year(&row);
                    let path = folder_of(folder, year).join(FILE);
                    let file = match years.entry(year) {
                        Entry::Occupied(file) => file.into_mut(),
                        Entry::Vacant(place) => place.insert(begin(&path, &made_by)?),
                    };
                    file.put([row]).map_err(cannot_write(&path))?;
                }
                Ok(())
            }
        }
    }

    /// Puts the files in their places.
    pub(super) fn finish(self) -> anyhow::Result<()> {
        match self.to {
            To::Stdout(file) => to_stdout(&file.finish().context(NO_FILE)?),
            To::File(_, None) => Ok(()),
            To::File(path, Some(file)) => finish(&path, file),
            To::Years(folder, years) => {
                if years.is_empty() {
                    terminal::note("no window was found, so there is no file of rows");
                }
                let written: Vec<i32> = years.keys().copied().collect();
                for (year, file) in years {
                    finish(&folder_of(&folder, year).join(FILE), file)?;
                }
                tell_others(&folder, &written);
                Ok(())
            }
        }
    }
}

/// What stands in the metadata of every file, by key.
type MadeBy = [(&'static str, String); 2];

/// What is said when the writer of Parquet itself fails, which no input can bring about.
const NO_FILE: &str = "cannot make the Parquet file";

fn made_by(asked: &Asked) -> MadeBy {
    [("version", asked.version.clone()), ("command", asked.command.clone())]
}

fn pairs(made_by: &MadeBy) -> [(&str, &str); 2] {
    made_by.each_ref().map(|(key, words)| (*key, words.as_str()))
}

fn begin(path: &Path, made_by: &[(&str, &str)]) -> anyhow::Result<RowsFile<WholeFile>> {
    let file = WholeFile::begin(path).map_err(cannot_write(path))?;
    RowsFile::begin(file, made_by).map_err(cannot_write(path))
}

fn finish(path: &Path, file: RowsFile<WholeFile>) -> anyhow::Result<()> {
    let whole = file.finish().map_err(cannot_write(path))?;
    whole.finish().map_err(cannot_write(path))
}

/// The year in which a window begins, in UTC. Every window has a start.
fn year(row: &WindowRow) -> i32 {
    let place = WINDOW_COLUMNS.iter().position(|column| column.name == YEAR_OF);
    let start = place.and_then(|place| match row.get(place) {
        Some(Cell::Time(ms)) => DateTime::from_timestamp_millis(*ms),
        _ => None,
    });
    start.map_or(0, |start| start.year())
}

fn folder_of(folder: &Path, year: i32) -> PathBuf {
    folder.join(format!("year={year}"))
}

/// Rows of an earlier run in the same folder would be read together with these.
fn tell_others(folder: &Path, written: &[i32]) {
    let Ok(entries) = std::fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let name = entry.file_name();
        let year = name.to_str().and_then(|name| name.strip_prefix("year=")?.parse().ok());
        if year.is_some_and(|year| !written.contains(&year)) && entry.path().join(FILE).exists() {
            let old = crate::input::name_of(&entry.path());
            terminal::note(&format!(
                "{old} is of an earlier run and was left as it is; whoever reads the folder reads it too"
            ));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_window_belongs_to_the_year_in_which_it_begins_in_utc() {
        let place = WINDOW_COLUMNS.iter().position(|column| column.name == YEAR_OF).expect("the column is there");
        let at = |time: &str| {
            let mut row = vec![Cell::Empty; WINDOW_COLUMNS.len()];
            row[place] = Cell::Time(time.parse::<DateTime<chrono::Utc>>().unwrap().timestamp_millis());
            year(&row)
        };
        assert_eq!((at("2025-12-31T23:59:59.999Z"), at("2026-01-01T00:00:00Z")), (2025, 2026));
    }
}
