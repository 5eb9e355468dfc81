//! Flights in a list, and which of them somebody looks for.

use super::{About, GONE};
use crate::stored::inertial_names;
use crate::words::scenario_or_none;
use crate::{CampaignId, FlightId, Logbook, Result, moment};
use chrono::{DateTime, Utc};
use driftless_analysis::campaign::model::LeftOut;
use rusqlite::{Connection, Row};

/// A flight in a list.
#[derive(Debug, Clone, PartialEq)]
pub struct FlightEntry {
    /// Which.
    pub id: FlightId,
    /// Its campaign.
    pub campaign: CampaignId,
    /// Key by which runs name it.
    pub key: String,
    /// Name of the log as given.
    pub name: String,
    /// SHA-256 of the log, lower-case hex; `None` for a flight that is left out and has lost its log.
    pub log_sha256: Option<String>,
    /// When it was put in.
    pub added_utc: DateTime<Utc>,
    /// What the pilot says of it.
    pub about: About,
    /// Whether set-up or wing are not known yet, so that it takes no part in the campaign.
    pub waiting: bool,
    /// Name of the marks file as given.
    pub marks: Option<String>,
    /// Whether its marks were corrected here, and that is not undone.
    pub corrected: bool,
    /// Names of the inertial files beside it.
    pub inertial: Vec<String>,
}

/// Which flights are looked for; what is left out is not asked.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FlightFilter {
    /// Words that all stand somewhere in what is said of the flight, in any order, capitals or not.
    pub words: String,
    /// Key of the set-up.
    pub setup: Option<String>,
    /// Key of the wing.
    pub wing: Option<String>,
    /// Key of the pilot.
    pub pilot: Option<String>,
    /// Whether set-up or wing are still to be said.
    pub waiting: Option<bool>,
}

/// Flights with the keys and names of what they were flown with. The wing and the pilot of the set-up stand in where the
/// flight names none, and the only wing of a campaign where neither does.
const SELECT: &str = "\
SELECT f.*, log.sha256, s.key AS setup_key, s.name AS setup_name, own_w.key AS wing_key, own_p.key AS pilot_key,
    w.key AS with_wing, w.name AS wing_name, p.key AS with_pilot, p.name AS pilot_name
FROM flights f
LEFT JOIN files log ON log.id = f.log
LEFT JOIN setups s ON s.id = f.setup
LEFT JOIN wings own_w ON own_w.id = f.wing
LEFT JOIN pilots own_p ON own_p.id = f.pilot
LEFT JOIN wings w ON w.id = coalesce(f.wing, s.wing,
    (SELECT min(id) FROM wings WHERE campaign = f.campaign HAVING count(*) = 1))
LEFT JOIN pilots p ON p.id = coalesce(f.pilot, s.pilot)";

/// A flight with what it is looked for by.
struct Found {
    entry: FlightEntry,
    /// Wing and pilot, its own or those of the set-up.
    wing: Option<String>,
    pilot: Option<String>,
    /// Everything that is said of it, in small letters.
    words: String,
}

impl Found {
    fn is_meant(&self, filter: &FlightFilter) -> bool {
        let key = |wanted: &Option<String>, has: &Option<String>| wanted.is_none() || wanted == has;
        key(&filter.setup, &self.entry.about.setup)
            && key(&filter.wing, &self.wing)
            && key(&filter.pilot, &self.pilot)
            && filter.waiting.is_none_or(|waiting| waiting == self.entry.waiting)
            && filter.words.to_lowercase().split_whitespace().all(|word| self.words.contains(word))
    }
}

impl Logbook {
    /// Flights of a campaign, in the order in which they came.
    ///
    /// # Errors
    /// What the database says.
    pub fn flights(&self, campaign: CampaignId, filter: &FlightFilter) -> Result<Vec<FlightEntry>> {
        let mut statement = self.conn.prepare_cached(&format!("{SELECT} WHERE f.campaign = ?1 ORDER BY f.id"))?;
        let found = statement.query_and_then([campaign], |row| read(&self.conn, row))?;
        found
            .filter(|found| found.as_ref().is_ok_and(|found| found.is_meant(filter)) || found.is_err())
            .map(|found| Ok(found?.entry))
            .collect()
    }

    /// One flight.
    ///
    /// # Errors
    /// A flight that is gone.
    pub fn flight(&self, id: FlightId) -> Result<FlightEntry> {
        let mut statement = self.conn.prepare_cached(&format!("{SELECT} WHERE f.id = ?1"))?;
        let mut found = statement.query_and_then([id], |row| read(&self.conn, row))?;
        Ok(found.next().ok_or(GONE)??.entry)
    }
}

fn read(conn: &Connection, row: &Row<'_>) -> Result<Found> {
    let id: FlightId = row.get("id")?;
    let text = |column| row.get::<_, Option<String>>(column);
    let wing = text("with_wing")?;
    let entry = FlightEntry {
        id,
        campaign: row.get("campaign")?,
        key: row.get("key")?,
        name: row.get("name")?,
        log_sha256: text("sha256")?,
        added_utc: moment::parse(&row.get::<_, String>("added_utc")?)?,
        about: About {
            setup: text("setup_key")?,
            wing: text("wing_key")?,
            pilot: text("pilot_key")?,
            scenario: scenario_or_none(text("scenario")?)?,
            take_candidates: row.get("take_candidates")?,
            exclude: text("exclude")?,
            leave_out: left_out(conn, id)?,
            temperature_c: row.get("temperature_c")?,
            qnh_hpa: row.get("qnh_hpa")?,
            altitude_note: text("altitude_note")?,
            note: text("note")?,
        },
        waiting: wing.is_none() || text("setup_key")?.is_none(),
        marks: text("marks_name")?,
        corrected: row.get::<_, Option<i64>>("correction")?.is_some(),
        inertial: inertial_names(conn, id)?,
    };
    let pilot = text("with_pilot")?;
    let about = &entry.about;
    let said = [&about.exclude, &about.altitude_note, &about.note, &about.setup, &wing, &pilot];
    let names = [text("setup_name")?, text("wing_name")?, text("pilot_name")?];
    let scenario = about.scenario.map(driftless_analysis::Scenario::words);
    let words: Vec<&str> = said
        .into_iter()
        .chain(&names)
        .flatten()
        .map(String::as_str)
        .chain([entry.key.as_str(), entry.name.as_str()])
        .chain(scenario)
        .chain(entry.inertial.iter().map(String::as_str))
        .collect();
    let words = words.join("\n").to_lowercase();
    Ok(Found { wing, pilot, words, entry })
}

/// Windows of a flight left out on purpose.
pub(crate) fn left_out(conn: &Connection, flight: FlightId) -> Result<Vec<LeftOut>> {
    let mut statement =
        conn.prepare_cached("SELECT window, reason FROM left_out_windows WHERE flight = ?1 ORDER BY id")?;
    let rows = statement.query_map([flight], |row| Ok(LeftOut { window: row.get(0)?, reason: row.get(1)? }))?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}
