//! A campaign analysis as JSON, schema `driftless/campaign-report/1`. The rules are those of the flight report: keys may
//! be added, those there stay, a key with a unit says it, `null` stands where a thing is not known.

mod advice;
mod entries;

use crate::outlet::finished_json;
use driftless_analysis::campaign::CampaignAnalysis;
use entries::CampaignReport;

/// Name and version of the schema.
pub const CAMPAIGN_REPORT_SCHEMA: &str = "driftless/campaign-report/1";

/// The document of a campaign, ending in a newline.
///
/// # Errors
/// None that an analysis can cause; the serializer's own error type is passed on rather than hidden.
pub fn campaign_json(analysis: &CampaignAnalysis) -> Result<String, serde_json::Error> {
    let mut text = serde_json::to_string_pretty(&CampaignReport::of(analysis))?;
    text.push('\n');
    Ok(finished_json(text))
}
