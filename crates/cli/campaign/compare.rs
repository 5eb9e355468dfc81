//! `driftless compare`: a campaign file and its flights become a campaign report.

use super::flights::analyse;
use super::load::load;
use crate::args::{CompareArgs, Format};
use crate::chart_files;
use crate::input::{self, is_dash};
use crate::outcome::Outcome;
use crate::output::{Place, refuse_clashes, to_stdout};
use crate::terminal;
use driftless_analysis::campaign::{CampaignAnalysis, CampaignInput, analyse_campaign};
use driftless_analysis::{FlightConfig, InputLimits, MadeBy};
use driftless_charts::campaign;
use driftless_files::LoadedCampaign;
use driftless_report::{campaign_brief, campaign_csv, campaign_html, campaign_json, campaign_text};
use std::path::PathBuf;

pub(crate) fn run(args: &CompareArgs, limits: &InputLimits) -> anyhow::Result<Outcome> {
    let place = place(args);
    let loaded = load(&args.campaign, limits)?;
    let logs: Vec<PathBuf> = loaded
        .campaign
        .flights
        .iter()
        .flat_map(|flight| std::iter::once(&flight.log).chain(&flight.marks).chain(&flight.imu).chain(&flight.csv_map))
        .map(|name| loaded.folder.path(name))
        .collect();
    refuse_clashes(place.iter(), logs.iter().map(PathBuf::as_path).chain([args.campaign.as_path()]))?;
    let (analysis, any_failed) = analysed(loaded, limits, args.anonymous);
    if let Some(folder) = &args.charts {
        chart_files::write(folder, "", &campaign::charts(&analysis, &args.units))?;
    }
    match (args.format, &place) {
        (Some(format), Some(place)) => place.write(rendered(&analysis, format, args)?.as_bytes())?,
        (None, Some(Place::Stdout)) => to_stdout(campaign_html(&analysis, &args.units).as_bytes())?,
        (_, place) => {
            to_stdout(campaign_brief(&analysis, &args.units, terminal::width()).as_bytes())?;
            if let Some(place @ Place::File(path)) = place {
                place.write(campaign_html(&analysis, &args.units).as_bytes())?;
                to_stdout(format!("Page: {} (in words: --format text)\n", input::name_of(path)).as_bytes())?;
            } else {
                terminal::note("no report with charts was written, because the campaign file has no folder; use -o");
            }
        }
    }
    Ok(match (any_failed, analysis.cells.is_empty()) {
        (true, _) => Outcome::Failed,
        (false, true) => Outcome::NothingUsable,
        (false, false) => Outcome::Made,
    })
}

/// The campaign analysis, and whether a file of it could not be read.
pub(super) fn analysed(loaded: LoadedCampaign, limits: &InputLimits, anonymous: bool) -> (CampaignAnalysis, bool) {
    let flights = analyse(&loaded, limits);
    let input = CampaignInput {
        made_by: MadeBy {
            version: env!("CARGO_PKG_VERSION").to_owned(),
            command: input::command_line(),
            input_sha256: loaded.sha256,
            config: FlightConfig::default().entries(),
        },
        file: loaded.name,
        campaign: loaded.campaign,
        flights: flights.outcomes,
    };
    let input = if anonymous { input.anonymous() } else { input };
    (analyse_campaign(input), flights.any_failed)
}

/// Where the report in the format asked for goes; without a format, where the HTML goes (`None`: nowhere).
fn place(args: &CompareArgs) -> Option<Place> {
    match (args.format, args.output.as_deref()) {
        (Some(format), Some(path)) => {
            Some(Place::named(path, &args.campaign, &format!("report.{}", format.extension())))
        }
        (Some(_), None) => Some(Place::Stdout),
        (None, Some(path)) => Some(Place::named(path, &args.campaign, "report.html")),
        (None, None) if is_dash(&args.campaign) => None,
        (None, None) => Some(Place::beside(&args.campaign, "report.html")),
    }
}

fn rendered(analysis: &CampaignAnalysis, format: Format, args: &CompareArgs) -> anyhow::Result<String> {
    let width = terminal::width();
    Ok(match format {
        Format::Html => campaign_html(analysis, &args.units),
        Format::Json => campaign_json(analysis)?,
        Format::Csv => campaign_csv(analysis)?,
        Format::Text => campaign_text(analysis, &args.units, width),
    })
}
