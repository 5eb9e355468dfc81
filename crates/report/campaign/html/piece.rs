//! What is shown of a campaign inside somebody else's page.

use super::{alerts, facts};
use crate::campaign::next;
use crate::campaign::summary::finding;
use crate::html::parts::clean;
use crate::html::piece::piece;
use driftless_analysis::campaign::CampaignAnalysis;
use driftless_charts::campaign::turns;
use driftless_display::DisplayUnits;
use maud::html as markup;

/// The finding of a campaign in sentences, what to check first, and the turns of the first wing side by side.
pub fn campaign_html_piece(analysis: &CampaignAnalysis, units: &DisplayUnits) -> String {
    let sentences = finding(analysis, units, &next::plan(analysis));
    let (title, doubtful) = (clean(&analysis.campaign.title), alerts::doubtful(analysis, units));
    let charts = turns(analysis, units);
    let chart = charts.first().map(|(_, chart)| chart);
    piece(&title, &facts(analysis), doubtful, &sentences, chart, &markup! {}).into_string()
}
