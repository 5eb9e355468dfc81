//! Parts of a campaign from their tables, each list in its order, with the row of each.

use crate::words::{device_kind, propeller, scenario};
use crate::{CampaignId, LogbookError, Result};
use driftless_analysis::campaign::model::{
    Claim, Device, DeviceId, EnginePoint, Pilot, PilotId, PowerUnit, PowerUnitId, Setup, SetupId, Wing, WingId,
};
use rusqlite::{Connection, Row};
use std::collections::BTreeMap;

/// Things of a campaign, and the row of each.
pub(crate) struct Rows<T> {
    pub(crate) items: Vec<T>,
    rows: Vec<i64>,
}

impl<T> Rows<T> {
    /// The place in the list of a row that something points to.
    pub(crate) fn index(&self, row: i64) -> Result<usize> {
        // Rows are in the order of their ids.
        self.rows.binary_search(&row).map_err(|_| LogbookError::damaged("something points into another campaign"))
    }

    /// The same where nothing may be pointed to.
    pub(crate) fn index_or_none(&self, row: Option<i64>) -> Result<Option<usize>> {
        row.map(|row| self.index(row)).transpose()
    }
}

/// Reads a table of a campaign.
pub(crate) fn rows<T>(
    conn: &Connection,
    table: &str,
    campaign: CampaignId,
    mut read: impl FnMut(&Row<'_>) -> Result<T>,
) -> Result<Rows<T>> {
    let sql = format!("SELECT * FROM {table} WHERE campaign = ?1 ORDER BY id");
    let mut statement = conn.prepare_cached(&sql)?;
    let mut found = statement.query([campaign])?;
    let mut all = Rows { items: Vec::new(), rows: Vec::new() };
    while let Some(row) = found.next()? {
        all.rows.push(row.get("id")?);
        all.items.push(read(row)?);
    }
    Ok(all)
}

pub(crate) fn power_units(conn: &Connection, campaign: CampaignId) -> Result<Rows<PowerUnit>> {
    rows(conn, "power_units", campaign, |row| {
        Ok(PowerUnit {
            key: row.get("key")?,
            name: row.get("name")?,
            reduction_ratio: row.get("reduction_ratio")?,
            drive_efficiency: row.get("drive_efficiency")?,
            propeller: propeller(&row.get::<_, String>("propeller")?)?,
            engine: engine(conn, row.get("id")?)?,
        })
    })
}

fn engine(conn: &Connection, unit: i64) -> Result<BTreeMap<driftless_analysis::Scenario, EnginePoint>> {
    let mut statement = conn.prepare_cached("SELECT * FROM engine_points WHERE power_unit = ?1")?;
    let points = statement.query_and_then([unit], |row| {
        let point = EnginePoint {
            power_kw: row.get("power_kw")?,
            power_std_u_kw: row.get("power_std_u_kw")?,
            speed_rpm: row.get("speed_rpm")?,
        };
        Ok((scenario(&row.get::<_, String>("scenario")?)?, point))
    })?;
    points.collect()
}

pub(crate) fn devices(conn: &Connection, campaign: CampaignId) -> Result<Rows<Device>> {
    rows(conn, "devices", campaign, |row| {
        let limit = |column| row.get::<_, Option<f64>>(column);
        Ok(Device {
            key: row.get("key")?,
            name: row.get("name")?,
            model: row.get::<_, Option<String>>("model")?.map(|word| device_kind(&word)).transpose()?,
            setting_unit: row.get("setting_unit")?,
            setting_range: limit("lowest_setting")?.zip(limit("highest_setting")?),
        })
    })
}

pub(crate) fn wings(conn: &Connection, campaign: CampaignId) -> Result<Rows<Wing>> {
    rows(conn, "wings", campaign, |row| {
        Ok(Wing {
            key: row.get("key")?,
            name: row.get("name")?,
            area_m2: row.get("area_m2")?,
            mass_kg: row.get("mass_kg")?,
            class: row.get("class")?,
        })
    })
}

pub(crate) fn pilots(conn: &Connection, campaign: CampaignId) -> Result<Rows<Pilot>> {
    rows(conn, "pilots", campaign, |row| {
        Ok(Pilot {
            key: row.get("key")?,
            name: row.get("name")?,
            all_up_kg: row.get("all_up_kg")?,
            body_kg: row.get("body_kg")?,
            student: row.get("student")?,
        })
    })
}

/// Set-ups, once what they are made of is known.
pub(crate) fn setups(
    conn: &Connection,
    campaign: CampaignId,
    units: &Rows<PowerUnit>,
    devices: &Rows<Device>,
    wings: &Rows<Wing>,
    pilots: &Rows<Pilot>,
) -> Result<Rows<Setup>> {
    let mut baselines: Vec<Option<i64>> = Vec::new();
    let mut all = rows(conn, "setups", campaign, |row| {
        baselines.push(row.get("baseline")?);
        Ok(Setup {
            key: row.get("key")?,
            name: row.get("name")?,
            power_unit: PowerUnitId(units.index(row.get("power_unit")?)?),
            device: devices.index_or_none(row.get("device")?)?.map(DeviceId),
            setting: row.get("setting")?,
            wing: wings.index_or_none(row.get("wing")?)?.map(WingId),
            pilot: pilots.index_or_none(row.get("pilot")?)?.map(PilotId),
            baseline: None,
            claim: Claim {
                compensation_percent: row.get("claimed_compensation_percent")?,
                drift_deg_min: row.get("claimed_drift_deg_min")?,
            },
            line: 0,
        })
    })?;
    for (place, baseline) in baselines.into_iter().enumerate() {
        all.items[place].baseline = all.index_or_none(baseline)?.map(SetupId);
    }
    Ok(all)
}
