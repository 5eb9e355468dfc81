//! What to know before reading the figures.

use crate::campaign::alerts::{help, message};
use crate::html::front::{self, Alert};
use crate::html::parts::{clean, sentence};
use driftless_analysis::campaign::model::Campaign;
use driftless_analysis::campaign::{CampaignAlert, CampaignAnalysis};
use driftless_display::DisplayUnits;
use maud::Markup;

pub(super) fn section(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Markup {
    front::alerts(analysis.alerts.iter().map(|of| alert(&analysis.campaign, units, of)).collect())
}

fn alert(campaign: &Campaign, units: &DisplayUnits, of: &CampaignAlert) -> Alert {
    let place = of.place.as_ref().map(|place| format!(" ({}, line {})", clean(&place.file), place.line));
    let words = format!("{}{}.", clean(&message(campaign, units, &of.kind)), place.unwrap_or_default());
    Alert { severity: of.severity(), words, help: Some(sentence(help(&of.kind))) }
}
