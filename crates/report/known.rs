//! What is known and what only stands in for "nothing known": a value that nobody measured is never written out.

/// A number when it is finite, else nothing.
pub(crate) fn finite(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
}

/// The name of a file without its folders, which are nobody's business to whom a report is passed on.
pub(crate) fn bare_name(path: &str) -> &str {
    path.rsplit(['/', '\\']).find(|part| !part.is_empty()).unwrap_or(path)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_lose_their_folders() {
        for (path, name) in
            [("a/b c.igc", "b c.igc"), ("C:\\logs\\x.gpx", "x.gpx"), ("flight.igc", "flight.igc"), ("/", "/")]
        {
            assert_eq!(bare_name(path), name);
        }
    }

    #[test]
    fn only_finite_numbers_are_known() {
        assert_eq!(finite(1.5), Some(1.5));
        assert_eq!(finite(f64::NAN), None);
        assert_eq!(finite(f64::INFINITY), None);
    }
}
