//! What to know before reading the figures.

use crate::html::parts::{clean, sentence};
use driftless_analysis::Severity;
use driftless_analysis::campaign::CampaignAnalysis;
use driftless_display::severity_words;
use maud::{Markup, html as markup};

pub(super) fn section(analysis: &CampaignAnalysis) -> Markup {
    markup! {
        @if !analysis.alerts.is_empty() {
            section.alerts aria-labelledby="alerts" {
                h2 id="alerts" { "First of all" }
                ul {
                    @for alert in &analysis.alerts {
                        li.error[alert.severity == Severity::Error] {
                            strong { (severity_words(alert.severity)) ": " } (clean(&alert.message))
                            @if let Some(place) = &alert.place { " (" (clean(&place.file)) ", line " (place.line) ")" }
                            "." span.help { " " (sentence(&alert.help)) }
                        }
                    }
                }
            }
        }
    }
}
