//! Logs into a campaign.

use super::GONE;
use crate::files::{self, FileRow};
use crate::names::{optional, required, without_folders};
use crate::{CampaignId, FlightId, Logbook, LogbookError, Result, campaigns, moment};
use chrono::{DateTime, Utc};
use driftless_analysis::campaign::file::key_of_log;
use driftless_analysis::{FlightFiles, InertialFile, TextFile, sha256};
use rusqlite::{Connection, OptionalExtension, named_params, params};

/// What became of a log that was added.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Added {
    /// Its flight.
    pub flight: FlightId,
    /// Whether the same log was there, byte for byte, so that this is the flight it was.
    pub was_there: bool,
    /// Names of files beside it that were not taken, because the flight that was there has others.
    pub not_taken: Vec<String>,
}

impl Logbook {
    /// Puts a flight into a campaign. The same log twice is one flight, which then takes the files beside it that it
    /// lacks.
    ///
    /// # Errors
    /// An empty log; names that are too long; a campaign that is gone.
    pub fn add_flight(&mut self, campaign: CampaignId, files: &FlightFiles<'_>, now: DateTime<Utc>) -> Result<Added> {
        if files.log.is_empty() {
            return Err(LogbookError::refused(format!("{} is empty; there is no flight in it", files.name)));
        }
        let tx = self.change()?;
        tx.query_row("SELECT 1 FROM campaigns WHERE id = ?1", [campaign], |_| Ok(()))
            .optional()?
            .ok_or(campaigns::GONE)?;
        let added = match there(&tx, campaign, files.log)? {
            Some(flight) => Added { flight, was_there: true, not_taken: take_beside(&tx, flight, files)? },
            None => {
                let log = files::keep(&tx, files.log)?;
                let name = required("name of the log", without_folders(&files.name))?;
                let row = NewRow { key: unique_key(&tx, campaign, &name)?, name, log: Some(log), added_utc: now };
                let flight = insert(&tx, campaign, &row)?;
                Added { flight, was_there: false, not_taken: take_beside(&tx, flight, files)? }
            }
        };
        tx.commit()?;
        Ok(added)
    }
}

/// A flight to be.
pub(crate) struct NewRow {
    pub(crate) key: String,
    pub(crate) name: String,
    /// `None` for one that is left out and has lost its log.
    pub(crate) log: Option<FileRow>,
    pub(crate) added_utc: DateTime<Utc>,
}

/// Puts a row into the table. One without log is left out until somebody says why.
pub(crate) fn insert(conn: &Connection, campaign: CampaignId, row: &NewRow) -> Result<FlightId> {
    conn.execute(
        "INSERT INTO flights (campaign, key, name, log, added_utc, exclude) \
         VALUES (:campaign, :key, :name, :log, :added_utc, :exclude)",
        named_params! {
            ":campaign": campaign,
            ":key": row.key,
            ":name": row.name,
            ":log": row.log,
            ":added_utc": moment::text(row.added_utc),
            ":exclude": row.log.is_none().then_some("the log is not there"),
        },
    )?;
    Ok(FlightId(conn.last_insert_rowid()))
}

/// The flight of a campaign with the same log.
fn there(conn: &Connection, campaign: CampaignId, log: &[u8]) -> Result<Option<FlightId>> {
    let sql = "SELECT flights.id FROM flights JOIN files ON files.id = flights.log WHERE campaign = ?1 AND sha256 = ?2";
    Ok(conn.query_row(sql, params![campaign, sha256(log)], |row| row.get(0)).optional()?)
}

/// A key by the name of the log that no other flight of the campaign has.
fn unique_key(conn: &Connection, campaign: CampaignId, name: &str) -> Result<String> {
    let stem = optional(Some(&key_of_log(name)))?.unwrap_or_else(|| "flight".to_owned());
    let mut key = stem.clone();
    for number in 2.. {
        let sql = "SELECT count(*) FROM flights WHERE campaign = ?1 AND key = ?2";
        if conn.query_row(sql, params![campaign, key], |row| row.get::<_, i64>(0))? == 0 {
            break;
        }
        key = format!("{stem}-{number}");
    }
    Ok(key)
}

/// Takes the files beside a log that its flight lacks; gives the names of those that it has otherwise.
fn take_beside(conn: &Connection, flight: FlightId, files: &FlightFiles<'_>) -> Result<Vec<String>> {
    let mut not_taken = Vec::new();
    for (column, file) in [("marks", &files.marks), ("csv_mapping", &files.csv_mapping)] {
        if let Some(file) = file
            && !take_text(conn, flight, column, file)?
        {
            not_taken.push(file.name.clone());
        }
    }
    for file in &files.inertial {
        take_inertial(conn, flight, file)?;
    }
    Ok(not_taken)
}

/// Whether the flight has this text now, and has not another.
pub(crate) fn take_text(conn: &Connection, flight: FlightId, column: &str, file: &TextFile) -> Result<bool> {
    let kept = files::keep(conn, file.text.as_bytes())?;
    let sql = format!("SELECT {column} FROM flights WHERE id = ?1");
    let has: Option<FileRow> = conn.query_row(&sql, [flight], |row| row.get(0)).optional()?.ok_or(GONE)?;
    if has.is_some() {
        if has != Some(kept) {
            // Nobody needs what was kept a moment ago.
            files::forget_of(conn, &[kept])?;
        }
        return Ok(has == Some(kept));
    }
    let name = required("name of the file", without_folders(&file.name))?;
    let sql = format!("UPDATE flights SET {column} = ?2, {column}_name = ?3 WHERE id = ?1");
    conn.execute(&sql, params![flight, kept, name])?;
    Ok(true)
}

/// Keeps an inertial file beside a flight, once.
pub(crate) fn take_inertial(conn: &Connection, flight: FlightId, file: &InertialFile) -> Result<()> {
    let kept = files::keep(conn, &file.bytes)?;
    let mapping = file.mapping_toml.as_ref().map(|text| files::keep(conn, text.as_bytes())).transpose()?;
    let name = required("name of the file", without_folders(&file.name))?;
    conn.execute(
        "INSERT INTO inertial_files (flight, name, file, mapping) SELECT ?1, ?2, ?3, ?4 \
         WHERE NOT EXISTS (SELECT 1 FROM inertial_files WHERE flight = ?1 AND file = ?3)",
        params![flight, name, kept, mapping],
    )?;
    Ok(())
}
