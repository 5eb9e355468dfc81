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
use crate::html::parts::clean;
use crate::html::style::STYLE;
use driftless_analysis::campaign::CampaignAnalysis;
use driftless_display::{DisplayUnits, count_of};
use maud::{DOCTYPE, Markup, PreEscaped, html as markup};

/// Tables of a campaign carry two or three intervals in a row.
const WIDE_TABLES: &str = "table { font-size: .8rem; } th, td { padding: .28rem .35rem; } summary { cursor: pointer; }";

/// The page of a campaign.
pub fn campaign_html(analysis: &CampaignAnalysis, units: &DisplayUnits) -> String {
    markup! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                meta name="generator" content=(format!("driftless {}", analysis.made_by.version));
                title { (clean(&analysis.campaign.title)) ": set-ups compared" }
                style { (PreEscaped(STYLE)) (PreEscaped(WIDE_TABLES)) }
            }
            body {
                main {
                    (head(analysis))
                    (alerts::section(analysis))
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
                }
            }
        }
    }
    .into_string()
}

fn head(analysis: &CampaignAnalysis) -> Markup {
    let campaign = &analysis.campaign;
    let runs: usize = analysis.cells.iter().map(|cell| cell.runs.len()).sum();
    let dates = || analysis.cells.iter().flat_map(|cell| &cell.runs).filter_map(|run| run.date);
    markup! {
        header {
            p.kicker { "Set-ups compared, with the wind taken out" }
            h1 { (clean(&campaign.title)) }
            p.facts {
                @if let Some(club) = &campaign.club { (clean(club)) " · " }
                @if let (Some(first), Some(last)) = (dates().min(), dates().max()) {
                    (first) @if last != first { " to " (last) } " · "
                }
                (count_of(runs, "run", "runs")) " in " (count_of(analysis.cells.len(), "cell", "cells")) " from "
                (count_of(campaign.flights.len(), "flight", "flights"))
            }
            @if let Some(note) = &campaign.note { p { (clean(note)) } }
        }
    }
}

fn finding_section(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Markup {
    markup! {
        section.finding aria-labelledby="finding" {
            h2 id="finding" { "Finding" }
            @for (i, sentence) in finding(analysis, units).iter().enumerate() {
                p.lead[i == 0] { (sentence) }
            }
            p.care {
                "Measurements, not a clearance: see " a href="#cautions" { "the cautions" } " before anybody lets go of \
                 the brakes or changes a setting."
            }
        }
    }
}
