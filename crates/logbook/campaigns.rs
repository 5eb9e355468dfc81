//! Campaigns: what they are called and what is wished of them.

use crate::campaign_out::accept;
use crate::files::forget_unused;
use crate::names::{optional, required};
use crate::{CampaignId, Logbook, LogbookError, Result};
use driftless_analysis::Scenario;
use driftless_analysis::campaign::model::{Campaign, PlanWishes};
use rusqlite::{Connection, OptionalExtension, named_params};
use std::collections::BTreeMap;

/// A campaign in a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CampaignEntry {
    /// Which.
    pub id: CampaignId,
    /// Its title.
    pub title: String,
    /// How many flights it has.
    pub flights: usize,
}

/// What is said of a campaign as a whole.
#[derive(Debug, Clone, PartialEq)]
pub struct CampaignHead {
    /// Title.
    pub title: String,
    /// Who flies it.
    pub club: Option<String>,
    /// Note.
    pub note: Option<String>,
    /// Half-width that the 95 % interval of a compensation should reach, percentage points.
    pub wished_half_width_percent: f64,
    /// Residual turn that is still fine, °/min.
    pub tolerated_turn_deg_min: f64,
    /// How much each scenario counts in a recommendation; one that is not named counts 1.
    pub scenario_weights: BTreeMap<Scenario, f64>,
    /// Wishes for the next flights.
    pub plan: PlanWishes,
}

impl CampaignHead {
    /// What a campaign says of itself.
    pub fn of(campaign: &Campaign) -> Self {
        Self {
            title: campaign.title.clone(),
            club: campaign.club.clone(),
            note: campaign.note.clone(),
            wished_half_width_percent: campaign.wished_half_width_percent,
            tolerated_turn_deg_min: campaign.tolerated_turn_deg_min,
            scenario_weights: campaign.scenario_weights.clone(),
            plan: campaign.plan.clone(),
        }
    }
}

impl Logbook {
    /// All campaigns, oldest first.
    ///
    /// # Errors
    /// What the database says.
    pub fn campaigns(&self) -> Result<Vec<CampaignEntry>> {
        let mut statement = self.conn.prepare(
            "SELECT id, title, (SELECT count(*) FROM flights WHERE campaign = campaigns.id) FROM campaigns ORDER BY id",
        )?;
        let rows = statement.query_map([], |row| {
            let flights: i64 = row.get(2)?;
            Ok(CampaignEntry { id: row.get(0)?, title: row.get(1)?, flights: usize::try_from(flights).unwrap_or(0) })
        })?;
        Ok(rows.collect::<rusqlite::Result<_>>()?)
    }

    /// A new campaign with nothing in it.
    ///
    /// # Errors
    /// An empty title.
    pub fn new_campaign(&mut self, title: &str) -> Result<CampaignId> {
        let tx = self.change()?;
        let id = insert(&tx, title)?;
        tx.commit()?;
        Ok(id)
    }

    /// What is said of a campaign as a whole.
    ///
    /// # Errors
    /// A campaign that is gone.
    pub fn campaign_head(&self, id: CampaignId) -> Result<CampaignHead> {
        read_head(&self.conn, id)
    }

    /// Says something else of a campaign as a whole.
    ///
    /// # Errors
    /// What a campaign file would not be allowed either; a campaign that is gone.
    pub fn update_campaign(&mut self, id: CampaignId, head: &CampaignHead) -> Result<()> {
        let tx = self.change()?;
        write_head(&tx, id, head)?;
        accept(&tx, id)?;
        tx.commit()?;
        Ok(())
    }

    /// Gives a campaign another title.
    ///
    /// # Errors
    /// An empty title; a campaign that is gone.
    pub fn rename_campaign(&mut self, id: CampaignId, title: &str) -> Result<()> {
        let head = CampaignHead { title: title.to_owned(), ..self.campaign_head(id)? };
        self.update_campaign(id, &head)
    }

    /// Removes a campaign with its flights and everything in it. The last one stays.
    ///
    /// # Errors
    /// The last campaign; one that is gone.
    pub fn remove_campaign(&mut self, id: CampaignId) -> Result<()> {
        let tx = self.change()?;
        if tx.query_row("SELECT count(*) FROM campaigns", [], |row| row.get::<_, i64>(0))? == 1 {
            return Err(LogbookError::refused("this is the only campaign; begin another before you remove it"));
        }
        if tx.execute("DELETE FROM campaigns WHERE id = ?1", [id])? == 0 {
            return Err(GONE);
        }
        forget_unused(&tx)?;
        tx.commit()?;
        Ok(())
    }
}

pub(crate) const GONE: LogbookError = LogbookError::Gone { what: "campaign" };

pub(crate) fn insert(conn: &Connection, title: &str) -> Result<CampaignId> {
    conn.execute("INSERT INTO campaigns (title) VALUES (?1)", [required("title", title)?])?;
    Ok(CampaignId(conn.last_insert_rowid()))
}

/// Columns of the weights.
const WEIGHTS: [(Scenario, &str); 4] = [
    (Scenario::TrimLevel, "weight_trim_level"),
    (Scenario::AcceleratedLevel, "weight_accelerated_level"),
    (Scenario::FullPowerClimb, "weight_full_power_climb"),
    (Scenario::PowerOffGlide, "weight_power_off_glide"),
];

pub(crate) fn read_head(conn: &Connection, id: CampaignId) -> Result<CampaignHead> {
    let head = conn.query_row("SELECT * FROM campaigns WHERE id = ?1", [id], |row| {
        Ok(CampaignHead {
            title: row.get("title")?,
            club: row.get("club")?,
            note: row.get("note")?,
            wished_half_width_percent: row.get("wished_half_width_percent")?,
            tolerated_turn_deg_min: row.get("tolerated_turn_deg_min")?,
            scenario_weights: WEIGHTS
                .iter()
                .map(|(scenario, column)| Ok((*scenario, row.get(*column)?)))
                .collect::<rusqlite::Result<_>>()?,
            plan: PlanWishes {
                seed: row.get::<_, u32>("plan_seed")?.into(),
                repeats: row.get("plan_repeats")?,
                days: row.get("plan_days")?,
                hands_off_s: row.get("plan_hands_off_s")?,
                height_low_m: row.get("plan_height_low_m")?,
                height_high_m: row.get("plan_height_high_m")?,
                abort_height_m: row.get("plan_abort_height_m")?,
                wind_limit_mps: row.get("plan_wind_limit_mps")?,
            },
        })
    });
    head.optional()?.ok_or(GONE)
}

pub(crate) fn write_head(conn: &Connection, id: CampaignId, head: &CampaignHead) -> Result<()> {
    let weight = |scenario| head.scenario_weights.get(&scenario).copied().unwrap_or(1.0);
    let seed = u32::try_from(head.plan.seed)
        .map_err(|_| LogbookError::refused(format!("the seed of the plan must lie between 0 and {}", u32::MAX)))?;
    let changed = conn.execute(
        "UPDATE campaigns SET title = :title, club = :club, note = :note, \
         wished_half_width_percent = :half_width, tolerated_turn_deg_min = :tolerated, \
         weight_trim_level = :trim, weight_accelerated_level = :accelerated, \
         weight_full_power_climb = :climb, weight_power_off_glide = :glide, \
         plan_seed = :seed, plan_repeats = :repeats, plan_days = :days, plan_hands_off_s = :hands_off, \
         plan_height_low_m = :low, plan_height_high_m = :high, plan_abort_height_m = :abort, \
         plan_wind_limit_mps = :wind WHERE id = :id",
        named_params! {
            ":id": id,
            ":title": required("title", &head.title)?,
            ":club": optional(head.club.as_deref())?,
            ":note": optional(head.note.as_deref())?,
            ":half_width": head.wished_half_width_percent,
            ":tolerated": head.tolerated_turn_deg_min,
            ":trim": weight(Scenario::TrimLevel),
            ":accelerated": weight(Scenario::AcceleratedLevel),
            ":climb": weight(Scenario::FullPowerClimb),
            ":glide": weight(Scenario::PowerOffGlide),
            ":seed": seed,
            ":repeats": head.plan.repeats,
            ":days": head.plan.days,
            ":hands_off": head.plan.hands_off_s,
            ":low": head.plan.height_low_m,
            ":high": head.plan.height_high_m,
            ":abort": head.plan.abort_height_m,
            ":wind": head.plan.wind_limit_mps,
        },
    )?;
    if changed == 0 { Err(GONE) } else { Ok(()) }
}
