//! Pieces that the sections share: charts in their frames, tables of facts.

use crate::charts::Chart;
use maud::{Markup, PreEscaped, html as markup};

/// A chart under its headline, with the table of its numbers.
pub(crate) fn figure(chart: &Chart, numbers: &Markup) -> Markup {
    markup! {
        figure id=(chart.id) {
            // Held together on paper: a headline without its chart says nothing.
            div.together {
                figcaption {
                    h3 { (chart.headline) }
                    p.subtitle { (chart.subtitle) }
                }
                div.scroll { (PreEscaped(&chart.svg)) }
            }
            (numbers)
        }
    }
}

/// A table of names and values, in as many columns as there is room for.
pub(crate) fn facts(rows: &[(&str, String)]) -> Markup {
    markup! {
        dl.facts-list {
            @for (name, value) in rows {
                div { dt { (name) } dd { (value) } }
            }
        }
    }
}

/// A table with a head; the first column is text, the others are numbers; `class` says what the last one is.
pub(crate) fn table(caption: &str, class: &str, head: &[String], rows: &[Vec<String>]) -> Markup {
    markup! {
        div.scroll {
            table class=(class) {
                caption { (caption) }
                thead { tr { @for cell in head { th scope="col" { (cell) } } } }
                tbody {
                    @for row in rows {
                        tr {
                            @for (i, cell) in row.iter().enumerate() {
                                @if i == 0 { th scope="row" { (cell) } } @else { td { (cell) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Words from a file without control characters, which no page can show.
pub(crate) fn clean(words: &str) -> String {
    words.chars().filter(|c| !c.is_control()).collect()
}

/// The name of the log without its folders.
pub(crate) fn file_name(path: &str) -> String {
    let name = path.rsplit(['/', '\\']).find(|part| !part.is_empty()).unwrap_or(path);
    clean(name)
}
