//! The charts of a campaign.

use super::Chart;
use crate::display::DisplayUnits;
use driftless_analysis::campaign::CampaignAnalysis;

pub(crate) fn matrix(_analysis: &CampaignAnalysis, _units: &DisplayUnits) -> Option<Chart> {
    None
}
pub(crate) fn turns(_analysis: &CampaignAnalysis, _units: &DisplayUnits) -> Vec<Chart> {
    Vec::new()
}
pub(crate) fn air_paths(_analysis: &CampaignAnalysis, _units: &DisplayUnits) -> Vec<Chart> {
    Vec::new()
}
pub(crate) fn compensation(_analysis: &CampaignAnalysis) -> Vec<Chart> {
    Vec::new()
}
pub(crate) fn repeats(_analysis: &CampaignAnalysis, _units: &DisplayUnits) -> Vec<Chart> {
    Vec::new()
}
