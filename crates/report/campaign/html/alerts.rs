//! What to know before reading the figures.

use crate::campaign::alerts::{help, message};
use crate::html::front::{self, Alert};
use crate::html::parts::{clean, sentence};
use driftless_analysis::Severity;
use driftless_analysis::campaign::{CampaignAlert, CampaignAnalysis};
use driftless_display::DisplayUnits;
use driftless_display::campaign::capital;
use maud::{Markup, html as markup};

/// What is wrong or doubtful; notes stand with the cells.
pub(super) fn section(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Markup {
    front::alerts(doubtful(analysis, units))
}

/// The same, to be shown elsewhere.
pub(super) fn doubtful(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Vec<Alert> {
    let doubtful = analysis.alerts.iter().filter(|of| of.severity() != Severity::Note);
    doubtful.map(|of| alert(analysis, units, of)).collect()
}

/// What is worth knowing, and no reason to doubt.
pub(super) fn notes(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Markup {
    let notes: Vec<Alert> = analysis
        .alerts
        .iter()
        .filter(|of| of.severity() == Severity::Note)
        .map(|of| alert(analysis, units, of))
        .collect();
    markup! {
        @for note in &notes {
            p { (capital(&note.words)) @if let Some(help) = &note.help { " " (help) } }
        }
    }
}

fn alert(analysis: &CampaignAnalysis, units: &DisplayUnits, of: &CampaignAlert) -> Alert {
    let place = of.place.as_ref().map(|place| format!(" ({}, line {})", clean(&place.file), place.line));
    let words = format!("{}{}.", clean(&message(analysis, units, &of.kind)), place.unwrap_or_default());
    Alert { severity: of.severity(), words, help: Some(sentence(help(&of.kind))) }
}
