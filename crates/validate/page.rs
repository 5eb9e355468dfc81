//! Tables and charts into a page: what stands between two marker lines is made by the command, the rest is written by
//! people.

use crate::tables::Table;
use driftless_report::Chart;

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
    /// A place is missing or not closed.
    #[error("the page has no place for {name:?}: it needs the lines {open:?} and {close:?}")]
    NoPlace {
        /// Name of the place.
        name: String,
        /// The line that opens it.
        open: String,
        /// The line that closes it.
        close: String,
    },
}

fn markers(name: &str) -> (String, String) {
    (format!("<!-- made: {name} -->"), format!("<!-- end: {name} -->"))
}

/// Replaces what stands in the places of these blocks; other places stay as they are.
///
/// # Errors
/// [`PageError::NoPlace`] when the page does not hold both marker lines of a block.
pub fn fill(page: &str, blocks: &[Block]) -> Result<String, PageError> {
    let mut text = page.to_owned();
    for block in blocks {
        let (open, close) = markers(&block.name);
        let found = text.split_once(&open).and_then(|(before, rest)| Some((before, rest.split_once(&close)?.1)));
        text = match found {
            Some((before, after)) => format!("{before}{open}\n{}\n{close}{after}", block.content.trim_end()),
            None => return Err(PageError::NoPlace { name: block.name.clone(), open, close }),
        };
    }
    Ok(text)
}

/// A page of nothing but the places of these blocks.
pub fn blank(blocks: &[Block]) -> String {
    blocks
        .iter()
        .map(|block| {
            let (open, close) = markers(&block.name);
            format!("## {}\n\n{open}\n{close}\n\n", block.title)
        })
        .collect()
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
        assert!(fill(page, &[block("b", "")]).is_err());
        assert!(fill(&blank(&[block("b", "")]), &[block("b", "new")]).is_ok());
    }
}
