//! The back that all pages share: how to read it, cautions, how it was made.

use super::fold::{Paper, fold};
use super::parts::clean;
use crate::cautions::CAUTIONS;
use driftless_analysis::MadeBy;
use maud::{Markup, html as markup};

/// Digits of a check sum that stand in a list of many files.
const SHORT_SHA256: usize = 16;

/// What the figures mean, under one head.
pub(crate) fn reading(items: &Markup) -> Markup {
    markup! {
        section aria-labelledby="reading" {
            (fold(&markup! { h2 id="reading" { "How to read it" } }, Paper::Whole, &markup! { ul { (items) } }))
        }
    }
}

/// The usual cautions; `more` follows them.
pub(crate) fn cautions(more: &Markup) -> Markup {
    markup! {
        section.cautions aria-labelledby="cautions" {
            h2 id="cautions" { "Cautions" }
            ul { @for caution in CAUTIONS { li { (caution) } } }
            (more)
        }
    }
}

/// What a page was made from.
pub(crate) struct Inputs<'a> {
    /// What the main file is called: "log".
    pub(crate) kind: &'a str,
    /// Its name.
    pub(crate) file: &'a str,
    /// Head of the list of further files.
    pub(crate) further: &'a str,
    /// Names of further files and their SHA-256.
    pub(crate) files: Vec<(&'a str, &'a str)>,
}

/// How the page came to be.
pub(crate) fn made_by(made: &MadeBy, inputs: &Inputs<'_>) -> Markup {
    let kind = inputs.kind;
    let capital = driftless_display::campaign::capital(kind);
    markup! {
        section.made aria-labelledby="made" {
            (fold(&markup! { h2 id="made" { "How it was made" } }, Paper::Whole, &markup! {
            dl {
                div { dt { "Program" } dd { "driftless " (made.version) } }
                div { dt { "Command" } dd { code { (clean(&made.command)) } } }
                div { dt { (capital) } dd { code { (clean(inputs.file)) } } }
                div { dt { "SHA-256 of the " (kind) } dd { code { (made.input_sha256) } } }
            }
            @if !inputs.files.is_empty() {
                h3 { (inputs.further) }
                dl.config { @for (name, sha256) in &inputs.files {
                    div { dt { (clean(name)) } dd { code { (sha256.get(..SHORT_SHA256).unwrap_or(sha256)) "…" } } }
                } }
            }
            @if !made.config.is_empty() {
                h3 { "Configuration" }
                dl.config {
                    @for (name, value) in &made.config { div { dt { (clean(name)) } dd { code { (clean(value)) } } } }
                }
            }
            p.subtitle { "Made on the reader's own machine; this page fetches nothing and sends nothing." }
            }))
        }
    }
}
