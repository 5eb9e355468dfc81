//! A campaign file and what it names into the logbook.

use crate::campaign_out::accept;
use crate::campaigns::{CampaignHead, insert, write_head};
use crate::flights::{self, About, NewRow, take_inertial, take_text, write_about, write_left_out};
use crate::names::{required, without_folders};
use crate::parts::{SetupItem, insert_device, insert_pilot, insert_power_unit, insert_setup, insert_wing};
use crate::runs::{StopwatchItem, WeightItem, WeightItemMeasured, WithKeys, write_stopwatch, write_weight};
use crate::{CampaignId, FlightId, Logbook, LogbookError, Result, files};
use chrono::{DateTime, Utc};
use driftless_analysis::campaign::model::{Campaign, Flight, FlownWith, Setup, WeightMeasured};
use driftless_analysis::{InertialFile, TextFile};
use rusqlite::{Connection, OptionalExtension, params};

/// Gives the bytes of a file by its path as the campaign file has it; `None` where it is not there.
type Get<'a> = &'a dyn Fn(&str) -> Option<Vec<u8>>;

impl Logbook {
    /// Puts a whole campaign into the logbook, as a new one. `get` gives the files by the paths written in it, and the
    /// mapping of an inertial file by that path with `.toml` behind it.
    ///
    /// # Errors
    /// A file that is not there, unless its flight is left out; two flights with the same log. Nothing is put in then.
    pub fn import_campaign(&mut self, campaign: &Campaign, get: Get<'_>, now: DateTime<Utc>) -> Result<CampaignId> {
        let tx = self.change()?;
        let id = insert(&tx, &campaign.title)?;
        write_head(&tx, id, &CampaignHead::of(campaign))?;
        parts(&tx, id, campaign)?;
        let flights: Vec<FlightId> = campaign
            .flights
            .iter()
            .map(|flight| import_flight(&tx, id, campaign, flight, get, now))
            .collect::<Result<_>>()?;
        runs(&tx, id, campaign, &flights)?;
        accept(&tx, id)?;
        tx.commit()?;
        Ok(id)
    }
}

fn parts(conn: &Connection, id: CampaignId, campaign: &Campaign) -> Result<()> {
    campaign.power_units.iter().try_for_each(|unit| insert_power_unit(conn, id, unit).map(drop))?;
    campaign.devices.iter().try_for_each(|device| insert_device(conn, id, device).map(drop))?;
    campaign.wings.iter().try_for_each(|wing| insert_wing(conn, id, wing).map(drop))?;
    campaign.pilots.iter().try_for_each(|pilot| insert_pilot(conn, id, pilot).map(drop))?;
    // A baseline may stand behind the set-ups that name it.
    for setup in &campaign.setups {
        insert_setup(conn, id, &setup_item(campaign, setup))?;
    }
    for setup in &campaign.setups {
        if let Some(baseline) = setup.baseline {
            conn.execute(
                "UPDATE setups SET baseline = (SELECT id FROM setups WHERE campaign = ?1 AND key = ?3) \
                 WHERE campaign = ?1 AND key = ?2",
                params![id, setup.key, campaign.setup(baseline).key],
            )?;
        }
    }
    Ok(())
}

/// A set-up by keys, its baseline left out.
fn setup_item(campaign: &Campaign, setup: &Setup) -> SetupItem {
    SetupItem {
        key: setup.key.clone(),
        name: setup.name.clone(),
        power_unit: campaign.power_unit(setup.power_unit).key.clone(),
        device: setup.device.map(|id| campaign.device(id).key.clone()),
        setting: setup.setting,
        wing: setup.wing.map(|id| campaign.wing(id).key.clone()),
        pilot: setup.pilot.map(|id| campaign.pilot(id).key.clone()),
        baseline: None,
        claim: setup.claim,
    }
}

fn with_keys(campaign: &Campaign, with: FlownWith) -> WithKeys {
    WithKeys {
        setup: campaign.setup(with.setup).key.clone(),
        wing: campaign.wing(with.wing).key.clone(),
        pilot: with.pilot.map(|id| campaign.pilot(id).key.clone()),
    }
}

fn import_flight(
    conn: &Connection,
    id: CampaignId,
    campaign: &Campaign,
    flight: &Flight,
    get: Get<'_>,
    now: DateTime<Utc>,
) -> Result<FlightId> {
    // Nobody reads the files of a flight that is left out: they may be gone.
    let file = |path: &str| match get(path) {
        None if flight.exclude.is_none() => Err(LogbookError::NoFile { path: path.to_owned() }),
        found => Ok(found),
    };
    let log = file(&flight.log)?.map(|bytes| files::keep(conn, &bytes)).transpose()?;
    if let Some(first) = key_of(conn, id, log)? {
        return Err(LogbookError::SameLog { first, second: flight.key.clone() });
    }
    let name = required("name of the log", without_folders(&flight.log))?;
    let row = NewRow { key: required("key", &flight.key)?, name, log, added_utc: now };
    let stored = flights::insert(conn, id, &row)?;
    for (column, path) in [("marks", &flight.marks), ("csv_mapping", &flight.csv_map)] {
        let Some(path) = path else { continue };
        match file(path)? {
            Some(bytes) => {
                take_text(conn, stored, column, &text_file(path, bytes)?)?;
            }
            None => {
                let sql = format!("UPDATE flights SET {column}_name = ?2 WHERE id = ?1");
                conn.execute(&sql, params![stored, without_folders(path)])?;
            }
        }
    }
    for path in &flight.imu {
        match file(path)? {
            Some(bytes) => {
                let mapping = get(&format!("{path}.toml")).map(|bytes| text_file(path, bytes)).transpose()?;
                let mapping = mapping.map(|mapping| mapping.text);
                take_inertial(conn, stored, &InertialFile::new(path.clone(), bytes, mapping))?;
            }
            None => {
                let sql = "INSERT INTO inertial_files (flight, name) VALUES (?1, ?2)";
                conn.execute(sql, params![stored, without_folders(path)])?;
            }
        }
    }
    let with = with_keys(campaign, flight.with);
    let about = About {
        setup: Some(with.setup),
        wing: Some(with.wing),
        pilot: with.pilot,
        scenario: flight.scenario,
        take_candidates: flight.take_candidates,
        exclude: flight.exclude.clone(),
        leave_out: Vec::new(),
        temperature_c: flight.temperature_c,
        qnh_hpa: flight.qnh_hpa,
        altitude_note: flight.altitude_note.clone(),
        note: flight.note.clone(),
    };
    write_about(conn, id, stored, &about)?;
    write_left_out(conn, stored, &flight.leave_out)?;
    Ok(stored)
}

/// The key of the flight of a campaign that has this log.
fn key_of(conn: &Connection, id: CampaignId, log: Option<files::FileRow>) -> Result<Option<String>> {
    let sql = "SELECT key FROM flights WHERE campaign = ?1 AND log = ?2";
    Ok(conn.query_row(sql, params![id, log], |row| row.get(0)).optional()?)
}

fn text_file(path: &str, bytes: Vec<u8>) -> Result<TextFile> {
    let text = String::from_utf8(bytes).map_err(|_| LogbookError::NoText { path: path.to_owned() })?;
    Ok(TextFile { name: path.to_owned(), text })
}

fn runs(conn: &Connection, id: CampaignId, campaign: &Campaign, flights: &[FlightId]) -> Result<()> {
    let stored = |flight: driftless_analysis::campaign::model::FlightId| {
        flights.get(flight.0).copied().ok_or(LogbookError::Gone { what: "flight" })
    };
    for run in &campaign.stopwatch_runs {
        let same_run = run.same_run.map(|of| Ok::<_, LogbookError>((stored(of.flight)?, of.window))).transpose()?;
        let item = StopwatchItem {
            with: with_keys(campaign, run.with),
            scenario: run.scenario,
            timing: run.timing.clone(),
            timed_by: run.timed_by.clone(),
            date: run.date,
            same_run,
            note: run.note.clone(),
        };
        write_stopwatch(conn, id, &item, None)?;
    }
    for run in &campaign.weight_runs {
        let measured = match &run.measured {
            WeightMeasured::Log { flight, windows } => {
                WeightItemMeasured::Log { flight: stored(*flight)?, windows: windows.clone() }
            }
            WeightMeasured::Stopwatch { with, scenario, timing } => WeightItemMeasured::Stopwatch {
                with: with_keys(campaign, *with),
                scenario: *scenario,
                timing: timing.clone(),
            },
        };
        write_weight(conn, id, &WeightItem { weight: run.weight, measured, note: run.note.clone() }, None)?;
    }
    Ok(())
}
