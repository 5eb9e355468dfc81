//! Power units, torque devices, wings, pilots and set-ups of a campaign, by their keys.

mod read;
mod write;

pub(crate) use read::{Rows, devices, pilots, power_units, setups, wings};
pub(crate) use write::{insert_device, insert_pilot, insert_power_unit, insert_setup, insert_wing, number, write_row};

use crate::campaign_out::accept;
use crate::names::required;
use crate::{CampaignId, Logbook, LogbookError, Result};
use driftless_analysis::campaign::model::{Claim, Device, Pilot, PowerUnit, Wing};
use rusqlite::{Connection, OptionalExtension, Transaction, params};

/// A set-up, the parts it is made of named by their keys.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SetupItem {
    /// Key.
    pub key: String,
    /// Name in reports.
    pub name: String,
    /// Power unit.
    pub power_unit: String,
    /// Torque device; `None` for the bare power unit.
    pub device: Option<String>,
    /// Setting of the device, in its own unit.
    pub setting: Option<f64>,
    /// Wing of its flights, unless a flight names another.
    pub wing: Option<String>,
    /// Pilot of its flights, unless a flight names another.
    pub pilot: Option<String>,
    /// The set-up with the same power unit and no torque device, to compare with.
    pub baseline: Option<String>,
    /// What somebody claims of it.
    pub claim: Claim,
}

/// A kind of part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Part {
    PowerUnit,
    Device,
    Wing,
    Pilot,
    Setup,
}

impl Part {
    pub(crate) const fn table(self) -> &'static str {
        match self {
            Self::PowerUnit => "power_units",
            Self::Device => "devices",
            Self::Wing => "wings",
            Self::Pilot => "pilots",
            Self::Setup => "setups",
        }
    }

    /// As people call it.
    pub(crate) const fn what(self) -> &'static str {
        match self {
            Self::PowerUnit => "power unit",
            Self::Device => "torque device",
            Self::Wing => "wing",
            Self::Pilot => "pilot",
            Self::Setup => "set-up",
        }
    }

    /// Tables and columns that may point to it, and what their rows are called, one and several.
    const fn users(self) -> &'static [(&'static str, &'static str, [&'static str; 2])] {
        const FLIGHTS: [&str; 2] = ["flight", "flights"];
        const SETUPS: [&str; 2] = ["set-up", "set-ups"];
        const WATCH: [&str; 2] = ["stopwatch run", "stopwatch runs"];
        const WEIGHT: [&str; 2] = ["known-weight run", "known-weight runs"];
        match self {
            Self::PowerUnit => &[("setups", "power_unit", SETUPS)],
            Self::Device => &[("setups", "device", SETUPS)],
            Self::Wing => &[
                ("setups", "wing", SETUPS),
                ("flights", "wing", FLIGHTS),
                ("stopwatch_runs", "wing", WATCH),
                ("weight_runs", "wing", WEIGHT),
            ],
            Self::Pilot => &[
                ("setups", "pilot", SETUPS),
                ("flights", "pilot", FLIGHTS),
                ("stopwatch_runs", "pilot", WATCH),
                ("weight_runs", "pilot", WEIGHT),
            ],
            Self::Setup => &[
                ("setups", "baseline", SETUPS),
                ("flights", "setup", FLIGHTS),
                ("stopwatch_runs", "setup", WATCH),
                ("weight_runs", "setup", WEIGHT),
            ],
        }
    }
}

/// The row of a part by its key.
pub(crate) fn row_of(conn: &Connection, campaign: CampaignId, part: Part, key: &str) -> Result<i64> {
    let sql = format!("SELECT id FROM {} WHERE campaign = ?1 AND key = ?2", part.table());
    let found = conn.query_row(&sql, params![campaign, key], |row| row.get(0)).optional()?;
    found.ok_or_else(|| LogbookError::NoSuch { what: part.what(), key: key.to_owned() })
}

/// The same where none may be named.
pub(crate) fn row_or_none(
    conn: &Connection,
    campaign: CampaignId,
    part: Part,
    key: Option<&str>,
) -> Result<Option<i64>> {
    key.map(|key| row_of(conn, campaign, part, key)).transpose()
}

/// Finds the row to replace, and refuses a key or name that another part of the kind has: in a list two things never look
/// alike.
fn place(
    conn: &Connection,
    campaign: CampaignId,
    part: Part,
    (key, name): (&str, &str),
    replacing: Option<&str>,
) -> Result<Option<i64>> {
    let replaced = row_or_none(conn, campaign, part, replacing)?;
    for (column, value) in [("key", required("key", key)?), ("name", required("name", name)?)] {
        let sql =
            format!("SELECT count(*) FROM {} WHERE campaign = ?1 AND {column} = ?2 AND id IS NOT ?3", part.table());
        if conn.query_row(&sql, params![campaign, value, replaced], |row| row.get::<_, i64>(0))? > 0 {
            return Err(LogbookError::Taken { what: part.what(), key: value });
        }
    }
    Ok(replaced)
}

/// Removes a part that nothing uses.
fn remove(conn: &Connection, campaign: CampaignId, part: Part, key: &str) -> Result<()> {
    let row = row_of(conn, campaign, part, key)?;
    let mut by = Vec::new();
    for (table, column, [one, several]) in part.users() {
        let sql = format!("SELECT count(*) FROM {table} WHERE {column} = ?1");
        match conn.query_row(&sql, [row], |row| row.get::<_, i64>(0))? {
            0 => {}
            1 => by.push(format!("1 {one}")),
            more => by.push(format!("{more} {several}")),
        }
    }
    if !by.is_empty() {
        return Err(LogbookError::InUse { what: part.what(), key: key.to_owned(), by: by.join(", ") });
    }
    conn.execute(&format!("DELETE FROM {} WHERE id = ?1", part.table()), [row])?;
    Ok(())
}

macro_rules! put_and_remove {
    ($($put:ident $remove:ident $item:ident $part:ident $update:ident;)+) => {
        impl Logbook {$(
            #[doc = concat!("Puts a part into a campaign: in the place of the one of the key `replacing`, else as a new one.")]
            ///
            /// # Errors
            /// A key or name that is taken; values that a campaign file would not be allowed either.
            pub fn $put(&mut self, campaign: CampaignId, item: &$item, replacing: Option<&str>) -> Result<()> {
                self.change_parts(campaign, |tx| {
                    let row = place(tx, campaign, Part::$part, (&item.key, &item.name), replacing)?;
                    write::$update(tx, campaign, item, row).map(drop)
                })
            }

            /// Removes a part that nothing uses.
            ///
            /// # Errors
            /// One that is used, with what uses it; one that is not there.
            pub fn $remove(&mut self, campaign: CampaignId, key: &str) -> Result<()> {
                self.change_parts(campaign, |tx| remove(tx, campaign, Part::$part, key))
            }
        )+}
    };
}

put_and_remove! {
    put_power_unit remove_power_unit PowerUnit PowerUnit write_power_unit;
    put_device remove_device Device Device write_device;
    put_wing remove_wing Wing Wing write_wing;
    put_pilot remove_pilot Pilot Pilot write_pilot;
    put_setup remove_setup SetupItem Setup write_setup;
}

impl Logbook {
    /// A change of a campaign that must leave it one that a campaign file could say.
    pub(crate) fn change_parts<T>(
        &mut self,
        campaign: CampaignId,
        change: impl FnOnce(&Transaction<'_>) -> Result<T>,
    ) -> Result<T> {
        let tx = self.change()?;
        let changed = change(&tx)?;
        accept(&tx, campaign)?;
        tx.commit()?;
        Ok(changed)
    }
}
