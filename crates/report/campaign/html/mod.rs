//! A campaign analysis as one self-contained HTML page, in the dress of the flight report.
//!
//! Order of the page: what matters first, the finding in words, the matrix, compensation, devices against each other,
//! repeats, how to read it, cautions, how it was made.

mod adjust;
mod alerts;
mod class;
mod notes;
mod sections;

use super::summary::finding;
use crate::html::back;
use crate::html::front;
use crate::html::page::Page;
use crate::html::parts::clean;
use driftless_analysis::campaign::CampaignAnalysis;
use driftless_display::{DisplayUnits, count_of};
use maud::{Markup, html as markup};

/// Tables of a campaign carry two or three intervals in a row.
const WIDE_TABLES: &str = "table { font-size: .8rem; } th, td { padding: .28rem .35rem; } summary { cursor: pointer; }";

/// The page of a campaign.
pub fn campaign_html(analysis: &CampaignAnalysis, units: &DisplayUnits) -> String {
    let main = markup! {
        (head(analysis))
        (alerts::section(analysis, units))
        (finding_section(analysis, units))
        (sections::matrix(analysis, units))
        (sections::turns(analysis, units))
        (sections::compensation(analysis, units))
        (sections::devices(analysis, units))
        (adjust::settings(analysis, units))
        (adjust::worth(analysis, units))
        (adjust::reduced(analysis, units))
        (sections::drift(analysis))
        (sections::repeats(analysis, units))
        (sections::stopwatch(analysis, units))
        (class::students(analysis, units))
        (class::next_flights(analysis))
        (notes::unused(analysis, units))
        (notes::how_to_read())
        (back::cautions(&markup! {}))
        (notes::made_by(analysis))
    };
    Page {
        title: format!("{}: set-ups compared", clean(&analysis.campaign.title)),
        version: &analysis.made_by.version,
        own_style: WIDE_TABLES,
    }
    .around(&main)
}

fn head(analysis: &CampaignAnalysis) -> Markup {
    let campaign = &analysis.campaign;
    let runs: usize = analysis.cells.iter().map(|cell| cell.runs.len()).sum();
    let dates = || analysis.cells.iter().flat_map(|cell| &cell.runs).filter_map(|run| run.date);
    let facts = markup! {
        @if let Some(club) = &campaign.club { (clean(club)) " · " }
        @if let (Some(first), Some(last)) = (dates().min(), dates().max()) {
            (first) @if last != first { " to " (last) } " · "
        }
        (count_of(runs, "run", "runs")) " in " (count_of(analysis.cells.len(), "cell", "cells")) " from "
        (count_of(campaign.flights.len(), "flight", "flights"))
    };
    let note = campaign.note.as_deref().map(clean);
    front::header("Set-ups compared, with the wind taken out", &clean(&campaign.title), &facts, note.as_deref())
}

fn finding_section(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Markup {
    let care = ("Measurements", "anybody lets go of the brakes or changes a setting");
    front::finding(&finding(analysis, units), care)
}
