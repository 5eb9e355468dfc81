//! A campaign whose flights are all the same one, into every output of a campaign.

use super::{Beside, Made, analysed, flown, hold};
use driftless_analysis::FlightAnalysis;
use driftless_analysis::campaign::model::{Campaign, Flight, FlightId};
use driftless_analysis::campaign::{CampaignInput, FlightFailure, FlightSummary, analyse_campaign};
use driftless_display::DisplayUnits;
use driftless_report::{campaign_brief, campaign_csv, campaign_html, campaign_json, campaign_text};
use std::sync::LazyLock;

/// Flights and runs at most: more only take longer.
const MOST: usize = 12;

static FLIGHT: LazyLock<FlightAnalysis> = LazyLock::new(|| {
    let flown = flown::ordinary();
    let analysis = analysed(flown.log.as_bytes(), Beside { marks: Some(&flown.marks), ..Beside::default() });
    analysis.expect("an ordinary flight is analysed")
});

/// The report of a campaign, were all its logs that flight.
pub(super) fn report(campaign: Campaign) -> Vec<Made> {
    if campaign.flights.len() > MOST || campaign.stopwatch_runs.len() > MOST || campaign.weight_runs.len() > MOST {
        return Vec::new();
    }
    let flight = &*FLIGHT;
    let outcome = |(index, flown): (usize, &Flight)| match flown.exclude {
        Some(_) => Err(FlightFailure::LeftOut),
        None => Ok(FlightSummary::of(FlightId(index), flight.clone())),
    };
    let flights = campaign.flights.iter().enumerate().map(outcome).collect();
    let input = CampaignInput { campaign, flights, made_by: flight.made_by.clone(), file: "campaign.toml".to_owned() };
    let analysis = analyse_campaign(input);
    let units = DisplayUnits::default();
    campaign_csv(&analysis).expect("rows");
    let words = [campaign_text(&analysis, &units, 80), campaign_brief(&analysis, &units, 80)];
    vec![hold(&campaign_json(&analysis).expect("a document"), campaign_html(&analysis, &units), words)]
}
