//! What the logbook keeps of its reader: how things are shown, and which campaign is looked at.

use crate::failure::Result;
use crate::settings::Settings;
use driftless_logbook::{CampaignId, Logbook};

/// Name under which the campaign that is looked at is kept.
const CAMPAIGN: &str = "campaign";

pub(crate) fn settings(logbook: &Logbook) -> Result<Settings> {
    let kept = logbook.preferences()?;
    Ok(Settings::of(|name| kept.get(name).cloned()))
}

/// The campaign that is looked at: the one chosen last, else the first.
pub(crate) fn campaign(logbook: &Logbook) -> Result<CampaignId> {
    let chosen = logbook.preference(CAMPAIGN)?.and_then(|id| id.parse().ok()).map(CampaignId);
    let campaigns = logbook.campaigns()?;
    if let Some(chosen) = chosen.filter(|chosen| campaigns.iter().any(|campaign| campaign.id == *chosen)) {
        return Ok(chosen);
    }
    Ok(campaigns.first().ok_or(driftless_logbook::LogbookError::Gone { what: "campaign" })?.id)
}

pub(crate) fn choose_campaign(logbook: &mut Logbook, id: CampaignId) -> Result<()> {
    Ok(logbook.set_preference(CAMPAIGN, Some(&id.0.to_string()))?)
}
