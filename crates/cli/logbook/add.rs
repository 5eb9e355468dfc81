//! `driftless logbook add`: logs into a logbook.

use super::{choose, open};
use crate::args::LogbookAddArgs;
use crate::outcome::Outcome;
use crate::output::to_stdout;
use crate::{flight_files, input, terminal};
use anyhow::{Context, bail};
use chrono::Utc;
use driftless_analysis::{Asked, FlightFiles, InertialFile, InputLimits, TextFile, read_log};
use driftless_logbook::{About, CampaignId, FlightId, Logbook};
use driftless_units::printable;
use std::path::{Path, PathBuf};

/// What all logs of the run have in common.
struct Given {
    marks: Option<TextFile>,
    inertial: Vec<InertialFile>,
    csv_mapping: Option<TextFile>,
    asked: Asked,
    campaign: CampaignId,
    setup: Option<String>,
    wing: Option<String>,
    pilot: Option<String>,
}

pub(super) fn run(args: &LogbookAddArgs, limits: &InputLimits) -> anyhow::Result<Outcome> {
    crate::suggest::refuse_campaigns(args.logs.iter().map(PathBuf::as_path))?;
    if args.logs.len() > 1 && (args.marks.is_some() || !args.imu.is_empty()) {
        bail!("marks and inertial files belong to one log; add the logs one by one");
    }
    let text_file = |path: &Option<PathBuf>| path.as_deref().map(|p| flight_files::text_file(p, limits)).transpose();
    let (marks, csv_mapping) = (text_file(&args.marks)?, text_file(&args.csv_map)?);
    let inertial = flight_files::inertial(&args.imu, limits)?;
    let mut logbook = open(&args.file.logbook)?;
    let campaign = choose::campaign(&logbook, args.flown.campaign.as_deref())?;
    let of = logbook.campaign(campaign.id)?.campaign;
    let given = Given {
        marks,
        inertial,
        csv_mapping,
        asked: flight_files::asked(limits),
        campaign: campaign.id,
        setup: choose::part("set-up", args.flown.setup.as_deref(), of.setups.iter().map(|s| (&*s.key, &*s.name)))?,
        wing: choose::part("wing", args.flown.wing.as_deref(), of.wings.iter().map(|w| (&*w.key, &*w.name)))?,
        pilot: choose::part("pilot", args.flown.pilot.as_deref(), of.pilots.iter().map(|p| (&*p.key, &*p.name)))?,
    };
    let mut outcomes = Vec::new();
    for log in &args.logs {
        outcomes.push(match add(&mut logbook, log, &given) {
            // Said when it is on the disk, and not before.
            Ok(words) => {
                to_stdout(words.as_bytes())?;
                Outcome::Made
            }
            Err(error) => {
                terminal::error(&format!("{error:#}"));
                Outcome::Failed
            }
        });
    }
    Ok(Outcome::of_all(&outcomes))
}

fn add(logbook: &mut Logbook, path: &Path, given: &Given) -> anyhow::Result<String> {
    let name = input::name_of(path);
    let bytes = input::bytes(path, &given.asked.config.input)?;
    let files = FlightFiles {
        name: input::given_name(path),
        log: &bytes,
        marks: given.marks.clone(),
        inertial: given.inertial.clone(),
        csv_mapping: given.csv_mapping.clone(),
    };
    // What is no log is of no use in a logbook.
    read_log(&files, &given.asked)?;
    let added = logbook.add_flight(given.campaign, &files, Utc::now()).with_context(|| name.clone())?;
    for file in &added.not_taken {
        terminal::note(&format!("{} was not taken: the flight has another such file", printable(file)));
    }
    say(logbook, added.flight, given).with_context(|| name.clone())?;
    let key = logbook.flight(added.flight)?.key;
    let what = if added.was_there { "was there already as" } else { "added as" };
    Ok(format!("{name}: {what} {}\n", printable(&key)))
}

/// Notes what was said of the flight; what was not said stays as it is.
fn say(logbook: &mut Logbook, flight: FlightId, given: &Given) -> anyhow::Result<()> {
    let before = logbook.flight(flight)?.about;
    let about = About {
        setup: given.setup.clone().or(before.setup.clone()),
        wing: given.wing.clone().or(before.wing.clone()),
        pilot: given.pilot.clone().or(before.pilot.clone()),
        ..before.clone()
    };
    if about != before {
        logbook.set_about(flight, &about)?;
    }
    Ok(())
}
