//! A flight analysis as one self-contained HTML page.

use crate::display::DisplayUnits;
use crate::{finding::finding, text};
use driftless_analysis::FlightAnalysis;
use maud::{DOCTYPE, html as markup};

/// The page of one flight: no script, no font, no picture is fetched from anywhere.
pub fn html(analysis: &FlightAnalysis, units: &DisplayUnits) -> String {
    markup! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (analysis.file) ": turn rates" }
            }
            body {
                h1 { (analysis.file) ": turn rates with the wind taken out" }
                @for sentence in finding(analysis, units) { p { (sentence) } }
                pre { (text(analysis, units)) }
            }
        }
    }
    .into_string()
}
