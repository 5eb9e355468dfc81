//! A flight analysis as one self-contained HTML page: no script, no font, no picture is fetched from anywhere, so
//! that it opens from disk in ten years. Prints on A4 and Letter, follows the reader's light or dark setting.
//!
//! Order of the page: what matters first, the finding in words, the turn rates, each window, the air, the flight,
//! inertial data, problems, how to read it, cautions, how it was made.

mod alerts;
pub(crate) mod back;
pub(crate) mod front;
mod notes;
pub(crate) mod page;
pub(crate) mod parts;
mod sections;
mod style;
mod windows;

use crate::finding::finding;
use driftless_analysis::FlightAnalysis;
use driftless_charts::{FlightCharts, Scene};
use driftless_display::{
    DisplayUnits, clock_utc, date_utc, duration_words, flights_words, receiver_words, significant,
};
use maud::{Markup, html as markup};
use page::Page;

/// The page of one flight.
pub fn html(analysis: &FlightAnalysis, units: &DisplayUnits) -> String {
    let charts = FlightCharts::draw(analysis, units);
    let scene = Scene { analysis, units: *units };
    let main = markup! {
        (head(analysis))
        (alerts::section(analysis, units))
        (finding_section(analysis, units))
        (windows::overview(&scene, charts.rates.as_ref()))
        (windows::each(&scene, &charts.windows))
        (sections::air(&scene, &charts))
        (sections::flight(&scene, &charts))
        (crate::inertial::section(&scene, &charts.inertial))
        (notes::problems(analysis, units))
        (notes::how_to_read(units))
        (back::cautions(&markup! {}))
        (notes::made_by(analysis))
    };
    Page {
        title: format!("{}: turn rates with the wind taken out", parts::file_name(&analysis.file)),
        version: &analysis.made_by.version,
        own_style: "",
    }
    .around(&main)
}

fn head(analysis: &FlightAnalysis) -> Markup {
    let track = &analysis.track;
    let end = track.time_at(track.duration_s());
    let facts = markup! {
        (date_utc(track.epoch)) ", " (clock_utc(track.epoch)) " to " (clock_utc(end)) " UTC ("
        (duration_words(track.duration_s())) ") · " (analysis.format.name()) " · "
        (track.points.len()) " of " (analysis.fixes_read) " fixes used, one every "
        (significant(track.median_interval_s, 2)) "\u{a0}s"
        @for words in [flights_words(analysis), receiver_words(analysis)].into_iter().flatten() { " · " (words) }
    };
    front::header("Turn rates with the wind taken out", &parts::file_name(&analysis.file), &facts, None)
}

fn finding_section(analysis: &FlightAnalysis, units: &DisplayUnits) -> Markup {
    let mut sentences = finding(analysis, units);
    sentences.extend(windows::contrast(analysis, units));
    front::finding(&sentences, ("A measurement", "anybody lets go of the brakes"))
}
