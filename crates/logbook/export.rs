//! A campaign as the files that a folder of it has.

use crate::campaign_out::{Paths, read_with_paths};
use crate::stored::{Beside, inertial};
use crate::{CampaignId, FlightId, Logbook, Result, files};
use driftless_analysis::campaign::file::write;
use rusqlite::Connection;

/// A campaign as files.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Exported {
    /// Path, from the folder of the campaign, and content: first `campaign.toml`, then what it names in `logs`, `marks`,
    /// `imu` and `maps`.
    pub files: Vec<(String, Vec<u8>)>,
    /// Flights that are not in it, because set-up or wing are not known yet.
    pub waiting: Vec<FlightId>,
}

/// Name of the campaign file in an export.
pub(crate) const CAMPAIGN_FILE: &str = "campaign.toml";

impl Logbook {
    /// A campaign as the files that a folder of it has: the campaign file, and what it names. Marks are written as they
    /// count now.
    ///
    /// # Errors
    /// A campaign that is gone; bytes that are damaged.
    pub fn export_campaign(&self, id: CampaignId) -> Result<Exported> {
        let (out, all_paths) = read_with_paths(&self.conn, id)?;
        let mut files = vec![(CAMPAIGN_FILE.to_owned(), write(&out.campaign).into_bytes())];
        for (flight, paths) in out.flights.iter().zip(all_paths) {
            flight_files(&self.conn, *flight, paths, &mut files)?;
        }
        Ok(Exported { files, waiting: out.waiting })
    }
}

/// Files of a flight; those are missing that a flight left out has lost.
fn flight_files(conn: &Connection, id: FlightId, paths: Paths, to: &mut Vec<(String, Vec<u8>)>) -> Result<()> {
    let beside = Beside::of(conn, id)?;
    if let Some(log) = beside.log {
        to.push((paths.log, files::bytes(conn, log, &beside.name)?));
    }
    let texts = [(paths.marks, beside.marks(conn, id)?), (paths.csv_mapping, beside.csv_mapping(conn)?)];
    for (path, text) in texts {
        to.extend(path.zip(text).map(|(path, text)| (path, text.text.into_bytes())));
    }
    for (path, (_, file)) in paths.inertial.into_iter().zip(inertial(conn, id)?) {
        let Some(file) = file else { continue };
        to.extend(file.mapping_toml.map(|text| (format!("{path}.toml"), text.into_bytes())));
        to.push((path, file.bytes.to_vec()));
    }
    Ok(())
}
