//! A line slicer on bytes: no copies, no encoding, any line end.

use driftless_track::SourceRef;

/// Longer than any record of a line-based format by far; what is longer is not a record.
pub(crate) const MAX_LINE: usize = 4096;

/// One line without its end.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Line<'a> {
    /// The bytes, blanks at the end taken off.
    pub(crate) bytes: &'a [u8],
    /// Where it begins.
    pub(crate) source: SourceRef,
    /// Whether a line end was there; a last line without one may be cut off.
    pub(crate) complete: bool,
}

/// Iterates over the lines of a file: LF, CR LF, or CR alone when the file has no LF at all.
#[derive(Debug, Clone)]
pub(crate) struct Lines<'a> {
    rest: &'a [u8],
    end: u8,
    line: u32,
    byte: u64,
}

impl<'a> Lines<'a> {
    /// Over `bytes`, which stand `base` bytes behind the start of the file.
    pub(crate) fn new(bytes: &'a [u8], base: u64) -> Self {
        let head = bytes.get(..1 << 16).unwrap_or(bytes);
        let end =
            if memchr::memchr(b'\n', head).is_none() && memchr::memchr(b'\r', head).is_some() { b'\r' } else { b'\n' };
        Self { rest: bytes, end, line: 0, byte: base }
    }
}

impl<'a> Iterator for Lines<'a> {
    type Item = Line<'a>;

    fn next(&mut self) -> Option<Line<'a>> {
        if self.rest.is_empty() {
            return None;
        }
        let end = memchr::memchr(self.end, self.rest);
        let (bytes, rest) = self.rest.split_at_checked(end.unwrap_or(self.rest.len()))?;
        self.rest = rest.get(1..).unwrap_or_default();
        self.line = self.line.saturating_add(1);
        let source = SourceRef { line: self.line, byte: self.byte };
        self.byte += bytes.len() as u64 + 1;
        Some(Line { bytes: bytes.trim_ascii_end(), source, complete: end.is_some() })
    }
}

/// Turns rising byte offsets into line numbers.
pub(crate) struct LineCounter<'a> {
    bytes: &'a [u8],
    at: usize,
    line: u32,
    base: u64,
}

impl<'a> LineCounter<'a> {
    pub(crate) fn new(bytes: &'a [u8], base: u64) -> Self {
        Self { bytes, at: 0, line: 1, base }
    }

    /// The place of `offset`, which must not be before the one asked last (it then keeps the last line).
    pub(crate) fn place(&mut self, offset: usize) -> SourceRef {
        let passed = self.bytes.get(self.at..offset).unwrap_or_default();
        let lines = memchr::memchr_iter(b'\n', passed).count();
        self.line = self.line.saturating_add(u32::try_from(lines).unwrap_or(u32::MAX));
        self.at = self.at.max(offset);
        SourceRef { line: self.line, byte: self.base + offset as u64 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_end_is_understood_and_places_are_exact() {
        for (text, starts) in [("ab\ncd\nef", [0, 3, 6]), ("ab\r\ncd\r\nef", [0, 4, 8]), ("ab\rcd\ref", [0, 3, 6])] {
            let lines: Vec<_> = Lines::new(text.as_bytes(), 0).collect();
            let words: Vec<_> = lines.iter().map(|l| l.bytes).collect();
            assert_eq!(words, [b"ab", b"cd", b"ef"], "{text:?}");
            assert_eq!(lines.iter().map(|l| l.source.byte).collect::<Vec<_>>(), starts, "{text:?}");
            assert_eq!(
                lines.iter().map(|l| (l.source.line, l.complete)).collect::<Vec<_>>(),
                [(1, true), (2, true), (3, false)]
            );
        }
    }

    #[test]
    fn offsets_become_lines() {
        let mut counter = LineCounter::new(b"a\nb\n\nc", 3);
        assert_eq!(counter.place(0), SourceRef { line: 1, byte: 3 });
        assert_eq!(counter.place(2), SourceRef { line: 2, byte: 5 });
        assert_eq!(counter.place(5), SourceRef { line: 4, byte: 8 });
    }
}
