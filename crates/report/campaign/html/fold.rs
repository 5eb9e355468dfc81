//! What is folded on the screen. On paper a fold has no mark: what is printed is printed whole, the rest is left out.

use maud::{Markup, html as markup};

/// Whether a section is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Paper {
    /// Whole.
    Whole,
    /// Only if the reader has opened it.
    Opened,
}

/// A section that is folded until somebody asks for it.
pub(super) fn fold(id: &str, title: &str, paper: Paper, body: &Markup) -> Markup {
    markup! {
        section aria-labelledby=(id) {
            details.paper[paper == Paper::Whole] {
                summary { h2 id=(id) { (title) } }
                (body)
            }
        }
    }
}

/// Tables and the like within a section.
pub(super) fn folded(title: &str, body: &Markup) -> Markup {
    markup! { details { summary { (title) } (body) } }
}
