//! `driftless logbook import`: a campaign file and what it names, or a ZIP file of both, into a logbook.

use super::open;
use crate::args::LogbookImportArgs;
use crate::campaign::load;
use crate::outcome::Outcome;
use crate::output::to_stdout;
use crate::{flight_files, input};
use anyhow::Context;
use chrono::Utc;
use driftless_analysis::InputLimits;
use driftless_analysis::campaign::model::Flight;
use driftless_logbook::{CampaignId, Logbook};
use driftless_units::printable;
use std::collections::BTreeMap;
use std::path::Path;

pub(super) fn run(args: &LogbookImportArgs, limits: &InputLimits) -> anyhow::Result<Outcome> {
    let name = input::name_of(&args.campaign);
    let (logbook, id) = if is_archive(&args.campaign) {
        let bytes = input::bytes(&args.campaign, limits)?;
        let mut logbook = open(&args.file.logbook)?;
        let id = logbook.import_archive(&bytes, limits, Utc::now()).with_context(|| name.clone())?;
        (logbook, id)
    } else {
        from_file(&args.file.logbook, &args.campaign, limits).with_context(|| name.clone())?
    };
    let campaign = logbook.campaigns()?.into_iter().find(|campaign| campaign.id == id);
    let (title, flights) = campaign.map_or((String::new(), 0), |campaign| (campaign.title, campaign.flights));
    let words = if flights == 1 { "flight" } else { "flights" };
    to_stdout(format!("{name}: \"{}\", {flights} {words}\n", printable(&title)).as_bytes())?;
    Ok(Outcome::Made)
}

/// Whether a name is that of a ZIP file.
pub(super) fn is_archive(path: &Path) -> bool {
    path.extension().is_some_and(|end| end.eq_ignore_ascii_case("zip"))
}

fn from_file(logbook: &Path, campaign: &Path, limits: &InputLimits) -> anyhow::Result<(Logbook, CampaignId)> {
    let loaded = load(campaign, limits)?;
    let mut files = BTreeMap::new();
    for flight in &loaded.campaign.flights {
        read_files(flight, |path| loaded.folder.path(path), limits, &mut files)?;
    }
    let mut logbook = open(logbook)?;
    let id = logbook.import_campaign(&loaded.campaign, &|path| files.get(path).cloned(), Utc::now())?;
    Ok((logbook, id))
}

/// Reads the files of a flight; of one that is left out, those that are there.
fn read_files(
    flight: &Flight,
    path_of: impl Fn(&str) -> std::path::PathBuf,
    limits: &InputLimits,
    to: &mut BTreeMap<String, Vec<u8>>,
) -> anyhow::Result<()> {
    let named = std::iter::once(&flight.log).chain(&flight.marks).chain(&flight.csv_map);
    for path in named {
        let at = path_of(path);
        if flight.exclude.is_none() || at.is_file() {
            to.insert(path.clone(), input::bytes(&at, limits)?);
        }
    }
    for path in &flight.imu {
        let at = path_of(path);
        if flight.exclude.is_none() || at.is_file() {
            let file = flight_files::inertial(&[at], limits)?.pop().context("an inertial file")?;
            to.extend(file.mapping_toml.map(|text| (format!("{path}.toml"), text.into_bytes())));
            to.insert(path.clone(), file.bytes.to_vec());
        }
    }
    Ok(())
}
