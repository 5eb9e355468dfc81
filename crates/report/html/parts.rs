//! Pieces that the sections share: charts in their frames, tables of facts.

use crate::known::bare_name;
use driftless_charts::Chart;
use driftless_units::printable_lines;
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
                div.scroll.wide[chart.narrow.is_some()] { (PreEscaped(&chart.svg)) }
                @if let Some(narrow) = &chart.narrow { div.narrow { (PreEscaped(narrow)) } }
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

/// A table with a head; the first column is text, the others are text or numbers by what stands in them; `class` says
/// what the last one is.
pub(crate) fn table(caption: &str, class: &str, head: &[String], rows: &[Vec<String>]) -> Markup {
    let text: Vec<bool> = (0..head.len()).map(|column| is_text(rows, column)).collect();
    let is_text = |column: usize| text.get(column).copied().unwrap_or(false);
    markup! {
        div.scroll {
            table class=(class) {
                caption { (caption) }
                thead { tr { @for (i, cell) in head.iter().enumerate() { th.text[is_text(i)] scope="col" { (cell) } } } }
                tbody {
                    @for row in rows {
                        tr {
                            @for (i, cell) in row.iter().enumerate() {
                                @if i == 0 { th scope="row" { (cell) } } @else {
                                    // On a narrow screen the head stands in front of each cell.
                                    td.text[is_text(i)] data-head=[head.get(i)] { (cell) }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Words from a file, with whatever would act on the page made visible; line ends are blanks to a page.
pub(crate) fn clean(words: &str) -> String {
    printable_lines(words).into_owned()
}

/// Whether a column holds words: every cell that is filled begins with a letter.
fn is_text(rows: &[Vec<String>], column: usize) -> bool {
    let mut filled = rows.iter().filter_map(|row| row.get(column)).filter_map(|cell| cell.chars().next()).peekable();
    filled.peek().is_some() && filled.all(char::is_alphabetic)
}

/// Words from a problem as a sentence.
pub(crate) fn sentence(words: &str) -> String {
    driftless_display::sentence(&clean(words))
}

/// With a stop last.
pub(crate) fn stopped(words: &str) -> String {
    let words = clean(words);
    let words = words.trim();
    let stop = if words.is_empty() || words.ends_with(['.', '?', '!']) { "" } else { "." };
    format!("{words}{stop}")
}

/// The name of the log without its folders.
pub(crate) fn file_name(path: &str) -> String {
    clean(bare_name(path))
}
