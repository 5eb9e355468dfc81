//! The files of a flight, as the door of the analysis wants them.

use crate::flights::GONE;
use crate::{FlightId, Logbook, LogbookError, Result, files, marks};
use driftless_analysis::{FlightFiles, InertialFile, TextFile, sha256};
use rusqlite::{Connection, OptionalExtension};

/// The files of a flight as they are kept.
#[derive(Debug, Clone, PartialEq)]
pub struct StoredFiles {
    /// Name of the log as given.
    pub name: String,
    /// Its bytes.
    pub log: Vec<u8>,
    /// The marks that count: as corrected, else as given.
    pub marks: Option<TextFile>,
    /// Inertial files beside it.
    pub inertial: Vec<InertialFile>,
    /// The column mapping of a CSV log.
    pub csv_mapping: Option<TextFile>,
}

impl StoredFiles {
    /// For the analysis.
    pub fn files(&self) -> FlightFiles<'_> {
        FlightFiles {
            name: self.name.clone(),
            log: &self.log,
            marks: self.marks.clone(),
            inertial: self.inertial.clone(),
            csv_mapping: self.csv_mapping.clone(),
        }
    }
}

impl Logbook {
    /// The files of a flight, the marks as they count now.
    ///
    /// # Errors
    /// A flight that is gone, or that is left out and has lost its log; bytes that are damaged.
    pub fn flight_files(&self, id: FlightId) -> Result<StoredFiles> {
        let found = Beside::of(&self.conn, id)?;
        let log = found.log.ok_or_else(|| {
            LogbookError::refused(format!("the log of {} is not in the logbook; the flight is left out", found.name))
        })?;
        Ok(StoredFiles {
            log: files::bytes(&self.conn, log, &found.name)?,
            marks: found.marks(&self.conn, id)?,
            inertial: inertial(&self.conn, id)?.into_iter().filter_map(|(_, file)| file).collect(),
            csv_mapping: found.csv_mapping(&self.conn)?,
            name: found.name,
        })
    }

    /// What an analysis of a flight depends on, as one word: it changes with its log, its name, its marks as they count now, and
    /// the files beside it. The log itself is not read.
    ///
    /// # Errors
    /// A flight that is gone.
    pub fn fingerprint(&self, id: FlightId) -> Result<String> {
        let found = Beside::of(&self.conn, id)?;
        let sql = "SELECT file, mapping FROM inertial_files WHERE flight = ?1 ORDER BY id";
        let mut statement = self.conn.prepare_cached(sql)?;
        let inertial: Vec<(Option<i64>, Option<i64>)> =
            statement.query_map([id], |row| Ok((row.get(0)?, row.get(1)?)))?.collect::<rusqlite::Result<_>>()?;
        let mut hashes = Vec::new();
        let beside = [found.log, found.marks.file, found.csv_mapping.file];
        for row in beside.into_iter().chain(inertial.into_iter().flat_map(|(file, mapping)| [file, mapping])) {
            hashes.push(row.map(|row| files::hash(&self.conn, row)).transpose()?.unwrap_or_default());
        }
        let corrected =
            marks::current(&self.conn, id)?.map(|correction| marks::rows(&self.conn, correction)).transpose()?;
        let corrected = corrected.map(|rows| marks::csv(&rows)).unwrap_or_default();
        Ok(sha256([hashes.join(" "), found.name, corrected].join("\n").as_bytes()))
    }
}

/// What a flight says of its files.
pub(crate) struct Beside {
    pub(crate) name: String,
    pub(crate) log: Option<files::FileRow>,
    marks: Given,
    csv_mapping: Given,
}

/// A text given beside a log.
#[derive(Debug, Clone)]
struct Given {
    /// Its name; `None` where none was given.
    name: Option<String>,
    /// The file; `None` also where the flight is left out and the file is gone.
    file: Option<files::FileRow>,
}

impl Given {
    fn text(&self, conn: &Connection) -> Result<Option<TextFile>> {
        self.file.zip(self.name.as_ref()).map(|(file, name)| files::text(conn, file, name)).transpose()
    }
}

impl Beside {
    pub(crate) fn of(conn: &Connection, id: FlightId) -> Result<Self> {
        let sql = "SELECT name, log, marks, marks_name, csv_mapping, csv_mapping_name FROM flights WHERE id = ?1";
        let found = conn.prepare_cached(sql)?.query_row([id], |row| {
            let given = |file: usize, name: usize| -> rusqlite::Result<Given> {
                Ok(Given { file: row.get(file)?, name: row.get(name)? })
            };
            Ok(Self { name: row.get(0)?, log: row.get(1)?, marks: given(2, 3)?, csv_mapping: given(4, 5)? })
        });
        found.optional()?.ok_or(GONE)
    }

    /// The marks that count: as corrected, else as given.
    pub(crate) fn marks(&self, conn: &Connection, id: FlightId) -> Result<Option<TextFile>> {
        if let Some(correction) = marks::current(conn, id)? {
            let text = marks::csv(&marks::rows(conn, correction)?);
            return Ok(Some(TextFile { name: "corrected marks".to_owned(), text }));
        }
        self.marks.text(conn)
    }

    pub(crate) fn csv_mapping(&self, conn: &Connection) -> Result<Option<TextFile>> {
        self.csv_mapping.text(conn)
    }

    pub(crate) fn csv_mapping_name(&self) -> Option<&str> {
        self.csv_mapping.name.as_deref()
    }

    pub(crate) const fn has_given_marks(&self) -> bool {
        self.marks.name.is_some()
    }
}

/// Inertial files of a flight by name; `None` where the flight is left out and the file is gone.
pub(crate) fn inertial(conn: &Connection, id: FlightId) -> Result<Vec<(String, Option<InertialFile>)>> {
    let mut statement =
        conn.prepare_cached("SELECT name, file, mapping FROM inertial_files WHERE flight = ?1 ORDER BY id")?;
    let found = statement.query_and_then([id], |row| {
        let (name, file, mapping): (String, Option<i64>, Option<i64>) = (row.get(0)?, row.get(1)?, row.get(2)?);
        let mapping = mapping.map(|row| files::text(conn, row, &name)).transpose()?.map(|mapping| mapping.text);
        let bytes = file.map(|row| files::bytes(conn, row, &name)).transpose()?;
        Ok((name.clone(), bytes.map(|bytes| InertialFile::new(name, bytes, mapping))))
    })?;
    found.collect()
}

/// Names of the inertial files of a flight, as given.
pub(crate) fn inertial_names(conn: &Connection, flight: FlightId) -> Result<Vec<String>> {
    let mut statement = conn.prepare_cached("SELECT name FROM inertial_files WHERE flight = ?1 ORDER BY id")?;
    let rows = statement.query_map([flight], |row| row.get(0))?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}
