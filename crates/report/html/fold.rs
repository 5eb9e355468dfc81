//! What is folded on the screen. On paper a fold has no mark: what is printed is printed whole, the rest is left out.

use maud::{Markup, html as markup};

/// Whether a fold is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Paper {
    /// Whole.
    Whole,
    /// Only if the reader has opened it.
    Opened,
}

/// What stands folded under a line until somebody asks for it.
pub(crate) fn fold(summary: &Markup, paper: Paper, inside: &Markup) -> Markup {
    markup! { details.paper[paper == Paper::Whole] { summary { (summary) } (inside) } }
}

/// A section that is folded until somebody asks for it.
pub(crate) fn folded_section(id: &str, title: &str, paper: Paper, body: &Markup) -> Markup {
    markup! {
        section aria-labelledby=(id) { (fold(&markup! { h2 id=(id) { (title) } }, paper, body)) }
    }
}

/// Tables and the like within a section; left out on paper unless opened.
pub(crate) fn folded(title: &str, body: &Markup) -> Markup {
    fold(&markup! { (title) }, Paper::Opened, body)
}
