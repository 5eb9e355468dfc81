//! The text of a file, and the line of any byte in it without counting from the start each time.

use super::fault::{EXCERPT, Fault};
use std::ops::Range;

/// A file being read.
pub(super) struct Source<'t> {
    pub(super) file: &'t str,
    pub(super) text: &'t str,
    /// Where each line begins, bytes.
    line_starts: Vec<usize>,
}

impl<'t> Source<'t> {
    pub(super) fn new(file: &'t str, text: &'t str) -> Self {
        let starts = std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1));
        Self { file, text, line_starts: starts.collect() }
    }

    /// Line of a byte, from 1.
    pub(super) fn line(&self, byte: usize) -> usize {
        self.line_starts.partition_point(|start| *start <= byte)
    }

    /// Where the line of a byte begins.
    fn line_start(&self, byte: usize) -> usize {
        self.line(byte).checked_sub(1).and_then(|line| self.line_starts.get(line)).copied().unwrap_or(0)
    }

    /// What is wrong at a span of bytes.
    pub(super) fn fault(&self, span: Range<usize>, message: String, help: Option<String>) -> Fault {
        let mut start = span.start.min(self.text.len());
        while !self.text.is_char_boundary(start) {
            start -= 1;
        }
        let (before, after) = self.text.split_at(start);
        let of_line = before.get(self.line_start(start)..).unwrap_or_default();
        let rest_of_line = after.split(['\n', '\r']).next().unwrap_or_default();
        let meant = rest_of_line.get(..span.end.saturating_sub(start)).unwrap_or(rest_of_line).trim_end();
        Fault {
            file: self.file.to_owned(),
            line: self.line(start),
            column: of_line.chars().count() + 1,
            message,
            excerpt: of_line.chars().chain(rest_of_line.chars()).take(EXCERPT).collect(),
            width: meant.chars().count().max(1),
            help,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_and_columns_count_from_one() {
        let source = Source::new("a.toml", "one\nzw\u{f6}lf = 12\r\n\nlast");
        for (byte, line) in [(0, 1), (3, 1), (4, 2), (16, 2), (17, 3), (18, 4), (99, 4)] {
            assert_eq!(source.line(byte), line, "byte {byte}");
        }
        let fault = source.fault(13..15, "too many".to_owned(), None);
        assert_eq!((fault.line, fault.column, fault.width), (2, 9, 2));
        assert_eq!(fault.excerpt, "zw\u{f6}lf = 12");
        assert_eq!(source.fault(99..100, String::new(), None).line, 4);
    }
}
