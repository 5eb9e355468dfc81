//! A flight analysis as one self-contained HTML page: no script, no font, no picture is fetched from anywhere, so
//! that it opens from disk in ten years. Prints on A4 and Letter, follows the reader's light or dark setting.
//!
//! Order of the page: what to check first, the finding in a sentence for each set-up and scenario, their chart, each window
//! (folded), the air, the flight, inertial data, problems, how to read it, cautions, how it was made.

pub(crate) mod back;
pub(crate) mod fold;
pub(crate) mod front;
mod notes;
pub(crate) mod page;
pub(crate) mod parts;
pub(crate) mod piece;
mod sections;
mod style;
mod windows;

use crate::alerts;
use crate::finding::finding;
use driftless_analysis::FlightAnalysis;
use driftless_charts::{FlightCharts, Scene};
use driftless_display::{DisplayUnits, duration_words, flights_words, receiver_words, significant};
use maud::{Markup, html as markup};
use page::Page;
pub use piece::html_piece;
pub use style::STYLE as REPORT_STYLE;

/// The pieces of a flight's page, for whoever builds another page of them.
pub struct FlightPieces {
    /// Name of the log without its folders.
    pub title: String,
    /// When, how long, from what.
    pub facts: Markup,
    /// What to check first; empty where there is nothing.
    pub alerts: Markup,
    /// The finding in sentences, with chart and table.
    pub finding: Markup,
    /// Each window, the air, the flight, inertial data, problems, how to read it.
    pub details: Markup,
    /// The usual cautions.
    pub cautions: Markup,
}

impl FlightPieces {
    /// Those of an analysis.
    pub fn of(analysis: &FlightAnalysis, units: &DisplayUnits) -> Self {
        let charts = FlightCharts::draw(analysis, units);
        let scene = Scene { analysis, units: *units };
        let details = markup! {
            (windows::each(&scene, &charts.windows))
            (sections::air(&scene, &charts))
            (sections::flight(&scene, &charts))
            (crate::inertial::section(&scene, &charts.inertial))
            (notes::problems(analysis, units))
            (notes::how_to_read(units))
        };
        Self {
            title: parts::file_name(&analysis.file),
            facts: facts(analysis, units),
            alerts: front::alerts(alerts::collect(analysis, units)),
            finding: finding_section(&scene, &charts),
            details,
            cautions: back::cautions(&markup! {}),
        }
    }
}

/// The page of one flight.
pub fn html(analysis: &FlightAnalysis, units: &DisplayUnits) -> String {
    let pieces = FlightPieces::of(analysis, units);
    let main = markup! {
        (front::header("Turn rates with the wind taken out", &pieces.title, &pieces.facts, None))
        (contents(analysis))
        (pieces.alerts)
        (pieces.finding)
        (pieces.details)
        (pieces.cautions)
        (notes::made_by(analysis))
    };
    Page {
        title: format!("{}: turn rates with the wind taken out", pieces.title),
        version: &analysis.made_by.version,
        own_style: crate::campaign::narrow::TABLES,
    }
    .around(&main)
}

/// When it was, how long, from what.
fn facts(analysis: &FlightAnalysis, units: &DisplayUnits) -> Markup {
    let track = &analysis.track;
    let (start, end) = (track.epoch, track.time_at(track.duration_s()));
    let utc = driftless_display::Zone::default();
    let from_to =
        |zone: driftless_display::Zone| format!("{} to {} {}", zone.clock(start), zone.clock(end), zone.name());
    markup! {
        (units.zone.date(start)) ", " (from_to(units.zone))
        @if !units.zone.is_utc() { " (" (from_to(utc)) ")" }
        " · " (duration_words(track.duration_s())) " · " (analysis.format.name()) " · "
        (track.points.len()) " of " (analysis.fixes_read) " fixes used, one every "
        (significant(track.median_interval_s, 2)) "\u{a0}s"
        @for words in [flights_words(analysis, units.zone), receiver_words(analysis)].into_iter().flatten() { " · " (words) }
    }
}

/// Where things stand; the finding itself is on the first screen.
fn contents(analysis: &FlightAnalysis) -> Markup {
    let all = [
        ("each", "Each window", !analysis.windows.is_empty()),
        ("air", "The air", true),
        ("flight", "The flight", true),
        ("inertial", "Inertial data", analysis.inertial.is_some()),
        ("problems", "Problems found", true),
        ("reading", "How to read it", true),
        ("cautions", "Cautions", true),
        ("made", "How it was made", true),
    ];
    front::contents(&all.iter().filter(|(_, _, there)| *there).map(|(id, words, _)| (*id, *words)).collect::<Vec<_>>())
}

fn finding_section(scene: &Scene<'_>, charts: &FlightCharts) -> Markup {
    let sentences = finding(scene.analysis, &scene.units);
    markup! {
        section.finding aria-labelledby="finding" {
            h2 id="finding" { "Finding" }
            @for said in &sentences {
                p.answer { strong { (said.words) } @if let Some(beside) = &said.beside { " " (beside) } }
            }
            (front::care("A measurement", "anybody lets go of the brakes"))
            @if let Some(chart) = &charts.rates { (parts::figure(chart, &markup! {})) }
            (windows::all(scene))
        }
    }
}
