//! What a pilot says of a flight.

use super::GONE;
use crate::files::{forget_of, of_flight};
use crate::names::optional;
use crate::parts::{Part, row_or_none};
use crate::{CampaignId, FlightId, Logbook, LogbookError, Result};
use driftless_analysis::Scenario;
use driftless_analysis::campaign::model::LeftOut;
use rusqlite::{Connection, OptionalExtension, named_params, params};

/// What a pilot says of a flight; all of it may be said later.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct About {
    /// Key of the set-up.
    pub setup: Option<String>,
    /// Key of the wing; that of the set-up where it is left out.
    pub wing: Option<String>,
    /// Key of the pilot; that of the set-up where it is left out.
    pub pilot: Option<String>,
    /// Scenario of all its windows, where the log cannot tell.
    pub scenario: Option<Scenario>,
    /// Whether windows that nobody marked count as hands-off.
    pub take_candidates: bool,
    /// Why the whole flight counts for nothing, where it does.
    pub exclude: Option<String>,
    /// Windows left out on purpose.
    pub leave_out: Vec<LeftOut>,
    /// Air temperature at the height of the windows, °C.
    pub temperature_c: Option<f64>,
    /// Pressure at sea level (QNH), hPa.
    pub qnh_hpa: Option<f64>,
    /// Height band and the like, in words.
    pub altitude_note: Option<String>,
    /// Note.
    pub note: Option<String>,
}

impl Logbook {
    /// Says something else of a flight.
    ///
    /// # Errors
    /// Parts that are not described, values that a campaign file would not be allowed either; a flight that is gone.
    pub fn set_about(&mut self, id: FlightId, about: &About) -> Result<()> {
        let campaign = self.campaign_of(id)?;
        self.change_parts(campaign, |tx| {
            write_about(tx, campaign, id, about)?;
            tx.execute("DELETE FROM left_out_windows WHERE flight = ?1", [id])?;
            write_left_out(tx, id, &about.leave_out)
        })
    }

    /// Removes a flight with its files and the history of its marks.
    ///
    /// # Errors
    /// One that runs refer to; one that is gone.
    pub fn remove_flight(&mut self, id: FlightId) -> Result<()> {
        let tx = self.change()?;
        let count = |table: &str| {
            let sql = format!("SELECT count(*) FROM {table} WHERE flight = ?1");
            tx.query_row(&sql, [id], |row| row.get::<_, i64>(0))
        };
        let (watch, weights) = (count("stopwatch_runs")?, count("weight_runs")?);
        let key = tx.query_row("SELECT key FROM flights WHERE id = ?1", [id], |row| row.get(0)).optional()?;
        let key: String = key.ok_or(GONE)?;
        if watch + weights > 0 {
            let by = format!("{watch} stopwatch and {weights} known-weight runs");
            return Err(LogbookError::InUse { what: "flight", key, by });
        }
        let files = of_flight(&tx, id)?;
        tx.execute("DELETE FROM flights WHERE id = ?1", [id])?;
        forget_of(&tx, &files)?;
        tx.commit()?;
        Ok(())
    }

    /// The campaign of a flight.
    ///
    /// # Errors
    /// A flight that is gone.
    pub fn campaign_of(&self, id: FlightId) -> Result<CampaignId> {
        let found = self.conn.query_row("SELECT campaign FROM flights WHERE id = ?1", [id], |row| row.get(0));
        found.optional()?.ok_or(GONE)
    }
}

/// Writes everything but the windows left out.
pub(crate) fn write_about(conn: &Connection, campaign: CampaignId, id: FlightId, about: &About) -> Result<()> {
    let part = |part, key: &Option<String>| row_or_none(conn, campaign, part, key.as_deref());
    let exclude = optional(about.exclude.as_deref())?;
    let log: Option<i64> =
        conn.query_row("SELECT log FROM flights WHERE id = ?1", [id], |row| row.get(0)).optional()?.ok_or(GONE)?;
    if log.is_none() && exclude.is_none() {
        return Err(LogbookError::refused(
            "the log of this flight is not in the logbook, so it can only be left out; add the log as a flight of its own",
        ));
    }
    conn.execute(
        "UPDATE flights SET setup = :setup, wing = :wing, pilot = :pilot, scenario = :scenario, \
         take_candidates = :take_candidates, exclude = :exclude, temperature_c = :temperature, qnh_hpa = :qnh, \
         altitude_note = :altitude_note, note = :note WHERE id = :id",
        named_params! {
            ":id": id,
            ":setup": part(Part::Setup, &about.setup)?,
            ":wing": part(Part::Wing, &about.wing)?,
            ":pilot": part(Part::Pilot, &about.pilot)?,
            ":scenario": about.scenario.map(Scenario::name),
            ":take_candidates": about.take_candidates,
            ":exclude": exclude,
            ":temperature": about.temperature_c,
            ":qnh": about.qnh_hpa,
            ":altitude_note": optional(about.altitude_note.as_deref())?,
            ":note": optional(about.note.as_deref())?,
        },
    )?;
    Ok(())
}

pub(crate) fn write_left_out(conn: &Connection, id: FlightId, windows: &[LeftOut]) -> Result<()> {
    for LeftOut { window, reason } in windows {
        let reason = crate::names::required("reason", reason)?;
        conn.execute(
            "INSERT INTO left_out_windows (flight, window, reason) VALUES (?1, ?2, ?3)",
            params![id, window, reason],
        )?;
    }
    Ok(())
}
