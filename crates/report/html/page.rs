//! The frame of every page: one self-contained file that fetches nothing.

use super::style::STYLE;
use crate::outlet::finished;
use maud::{DOCTYPE, Markup, PreEscaped, html as markup};

/// A whole page.
pub(crate) struct Page<'a> {
    /// Title for the browser's tab; escaped here.
    pub(crate) title: String,
    /// Version of the program.
    pub(crate) version: &'a str,
    /// Styles of this page alone, after those that all pages share.
    pub(crate) own_style: &'a str,
}

impl Page<'_> {
    /// The document.
    pub(crate) fn around(&self, main: &Markup) -> String {
        let document = markup! {
            (DOCTYPE)
            html lang="en" {
                head {
                    meta charset="utf-8";
                    meta name="viewport" content="width=device-width, initial-scale=1";
                    meta name="color-scheme" content="light dark";
                    meta name="generator" content=(format!("driftless {}", self.version));
                    title { (self.title) }
                    style { (PreEscaped(STYLE)) (PreEscaped(self.own_style)) }
                }
                body { main { (main) } }
            }
        };
        finished(document.into_string())
    }
}
