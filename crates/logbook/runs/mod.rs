//! Runs without a log of their own: timed with a stopwatch, or with a known weight.

mod read;
mod write;

pub(crate) use read::{stopwatch_runs, weight_runs};
pub(crate) use write::{write_stopwatch, write_weight};

use crate::{CampaignId, FlightId, Logbook, LogbookError, Result, RunId};
use chrono::NaiveDate;
use driftless_analysis::Scenario;
use driftless_analysis::campaign::model::{HungWeight, Timing};

/// What a run was flown with, by keys.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct WithKeys {
    /// Set-up.
    pub setup: String,
    /// Wing.
    pub wing: String,
    /// Pilot, where named.
    pub pilot: Option<String>,
}

/// A run timed with a stopwatch.
#[derive(Debug, Clone, PartialEq)]
pub struct StopwatchItem {
    /// What it was flown with.
    pub with: WithKeys,
    /// Scenario.
    pub scenario: Scenario,
    /// What the watch said.
    pub timing: Timing,
    /// Who timed.
    pub timed_by: Option<String>,
    /// Day.
    pub date: Option<NaiveDate>,
    /// Flight and number of the window that was timed, where there is a log of it.
    pub same_run: Option<(FlightId, u32)>,
    /// Note.
    pub note: Option<String>,
}

/// A run with a known weight.
#[derive(Debug, Clone, PartialEq)]
pub struct WeightItem {
    /// The weight.
    pub weight: HungWeight,
    /// How its turn rate is known.
    pub measured: WeightItemMeasured,
    /// Note.
    pub note: Option<String>,
}

/// How the turn rate of a known-weight run is known.
#[derive(Debug, Clone, PartialEq)]
pub enum WeightItemMeasured {
    /// By windows of a flight; without numbers, by all of them.
    Log {
        /// The flight.
        flight: FlightId,
        /// Numbers of the windows; empty for all.
        windows: Vec<u32>,
    },
    /// With a stopwatch.
    Stopwatch {
        /// What it was flown with.
        with: WithKeys,
        /// Scenario.
        scenario: Scenario,
        /// What the watch said.
        timing: Timing,
    },
}

impl Logbook {
    /// Stopwatch runs of a campaign, in the order in which they came.
    ///
    /// # Errors
    /// What the database says.
    pub fn stopwatch_runs(&self, campaign: CampaignId) -> Result<Vec<(RunId, StopwatchItem)>> {
        stopwatch_runs(&self.conn, campaign)
    }

    /// Known-weight runs of a campaign, in the order in which they came.
    ///
    /// # Errors
    /// What the database says.
    pub fn weight_runs(&self, campaign: CampaignId) -> Result<Vec<(RunId, WeightItem)>> {
        weight_runs(&self.conn, campaign)
    }

    /// Puts a stopwatch run into a campaign: in the place of `replacing`, else as a new one.
    ///
    /// # Errors
    /// Parts that are not described; values that a campaign file would not be allowed either.
    pub fn put_stopwatch_run(
        &mut self,
        campaign: CampaignId,
        run: &StopwatchItem,
        replacing: Option<RunId>,
    ) -> Result<RunId> {
        self.change_parts(campaign, |tx| {
            there(tx, "stopwatch_runs", campaign, replacing)?;
            write_stopwatch(tx, campaign, run, replacing)
        })
    }

    /// Puts a known-weight run into a campaign: in the place of `replacing`, else as a new one.
    ///
    /// # Errors
    /// Parts that are not described; values that a campaign file would not be allowed either.
    pub fn put_weight_run(
        &mut self,
        campaign: CampaignId,
        run: &WeightItem,
        replacing: Option<RunId>,
    ) -> Result<RunId> {
        self.change_parts(campaign, |tx| {
            there(tx, "weight_runs", campaign, replacing)?;
            write_weight(tx, campaign, run, replacing)
        })
    }

    /// Removes a stopwatch run.
    ///
    /// # Errors
    /// One that is gone.
    pub fn remove_stopwatch_run(&mut self, id: RunId) -> Result<()> {
        removed(self.conn.execute("DELETE FROM stopwatch_runs WHERE id = ?1", [id])?)
    }

    /// Removes a known-weight run.
    ///
    /// # Errors
    /// One that is gone.
    pub fn remove_weight_run(&mut self, id: RunId) -> Result<()> {
        removed(self.conn.execute("DELETE FROM weight_runs WHERE id = ?1", [id])?)
    }
}

const GONE: LogbookError = LogbookError::Gone { what: "run" };

const fn removed(rows: usize) -> Result<()> {
    if rows == 0 { Err(GONE) } else { Ok(()) }
}

/// Refuses to replace what is not a run of this campaign.
fn there(conn: &rusqlite::Connection, table: &str, campaign: CampaignId, replacing: Option<RunId>) -> Result<()> {
    let Some(run) = replacing else { return Ok(()) };
    let sql = format!("SELECT count(*) FROM {table} WHERE id = ?1 AND campaign = ?2");
    let found: i64 = conn.query_row(&sql, rusqlite::params![run, campaign], |row| row.get(0))?;
    removed(usize::try_from(found).unwrap_or(0))
}
