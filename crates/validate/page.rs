//! Tables and charts into a page: what stands between two marker lines is made by the command, the rest is written by
//! people.

use crate::study::Seeds;
use crate::tables::Table;
use driftless_charts::Chart;

/// What a place of the page is filled with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Block {
    /// Name of the place.
    pub name: String,
    /// What it shows, for a page that is not there yet.
    pub title: String,
    /// Markdown.
    pub content: String,
}

impl Block {
    /// How a part of the page was made, and from how many flights or windows, in words.
    pub fn made_by(name: &str, version: &str, command: &str, seeds: Seeds, amount: &str) -> Self {
        let kind = match seeds {
            Seeds::Judging => "judging seeds, on which nothing was tuned",
            Seeds::Tuning => "TUNING seeds: not the figures that count",
        };
        Self {
            name: name.to_owned(),
            title: "How it was made".to_owned(),
            content: format!(
                "Made by driftless {version} with `{command}`: {amount}, {kind} (from {} on).",
                seeds.first()
            ),
        }
    }

    /// A table.
    pub fn table(table: &Table) -> Self {
        Self { name: table.name.to_owned(), title: table.title.clone(), content: table.markdown() }
    }

    /// A chart, which stands in a file of its own ([`image`]).
    pub fn chart(chart: &Chart) -> Self {
        let content =
            format!("**{}.** {}\n\n![{}]({})\n", chart.headline, chart.subtitle, chart.headline, image(chart));
        Self { name: chart.id.clone(), title: chart.headline.clone(), content }
    }
}

/// Where the file of a chart stands beside the page.
pub fn image(chart: &Chart) -> String {
    format!("images/{}.svg", chart.id)
}

/// Why a page cannot be filled.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PageError {
    /// A place is opened and not closed.
    #[error("the page opens the place {name:?} and does not close it: the line {close:?} is missing")]
    NotClosed {
        /// Name of the place.
        name: String,
        /// The line that closes it.
        close: String,
    },
}

fn markers(name: &str) -> (String, String) {
    (format!("<!-- made: {name} -->"), format!("<!-- end: {name} -->"))
}

/// Replaces what stands in the places of these blocks; other places stay as they are, and what has no place yet gets a
/// section at the end.
///
/// # Errors
/// [`PageError::NotClosed`] when a place has only its first marker line.
pub fn fill(page: &str, blocks: &[Block]) -> Result<String, PageError> {
    let mut text = page.to_owned();
    for block in blocks {
        let (open, close) = markers(&block.name);
        let content = block.content.trim_end();
        text = match text.split_once(&open) {
            None => format!("{text}\n## {}\n\n{open}\n{content}\n{close}\n", block.title),
            Some((before, rest)) => match rest.split_once(&close) {
                Some((_, after)) => format!("{before}{open}\n{content}\n{close}{after}"),
                None => return Err(PageError::NotClosed { name: block.name.clone(), close }),
            },
        };
    }
    Ok(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn block(name: &str, content: &str) -> Block {
        Block { name: name.to_owned(), title: "A".to_owned(), content: content.to_owned() }
    }

    #[test]
    fn a_place_is_filled_and_filled_again_and_the_rest_stays() {
        let page = "words\n<!-- made: a -->\nold\n<!-- end: a -->\nmore\n";
        let once = fill(page, &[block("a", "new\n")]).expect("a place");
        assert_eq!(once, "words\n<!-- made: a -->\nnew\n<!-- end: a -->\nmore\n");
        assert_eq!(fill(&once, &[block("a", "new\n")]).expect("a place"), once);
        let longer = fill(page, &[block("b", "more")]).expect("a section of its own");
        assert!(longer.starts_with(page) && longer.ends_with("## A\n\n<!-- made: b -->\nmore\n<!-- end: b -->\n"));
        assert!(fill("<!-- made: a -->\n", &[block("a", "")]).is_err());
    }
}
