//! The back of the page: runs left out, how to read it, cautions, how it was made.

use crate::cautions::CAUTIONS;
use crate::html::parts::clean;
use driftless_analysis::campaign::CampaignAnalysis;
use maud::{Markup, html as markup};

/// Runs that count for nothing, each with its reason.
pub(super) fn unused(analysis: &CampaignAnalysis) -> Markup {
    markup! {
        @if !analysis.unused.is_empty() {
            section aria-labelledby="unused" {
                h2 id="unused" { "Runs left out" }
                div.scroll {
                    table.words {
                        caption { "Nothing is left out without a word" }
                        thead { tr { th scope="col" { "Run" } th scope="col" { "Of" } th scope="col" { "Why" } } }
                        tbody { @for run in &analysis.unused { tr {
                            th scope="row" { (clean(&run.name)) } td { (clean(&run.of)) } td { (clean(&run.why)) }
                        } } }
                    }
                }
            }
        }
    }
}

/// What the figures mean.
pub(super) fn how_to_read() -> Markup {
    markup! {
        section aria-labelledby="reading" {
            h2 id="reading" { "How to read it" }
            ul {
                li { "A turn to the right is positive. Behind ± stands half of the 95 % interval, in brackets the interval \
                      itself: in 95 of 100 such cases the truth lies inside." }
                li { "A " strong { "cell" } " is one set-up on one wing in one scenario. Its figure is the mean of its runs; \
                      the spread from run to run is in its interval, and with few runs that interval is wide." }
                li { strong { "Compensation" } " is the share of the baseline's turn that a device takes away: 0 % is no \
                      effect, 100 % is no turn left, above 100 % it turns the other way. Where the baseline hardly turns \
                      (power-off glide) a percentage means nothing, and the residual turn itself is given." }
                li { strong { "Not told apart" } " does not mean alike: it means that these runs cannot tell." }
                li { "Pairs of devices are judged together (Holm), so that among many comparisons a chance finding stays \
                      rarer than one in twenty." }
                li { "A stopwatch run counts like any other, with its own uncertainty. Timed beside a log it counts once, \
                      by the log." }
            }
        }
    }
}

/// The usual cautions.
pub(super) fn cautions() -> Markup {
    markup! {
        section.cautions aria-labelledby="cautions" {
            h2 id="cautions" { "Cautions" }
            ul { @for caution in CAUTIONS { li { (caution) } } }
        }
    }
}

/// How the page came to be.
pub(super) fn made_by(analysis: &CampaignAnalysis) -> Markup {
    let made = &analysis.made_by;
    markup! {
        section.made aria-labelledby="made" {
            h2 id="made" { "How it was made" }
            dl {
                div { dt { "Program" } dd { "driftless " (made.version) } }
                div { dt { "Command" } dd { code { (clean(&made.command)) } } }
                div { dt { "Campaign file" } dd { code { (clean(&analysis.file)) } } }
                div { dt { "SHA-256 of the campaign file" } dd { code { (made.input_sha256) } } }
            }
            @if !analysis.logs.is_empty() {
                h3 { "Logs" }
                dl.config { @for (name, sha256) in &analysis.logs {
                    div { dt { (clean(name)) } dd { code { (sha256.get(..16).unwrap_or(sha256)) "…" } } }
                } }
            }
            @if !made.config.is_empty() {
                h3 { "Configuration" }
                dl.config {
                    @for (name, value) in &made.config { div { dt { (clean(name)) } dd { code { (clean(value)) } } } }
                }
            }
            p.subtitle { "Made on the reader's own machine; this page fetches nothing and sends nothing." }
        }
    }
}
