//! A campaign analysis as one self-contained HTML page, in the dress of the flight report.
//!
//! The first screen answers "which device, and what next?": what to check first, at most four sentences, the matrix. The
//! class, the next flights and the trade-off follow; all that these rest on is folded.

mod adjust;
mod alerts;
mod class;
mod matrix;
mod notes;
mod piece;
mod sections;
mod style;

pub use piece::campaign_html_piece;
pub use style::STYLE as CAMPAIGN_STYLE;

use super::summary::finding;
use super::{narrow, next};
use crate::html::back;
use crate::html::front;
use crate::html::page::Page;
use crate::html::parts::clean;
use driftless_analysis::campaign::CampaignAnalysis;
use driftless_display::{DisplayUnits, count_of};
use maud::{Markup, html as markup};

/// The pieces of a campaign's page, for whoever builds another page of them.
pub struct CampaignPieces {
    /// When, how many runs.
    pub facts: Markup,
    /// What to check first; empty where there is nothing.
    pub alerts: Markup,
    /// The finding in sentences.
    pub finding: Markup,
    /// Matrix, class, next flights, and all that these rest on.
    pub sections: Markup,
    /// The usual cautions.
    pub cautions: Markup,
}

impl CampaignPieces {
    /// Those of an analysis.
    pub fn of(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Self {
        let plan = next::plan(analysis);
        let sections = markup! {
            (matrix::section(analysis, units))
            (class::students(analysis, units))
            (class::next_flights(analysis, &plan))
            (adjust::trade_off(analysis, units))
            (sections::turns(analysis, units))
            (sections::compensation(analysis, units))
            (sections::cells(analysis, units))
            (sections::paths(analysis, units))
            (sections::repeats(analysis, units))
            (sections::devices(analysis, units))
            (adjust::settings(analysis, units))
            (adjust::worth(analysis, units))
            (adjust::reduced(analysis, units))
            (sections::drift(analysis))
            (sections::stopwatch(analysis, units))
            (notes::unused(analysis, units))
            (notes::how_to_read())
        };
        let care = ("Measurements", "anybody lets go of the brakes or changes a setting");
        Self {
            facts: facts(analysis),
            alerts: alerts::section(analysis, units),
            finding: front::finding(&finding(analysis, units, &plan), care),
            sections,
            cautions: back::cautions(&markup! {}),
        }
    }
}

/// The page of a campaign.
pub fn campaign_html(analysis: &CampaignAnalysis, units: &DisplayUnits) -> String {
    let pieces = CampaignPieces::of(analysis, units);
    let (title, note) = (clean(&analysis.campaign.title), analysis.campaign.note.as_deref().map(clean));
    let main = markup! {
        (front::header("Set-ups compared, with the wind taken out", &title, &pieces.facts, note.as_deref()))
        (contents(&pieces.sections))
        (pieces.alerts)
        (pieces.finding)
        (pieces.sections)
        (pieces.cautions)
        (notes::made_by(analysis))
    };
    Page {
        title: format!("{title}: set-ups compared"),
        version: &analysis.made_by.version,
        own_style: &[style::STYLE, narrow::TABLES].concat(),
    }
    .around(&main)
}

/// Sections that stand on this page, in a line: those that it holds and no others.
fn contents(sections: &Markup) -> Markup {
    const NAMES: [(&str, &str); 17] = [
        ("matrix", "Matrix"),
        ("class", "Class"),
        ("next", "Next flights"),
        ("trade-off", "Trade-off"),
        ("turns", "Turns"),
        ("compensation", "Compensation"),
        ("cells", "Cells"),
        ("paths", "Air paths"),
        ("repeats", "Repeats"),
        ("devices", "Devices compared"),
        ("settings", "Device models"),
        ("worth", "Holding it straight"),
        ("reduced", "One mass and density"),
        ("drift", "Heading drift"),
        ("stopwatch", "Stopwatch"),
        ("unused", "Left out"),
        ("reading", "How to read it"),
    ];
    const OPEN: usize = 6;
    let holds = |id: &str| sections.0.contains(&format!("<h2 id=\"{id}\">"));
    let list = |names: &[(&str, &str)]| {
        markup! { @for (id, name) in names.iter().filter(|(id, _)| holds(id)) { li { a href=(format!("#{id}")) { (name) } } } }
    };
    let (open, further) = NAMES.split_at(OPEN);
    markup! {
        nav.contents aria-label="Contents" {
            ul { (list(open)) li { a href="#cautions" { "Cautions" } } }
            (crate::html::fold::folded("Further sections", &markup! { ul { (list(further)) } }))
        }
    }
}

/// When it was flown, and how much.
fn facts(analysis: &CampaignAnalysis) -> Markup {
    let campaign = &analysis.campaign;
    let runs: usize = analysis.cells.iter().map(|cell| cell.runs.len()).sum();
    let dates = || analysis.cells.iter().flat_map(|cell| &cell.runs).filter_map(|run| run.date);
    markup! {
        @if let Some(club) = &campaign.club { (clean(club)) " · " }
        @if let (Some(first), Some(last)) = (dates().min(), dates().max()) {
            (first) @if last != first { " to " (last) } " · "
        }
        (count_of(runs, "run", "runs")) " in " (count_of(analysis.cells.len(), "cell", "cells")) " from "
        (count_of(campaign.flights.len(), "flight", "flights"))
    }
}
