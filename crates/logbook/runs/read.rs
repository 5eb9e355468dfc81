//! Runs from their tables.

use super::{StopwatchItem, WeightItem, WeightItemMeasured, WithKeys};
use crate::words::{scenario, turned};
use crate::{CampaignId, LogbookError, Result, RunId};
use driftless_analysis::Scenario;
use driftless_analysis::campaign::model::{HungWeight, Timing};
use rusqlite::{Connection, Row};

/// Runs with the keys of what they were flown with.
fn select(table: &str) -> String {
    format!(
        "SELECT r.*, s.key AS setup_key, w.key AS wing_key, p.key AS pilot_key FROM {table} r \
         LEFT JOIN setups s ON s.id = r.setup LEFT JOIN wings w ON w.id = r.wing LEFT JOIN pilots p ON p.id = r.pilot \
         WHERE r.campaign = ?1 ORDER BY r.id"
    )
}

fn watch(row: &Row<'_>) -> Result<(WithKeys, Scenario, Timing)> {
    let with = WithKeys { setup: row.get("setup_key")?, wing: row.get("wing_key")?, pilot: row.get("pilot_key")? };
    let timing = Timing {
        degrees: row.get("degrees")?,
        seconds: row.get("seconds")?,
        count: row.get("count")?,
        turned: turned(&row.get::<_, String>("turned")?)?,
        reading_std_u_s: row.get("reading_std_u_s")?,
        pointing_std_u_deg: row.get("pointing_std_u_deg")?,
    };
    Ok((with, scenario(&row.get::<_, String>("scenario")?)?, timing))
}

pub(crate) fn stopwatch_runs(conn: &Connection, campaign: CampaignId) -> Result<Vec<(RunId, StopwatchItem)>> {
    let mut statement = conn.prepare_cached(&select("stopwatch_runs"))?;
    let found = statement.query_and_then([campaign], |row| {
        let (with, scenario, timing) = watch(row)?;
        let date = row
            .get::<_, Option<String>>("date")?
            .map(|date| date.parse().map_err(|_| LogbookError::damaged(format!("\"{date}\" is no day"))));
        let run = StopwatchItem {
            with,
            scenario,
            timing,
            timed_by: row.get("timed_by")?,
            date: date.transpose()?,
            same_run: row.get::<_, Option<_>>("flight")?.zip(row.get::<_, Option<_>>("window")?),
            note: row.get("note")?,
        };
        Ok((row.get("id")?, run))
    })?;
    found.collect()
}

pub(crate) fn weight_runs(conn: &Connection, campaign: CampaignId) -> Result<Vec<(RunId, WeightItem)>> {
    let mut statement = conn.prepare_cached(&select("weight_runs"))?;
    let found = statement.query_and_then([campaign], |row| {
        let id = row.get("id")?;
        let measured = match row.get("flight")? {
            Some(flight) => WeightItemMeasured::Log { flight, windows: windows(conn, id)? },
            None => {
                let (with, scenario, timing) = watch(row)?;
                WeightItemMeasured::Stopwatch { with, scenario, timing }
            }
        };
        let weight = HungWeight {
            mass_kg: row.get("mass_kg")?,
            mass_std_u_kg: row.get("mass_std_u_kg")?,
            arm_m: row.get("arm_m")?,
            arm_std_u_m: row.get("arm_std_u_m")?,
            side: turned(&row.get::<_, String>("side")?)?,
        };
        Ok((id, WeightItem { weight, measured, note: row.get("note")? }))
    })?;
    found.collect()
}

fn windows(conn: &Connection, run: RunId) -> Result<Vec<u32>> {
    let mut statement = conn.prepare_cached("SELECT window FROM weight_run_windows WHERE run = ?1 ORDER BY id")?;
    let rows = statement.query_map([run], |row| row.get(0))?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}
