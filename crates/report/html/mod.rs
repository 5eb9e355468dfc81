//! A flight analysis as one self-contained HTML page: no script, no font, no picture is fetched from anywhere, so
//! that it opens from disk in ten years. Prints on A4 and Letter, follows the reader's light or dark setting.
//!
//! Order of the page: what matters first, the finding in words, the turn rates, each window, the air, the flight,
//! inertial data, problems, how to read it, cautions, how it was made.

mod alerts;
pub(crate) mod back;
mod notes;
pub(crate) mod parts;
mod sections;
pub(crate) mod style;
mod windows;

use crate::finding::finding;
use driftless_analysis::FlightAnalysis;
use driftless_charts::{FlightCharts, Scene};
use driftless_display::{DisplayUnits, clock_utc, date_utc, duration_words, format_name};
use maud::{DOCTYPE, Markup, PreEscaped, html as markup};

/// The page of one flight.
pub fn html(analysis: &FlightAnalysis, units: &DisplayUnits) -> String {
    let charts = FlightCharts::draw(analysis, units);
    let scene = Scene { analysis, units: *units };
    markup! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                meta name="generator" content=(format!("driftless {}", analysis.made_by.version));
                title { (parts::file_name(&analysis.file)) ": turn rates with the wind taken out" }
                style { (PreEscaped(style::STYLE)) }
            }
            body {
                main {
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
                }
            }
        }
    }
    .into_string()
}

fn head(analysis: &FlightAnalysis) -> Markup {
    let track = &analysis.track;
    let end = track.time_at(track.duration_s());
    markup! {
        header {
            p.kicker { "Turn rates with the wind taken out" }
            h1 { (parts::file_name(&analysis.file)) }
            p.facts {
                (date_utc(track.epoch)) ", " (clock_utc(track.epoch)) " to " (clock_utc(end)) " UTC ("
                (duration_words(track.duration_s())) ") · " (format_name(analysis.format)) " · "
                (track.points.len()) " of " (analysis.fixes_read) " fixes used, one every "
                (driftless_display::significant(track.median_interval_s, 2)) "\u{a0}s"
            }
        }
    }
}

fn finding_section(analysis: &FlightAnalysis, units: &DisplayUnits) -> Markup {
    markup! {
        section.finding aria-labelledby="finding" {
            h2 id="finding" { "Finding" }
            @for (i, sentence) in finding(analysis, units).iter().enumerate() {
                p.lead[i == 0] { (sentence) }
            }
            @if let Some(contrast) = windows::contrast(analysis, units) { p { (contrast) } }
            p.care {
                "A measurement, not a clearance: see " a href="#cautions" { "the cautions" } " before anybody lets go \
                 of the brakes."
            }
        }
    }
}
