//! Parts of a campaign into their tables: a new row, or another content of a row that is there.

use super::{Part, SetupItem, row_of, row_or_none};
use crate::names::{optional, required};
use crate::words::{of_device_kind, of_propeller};
use crate::{CampaignId, LogbookError, Result};
use driftless_analysis::campaign::model::{Device, Pilot, PowerUnit, Wing};
use rusqlite::{Connection, ToSql, params};

/// Writes named columns: as a new row, or over the row of this id.
pub(crate) fn write_row(
    conn: &Connection,
    table: &str,
    row: Option<i64>,
    columns: &[(&str, &dyn ToSql)],
) -> Result<i64> {
    let names: Vec<&str> = columns.iter().map(|(name, _)| *name).collect();
    let mut values: Vec<&dyn ToSql> = columns.iter().map(|(_, value)| *value).collect();
    let Some(row) = row else {
        let places: Vec<String> = (1..=names.len()).map(|n| format!("?{n}")).collect();
        let sql = format!("INSERT INTO {table} ({}) VALUES ({})", names.join(", "), places.join(", "));
        conn.prepare_cached(&sql)?.execute(values.as_slice())?;
        return Ok(conn.last_insert_rowid());
    };
    let set: Vec<String> = names.iter().enumerate().map(|(i, name)| format!("{name} = ?{}", i + 1)).collect();
    let sql = format!("UPDATE {table} SET {} WHERE id = ?{}", set.join(", "), names.len() + 1);
    values.push(&row);
    conn.prepare_cached(&sql)?.execute(values.as_slice())?;
    Ok(row)
}

macro_rules! insert {
    ($($insert:ident $write:ident $item:ident;)+) => {$(
        /// A new row.
        pub(crate) fn $insert(conn: &Connection, campaign: CampaignId, item: &$item) -> Result<i64> {
            $write(conn, campaign, item, None)
        }
    )+};
}

insert! {
    insert_power_unit write_power_unit PowerUnit;
    insert_device write_device Device;
    insert_wing write_wing Wing;
    insert_pilot write_pilot Pilot;
    insert_setup write_setup SetupItem;
}

pub(super) fn write_power_unit(
    conn: &Connection,
    campaign: CampaignId,
    unit: &PowerUnit,
    row: Option<i64>,
) -> Result<i64> {
    let row = write_row(
        conn,
        Part::PowerUnit.table(),
        row,
        &[
            ("campaign", &campaign),
            ("key", &required("key", &unit.key)?),
            ("name", &required("name", &unit.name)?),
            ("reduction_ratio", &number("reduction ratio", unit.reduction_ratio)?),
            ("drive_efficiency", &number("efficiency of the drive", unit.drive_efficiency)?),
            ("propeller", &of_propeller(unit.propeller)),
        ],
    )?;
    conn.execute("DELETE FROM engine_points WHERE power_unit = ?1", [row])?;
    for (scenario, point) in &unit.engine {
        conn.execute(
            "INSERT INTO engine_points (power_unit, scenario, power_kw, power_std_u_kw, speed_rpm) \
             VALUES (?1, ?2, ?3, ?4, ?5)",
            params![
                row,
                scenario.name(),
                number("engine power", point.power_kw)?,
                number("uncertainty of the engine power", point.power_std_u_kw)?,
                number("engine speed", point.speed_rpm)?
            ],
        )?;
    }
    Ok(row)
}

pub(super) fn write_device(conn: &Connection, campaign: CampaignId, device: &Device, row: Option<i64>) -> Result<i64> {
    write_row(
        conn,
        Part::Device.table(),
        row,
        &[
            ("campaign", &campaign),
            ("key", &required("key", &device.key)?),
            ("name", &required("name", &device.name)?),
            ("model", &device.model.map(of_device_kind)),
            ("setting_unit", &optional(device.setting_unit.as_deref())?),
            ("lowest_setting", &device.setting_range.map(|(low, _)| low)),
            ("highest_setting", &device.setting_range.map(|(_, high)| high)),
        ],
    )
}

pub(super) fn write_wing(conn: &Connection, campaign: CampaignId, wing: &Wing, row: Option<i64>) -> Result<i64> {
    write_row(
        conn,
        Part::Wing.table(),
        row,
        &[
            ("campaign", &campaign),
            ("key", &required("key", &wing.key)?),
            ("name", &required("name", &wing.name)?),
            ("area_m2", &wing.area_m2),
            ("mass_kg", &wing.mass_kg),
            ("class", &optional(wing.class.as_deref())?),
        ],
    )
}

pub(super) fn write_pilot(conn: &Connection, campaign: CampaignId, pilot: &Pilot, row: Option<i64>) -> Result<i64> {
    write_row(
        conn,
        Part::Pilot.table(),
        row,
        &[
            ("campaign", &campaign),
            ("key", &required("key", &pilot.key)?),
            ("name", &required("name", &pilot.name)?),
            ("all_up_kg", &pilot.all_up_kg),
            ("body_kg", &pilot.body_kg),
            ("student", &pilot.student),
        ],
    )
}

pub(super) fn write_setup(conn: &Connection, campaign: CampaignId, setup: &SetupItem, row: Option<i64>) -> Result<i64> {
    let part = |part, key: &Option<String>| row_or_none(conn, campaign, part, key.as_deref());
    write_row(
        conn,
        Part::Setup.table(),
        row,
        &[
            ("campaign", &campaign),
            ("key", &required("key", &setup.key)?),
            ("name", &required("name", &setup.name)?),
            ("power_unit", &row_of(conn, campaign, Part::PowerUnit, &setup.power_unit)?),
            ("device", &part(Part::Device, &setup.device)?),
            ("setting", &setup.setting),
            ("wing", &part(Part::Wing, &setup.wing)?),
            ("pilot", &part(Part::Pilot, &setup.pilot)?),
            ("baseline", &part(Part::Setup, &setup.baseline)?),
            ("claimed_compensation_percent", &setup.claim.compensation_percent),
            ("claimed_drift_deg_min", &setup.claim.drift_deg_min),
        ],
    )
}

/// A figure that must be there; the database takes NaN for nothing.
pub(crate) fn number(what: &str, value: f64) -> Result<f64> {
    if value.is_finite() { Ok(value) } else { Err(LogbookError::refused(format!("the {what} is no number"))) }
}
