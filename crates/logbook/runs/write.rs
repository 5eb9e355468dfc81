//! Runs into their tables.

use super::{StopwatchItem, WeightItem, WeightItemMeasured, WithKeys};
use crate::flights::GONE;
use crate::names::optional;
use crate::parts::{Part, number, row_of, row_or_none, write_row};
use crate::words::of_turned;
use crate::{CampaignId, FlightId, Result, RunId};
use driftless_analysis::Scenario;
use driftless_analysis::campaign::model::Timing;
use rusqlite::{Connection, OptionalExtension, ToSql, params};

/// What a run was flown with, by rows.
struct WithRows {
    setup: i64,
    wing: i64,
    pilot: Option<i64>,
}

impl WithRows {
    fn of(conn: &Connection, campaign: CampaignId, with: &WithKeys) -> Result<Self> {
        Ok(Self {
            setup: row_of(conn, campaign, Part::Setup, &with.setup)?,
            wing: row_of(conn, campaign, Part::Wing, &with.wing)?,
            pilot: row_or_none(conn, campaign, Part::Pilot, with.pilot.as_deref())?,
        })
    }
}

/// Columns of a run timed with a stopwatch; all of them NULL without.
fn watch_columns(
    conn: &Connection,
    campaign: CampaignId,
    watch: Option<(&WithKeys, Scenario, &Timing)>,
) -> Result<Vec<(&'static str, Box<dyn ToSql>)>> {
    let with = watch.map(|(with, ..)| WithRows::of(conn, campaign, with)).transpose()?;
    let timing = watch.map(|(.., timing)| timing);
    if let Some(timing) = timing {
        for value in [timing.degrees, timing.seconds, timing.reading_std_u_s, timing.pointing_std_u_deg] {
            number("timing", value)?;
        }
    }
    Ok(vec![
        ("setup", Box::new(with.as_ref().map(|with| with.setup))),
        ("wing", Box::new(with.as_ref().map(|with| with.wing))),
        ("pilot", Box::new(with.as_ref().and_then(|with| with.pilot))),
        ("scenario", Box::new(watch.map(|(_, scenario, _)| scenario.name()))),
        ("degrees", Box::new(timing.map(|timing| timing.degrees))),
        ("seconds", Box::new(timing.map(|timing| timing.seconds))),
        ("count", Box::new(timing.map(|timing| timing.count))),
        ("turned", Box::new(timing.map(|timing| of_turned(timing.turned)))),
        ("reading_std_u_s", Box::new(timing.map(|timing| timing.reading_std_u_s))),
        ("pointing_std_u_deg", Box::new(timing.map(|timing| timing.pointing_std_u_deg))),
    ])
}

pub(crate) fn write_stopwatch(
    conn: &Connection,
    campaign: CampaignId,
    run: &StopwatchItem,
    row: Option<RunId>,
) -> Result<RunId> {
    let watch = watch_columns(conn, campaign, Some((&run.with, run.scenario, &run.timing)))?;
    let flight = run.same_run.map(|(flight, _)| within(conn, campaign, flight)).transpose()?;
    let window = run.same_run.map(|(_, window)| window);
    let (timed_by, note) = (optional(run.timed_by.as_deref())?, optional(run.note.as_deref())?);
    let date = run.date.map(|date| date.to_string());
    let mut columns: Vec<(&str, &dyn ToSql)> = vec![
        ("campaign", &campaign),
        ("timed_by", &timed_by),
        ("date", &date),
        ("flight", &flight),
        ("window", &window),
        ("note", &note),
    ];
    columns.extend(watch.iter().map(|(name, value)| (*name, value.as_ref())));
    write_row(conn, "stopwatch_runs", row.map(|row| row.0), &columns).map(RunId)
}

pub(crate) fn write_weight(
    conn: &Connection,
    campaign: CampaignId,
    run: &WeightItem,
    row: Option<RunId>,
) -> Result<RunId> {
    let (flight, windows, watch) = match &run.measured {
        WeightItemMeasured::Log { flight, windows } => {
            (Some(within(conn, campaign, *flight)?), windows.as_slice(), None)
        }
        WeightItemMeasured::Stopwatch { with, scenario, timing } => {
            (None, [].as_slice(), Some((with, *scenario, timing)))
        }
    };
    let watch = watch_columns(conn, campaign, watch)?;
    let weight = &run.weight;
    let (side, note) = (of_turned(weight.side), optional(run.note.as_deref())?);
    let (mass, mass_u) = (number("mass", weight.mass_kg)?, number("uncertainty of the mass", weight.mass_std_u_kg)?);
    let (arm, arm_u) = (number("arm", weight.arm_m)?, number("uncertainty of the arm", weight.arm_std_u_m)?);
    let mut columns: Vec<(&str, &dyn ToSql)> = vec![
        ("campaign", &campaign),
        ("mass_kg", &mass),
        ("mass_std_u_kg", &mass_u),
        ("arm_m", &arm),
        ("arm_std_u_m", &arm_u),
        ("side", &side),
        ("flight", &flight),
        ("note", &note),
    ];
    columns.extend(watch.iter().map(|(name, value)| (*name, value.as_ref())));
    let row = write_row(conn, "weight_runs", row.map(|row| row.0), &columns)?;
    conn.execute("DELETE FROM weight_run_windows WHERE run = ?1", [row])?;
    for window in windows {
        conn.execute("INSERT INTO weight_run_windows (run, window) VALUES (?1, ?2)", params![row, window])?;
    }
    Ok(RunId(row))
}

/// The flight, if it is of this campaign.
fn within(conn: &Connection, campaign: CampaignId, flight: FlightId) -> Result<FlightId> {
    let sql = "SELECT 1 FROM flights WHERE id = ?1 AND campaign = ?2";
    conn.query_row(sql, params![flight, campaign], |_| Ok(())).optional()?.ok_or(GONE)?;
    Ok(flight)
}
