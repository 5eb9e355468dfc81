//! Tables into a page: what stands between two marker lines is made by the command, the rest is written by people.

use crate::tables::Table;

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

/// Replaces what stands in the place called `name`.
///
/// # Errors
/// [`PageError::NoPlace`] when the page does not hold both marker lines.
pub fn fill(page: &str, name: &str, content: &str) -> Result<String, PageError> {
    let (open, close) = markers(name);
    let found = page.split_once(&open).and_then(|(before, rest)| Some((before, rest.split_once(&close)?.1)));
    match found {
        Some((before, after)) => Ok(format!("{before}{open}\n{}\n{close}{after}", content.trim_end())),
        None => Err(PageError::NoPlace { name: name.to_owned(), open, close }),
    }
}

/// A page of nothing but the places of these tables.
pub fn blank(tables: &[Table]) -> String {
    tables
        .iter()
        .map(|table| {
            let (open, close) = markers(table.name);
            format!("## {}\n\n{open}\n{close}\n\n", table.title)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_is_filled_and_filled_again_and_the_rest_stays() {
        let page = "words\n<!-- made: a -->\nold\n<!-- end: a -->\nmore\n";
        let once = fill(page, "a", "new\n").expect("a place");
        assert_eq!(once, "words\n<!-- made: a -->\nnew\n<!-- end: a -->\nmore\n");
        assert_eq!(fill(&once, "a", "new\n").expect("a place"), once);
        assert!(fill(page, "b", "").is_err());
    }
}
