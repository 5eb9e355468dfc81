//! A campaign analysis as one self-contained HTML page, in the dress of the flight report.
//!
//! The first screen answers "which device, and what next?": what to check first, at most four sentences, the matrix. The
//! class, the next flights and the trade-off follow; all that these rest on is folded.

mod adjust;
mod alerts;
mod class;
mod matrix;
mod notes;
mod sections;
mod style;

use super::summary::finding;
use super::{narrow, next};
use crate::html::back;
use crate::html::front;
use crate::html::page::Page;
use crate::html::parts::clean;
use driftless_analysis::campaign::CampaignAnalysis;
use driftless_display::{DisplayUnits, count_of};
use maud::{Markup, html as markup};

/// The page of a campaign.
pub fn campaign_html(analysis: &CampaignAnalysis, units: &DisplayUnits) -> String {
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
    let main = markup! {
        (head(analysis))
        (contents(&sections))
        (alerts::section(analysis, units))
        (front::finding(&finding(analysis, units, &plan), care))
        (sections)
        (back::cautions(&markup! {}))
        (notes::made_by(analysis))
    };
    Page {
        title: format!("{}: set-ups compared", clean(&analysis.campaign.title)),
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
