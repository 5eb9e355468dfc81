//! Corrections of marks: every state is kept, the newest one counts until it is undone.

use crate::flights::GONE;
use crate::names::{optional, required};
use crate::words::scenario_or_none;
use crate::{CorrectionId, FlightId, Logbook, LogbookError, Result, moment};
use chrono::{DateTime, Utc};
use driftless_analysis::{InputLimit, InputLimits, Scenario};
use rusqlite::{Connection, OptionalExtension, named_params, params};

/// A window marked hands-off.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MarkRow {
    /// Brakes released; kept to the millisecond, as the other time.
    pub let_go: DateTime<Utc>,
    /// Brakes taken again.
    pub take_over: DateTime<Utc>,
    /// Scenario, where named.
    pub scenario: Option<Scenario>,
    /// Set-up, by key or name, where it is another than the flight's.
    pub setup: Option<String>,
    /// Note.
    pub note: Option<String>,
}

/// A correction in the history of a flight.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Correction {
    /// Which.
    pub id: CorrectionId,
    /// The one it was made from; `None` for the marks as given.
    pub parent: Option<CorrectionId>,
    /// When it was made.
    pub at: DateTime<Utc>,
    /// What was done, in words.
    pub what: String,
    /// Whether it is the one that counts.
    pub current: bool,
}

impl Logbook {
    /// The marks of a flight as they were corrected; `None` while those of the log or of the marks file given count.
    ///
    /// # Errors
    /// A flight that is gone.
    pub fn marks(&self, id: FlightId) -> Result<Option<Vec<MarkRow>>> {
        current(&self.conn, id)?.map(|correction| rows(&self.conn, correction)).transpose()
    }

    /// Puts these marks in the place of those that count; `what` says in words what was done.
    ///
    /// # Errors
    /// A window that ends before it begins; a flight that is gone.
    pub fn correct(&mut self, id: FlightId, marks: &[MarkRow], what: &str, now: DateTime<Utc>) -> Result<CorrectionId> {
        InputLimits::default().hold(InputLimit::Runs, marks.len(), None)?;
        let tx = self.change()?;
        let parent = current(&tx, id)?;
        tx.execute(
            "INSERT INTO corrections (flight, parent, at_utc, what) VALUES (?1, ?2, ?3, ?4)",
            params![id, parent, moment::text(now), required("words of what was done", what)?],
        )?;
        let correction = CorrectionId(tx.last_insert_rowid());
        for row in marks {
            write_row(&tx, correction, row)?;
        }
        point_to(&tx, id, Some(correction))?;
        tx.commit()?;
        Ok(correction)
    }

    /// Goes back to the marks before the last correction. Whether there was one.
    ///
    /// # Errors
    /// A flight that is gone.
    pub fn undo(&mut self, id: FlightId) -> Result<bool> {
        let tx = self.change()?;
        let Some(now) = current(&tx, id)? else { return Ok(false) };
        let parent = tx.query_row("SELECT parent FROM corrections WHERE id = ?1", [now], |row| row.get(0))?;
        point_to(&tx, id, parent)?;
        tx.commit()?;
        Ok(true)
    }

    /// Goes forward again to the newest correction that was made from these marks. Whether there is one.
    ///
    /// # Errors
    /// A flight that is gone.
    pub fn redo(&mut self, id: FlightId) -> Result<bool> {
        let tx = self.change()?;
        let now = current(&tx, id)?;
        let sql = "SELECT max(id) FROM corrections WHERE flight = ?1 AND parent IS ?2";
        let next: Option<CorrectionId> = tx.query_row(sql, params![id, now], |row| row.get(0))?;
        if next.is_none() {
            return Ok(false);
        }
        point_to(&tx, id, next)?;
        tx.commit()?;
        Ok(true)
    }

    /// Every correction of a flight, oldest first, those that were undone included.
    ///
    /// # Errors
    /// A flight that is gone.
    pub fn history(&self, id: FlightId) -> Result<Vec<Correction>> {
        let now = current(&self.conn, id)?;
        let mut statement = self
            .conn
            .prepare_cached("SELECT id, parent, at_utc, what FROM corrections WHERE flight = ?1 ORDER BY id")?;
        let found = statement.query_and_then([id], |row| {
            let id = row.get(0)?;
            let at = moment::parse(&row.get::<_, String>(2)?)?;
            Ok(Correction { id, parent: row.get(1)?, at, what: row.get(3)?, current: Some(id) == now })
        })?;
        found.collect()
    }
}

/// The correction that counts.
pub(crate) fn current(conn: &Connection, flight: FlightId) -> Result<Option<CorrectionId>> {
    let mut statement = conn.prepare_cached("SELECT correction FROM flights WHERE id = ?1")?;
    let found = statement.query_row([flight], |row| row.get(0));
    found.optional()?.ok_or(GONE)
}

fn point_to(conn: &Connection, flight: FlightId, correction: Option<CorrectionId>) -> Result<()> {
    conn.execute("UPDATE flights SET correction = ?2 WHERE id = ?1", params![flight, correction])?;
    Ok(())
}

fn write_row(conn: &Connection, correction: CorrectionId, row: &MarkRow) -> Result<()> {
    let (let_go, take_over) = (moment::text(row.let_go), moment::text(row.take_over));
    if row.take_over.timestamp_millis() <= row.let_go.timestamp_millis() {
        return Err(LogbookError::refused(format!(
            "the window from {let_go} ends at {take_over}, before it begins; give a later end"
        )));
    }
    conn.execute(
        "INSERT INTO correction_rows (correction, let_go_utc, take_over_utc, scenario, setup, note) \
         VALUES (:correction, :let_go, :take_over, :scenario, :setup, :note)",
        named_params! {
            ":correction": correction,
            ":let_go": let_go,
            ":take_over": take_over,
            ":scenario": row.scenario.map(Scenario::name),
            ":setup": optional(row.setup.as_deref())?,
            ":note": optional(row.note.as_deref())?,
        },
    )?;
    Ok(())
}

/// The marks of a correction.
pub(crate) fn rows(conn: &Connection, correction: CorrectionId) -> Result<Vec<MarkRow>> {
    let mut statement = conn.prepare_cached(
        "SELECT let_go_utc, take_over_utc, scenario, setup, note FROM correction_rows WHERE correction = ?1 ORDER BY id",
    )?;
    let found = statement.query_and_then([correction], |row| {
        Ok(MarkRow {
            let_go: moment::parse(&row.get::<_, String>(0)?)?,
            take_over: moment::parse(&row.get::<_, String>(1)?)?,
            scenario: scenario_or_none(row.get(2)?)?,
            setup: row.get(3)?,
            note: row.get(4)?,
        })
    })?;
    found.collect()
}

/// Marks as the text of a marks file.
pub(crate) fn csv(marks: &[MarkRow]) -> String {
    let mut text = String::from("let_go,take_over,scenario,setup,note\n");
    for row in marks {
        let cells = [
            moment::text(row.let_go),
            moment::text(row.take_over),
            row.scenario.map_or(String::new(), |scenario| scenario.name().to_owned()),
            row.setup.clone().unwrap_or_default(),
            row.note.clone().unwrap_or_default(),
        ];
        text.push_str(&cells.map(|cell| quoted(&cell)).join(","));
        text.push('\n');
    }
    text
}

/// A cell, in quotation marks where it needs them. (RFC 4180, 2.5 to 2.7.)
fn quoted(cell: &str) -> String {
    if cell.contains([',', ';', '"', '\n', '\r', '#']) {
        return format!("\"{}\"", cell.replace('"', "\"\""));
    }
    cell.to_owned()
}
