//! Rows and their cells.

use super::columns::ColumnSet;
use super::layout::Layout;
use super::text::{TableLines, is_comment};
use crate::lines::Lines;
use csv_core::{ReadRecordResult, Reader, ReaderBuilder};
use driftless_track::SourceRef;

/// A row longer than this is a broken line or quotation, not a row, bytes.
const MAX_ROW: usize = 1 << 16;
/// A quotation that goes on for more lines than this has lost its end. Each line is so looked at a bounded number of times.
const MAX_LINES: usize = 16;

/// Goes over the rows behind the header.
#[derive(Debug)]
pub struct Rows<'a> {
    text: &'a [u8],
    base: u64,
    lines: Lines<'a>,
    cells: Cells,
}

/// What stands next in the table.
#[derive(Debug)]
pub enum NextRow<'r> {
    /// A row.
    Row(Row<'r>),
    /// A line too long to be one.
    TooLong(Row<'r>),
    /// Nothing.
    End,
}

/// One row.
#[derive(Debug, Clone, Copy)]
pub struct Row<'r> {
    /// As it stands in the file.
    pub bytes: &'r [u8],
    /// Where it begins.
    pub source: SourceRef,
    /// What the ends count in: the row, or what is left of it without quotation marks.
    cells: &'r [u8],
    ends: &'r [usize],
    /// Bytes between the end of a cell and the start of the next.
    gap: usize,
}

impl<'r> Row<'r> {
    /// A cell without quotation marks and blanks around it; empty where the row is shorter.
    pub fn cell(&self, index: usize) -> &'r [u8] {
        let Some(&end) = self.ends.get(index) else { return &[] };
        let from = match index.checked_sub(1).and_then(|before| self.ends.get(before)) {
            Some(before) => before + self.gap,
            None => 0,
        };
        let text = self.cells.get(from..end).unwrap_or_default().trim_ascii();
        match text {
            [b'"', inner @ .., b'"'] => inner.trim_ascii(),
            _ => text,
        }
    }

    /// All cells.
    pub fn cells(&self) -> impl Iterator<Item = &'r [u8]> {
        let row = *self;
        (0..self.ends.len()).map(move |index| row.cell(index))
    }
}

impl<'a> Rows<'a> {
    /// Behind the header of a layout.
    pub fn new<Q: ColumnSet>(table: TableLines<'a>, layout: &Layout<Q>) -> Self {
        let mut lines = table.all();
        for _ in 0..layout.lines_before {
            lines.next();
        }
        Self { text: table.bytes, base: table.base, lines, cells: Cells::new(layout.delimiter) }
    }

    /// The next row that is neither blank nor a comment.
    pub fn advance(&mut self) -> NextRow<'_> {
        let line = loop {
            match self.lines.next() {
                None => return NextRow::End,
                Some(line) if line.bytes.is_empty() || is_comment(line.bytes) => {}
                Some(line) => break line,
            }
        };
        if line.bytes.len() > MAX_ROW {
            self.cells.count = 0;
            return NextRow::TooLong(self.cells.row(line.bytes, line.source));
        }
        let bytes = match self.cells.split(line.bytes) {
            0 => line.bytes,
            // Most quotations end where they began, on their own line, and around one whole cell.
            even if even % 2 == 0 => {
                if !self.cells.marks_only_enclose(line.bytes) {
                    self.cells.unquote(line.bytes);
                }
                line.bytes
            }
            _ => self.quoted_row(line.bytes, line.source),
        };
        NextRow::Row(self.cells.row(bytes, line.source))
    }

    /// A line, already split, with those behind it that a quotation reaches into. Where one has no end the line stays as it
    /// is: the cell with the mark is then no number.
    fn quoted_row(&mut self, first: &'a [u8], source: SourceRef) -> &'a [u8] {
        let start = usize::try_from(source.byte.saturating_sub(self.base)).unwrap_or(usize::MAX);
        let mut quotation = Quotation::default();
        quotation.read(first, self.cells.delimiter);
        if !quotation.inside {
            self.cells.unquote(first);
            return first;
        }
        let mut ahead = self.lines.clone();
        for _ in 1..MAX_LINES {
            let Some(line) = ahead.next() else { break };
            quotation.read(line.bytes, self.cells.delimiter);
            let end = usize::try_from(line.source.byte.saturating_sub(self.base)).unwrap_or(usize::MAX);
            match self.text.get(start..end.saturating_add(line.bytes.len())) {
                Some(row) if row.len() <= MAX_ROW && quotation.inside => {}
                Some(row) if row.len() <= MAX_ROW => {
                    self.lines = ahead;
                    self.cells.unquote(row);
                    return row;
                }
                _ => break,
            }
        }
        first
    }
}

/// Whether the end of what was read stands inside of a quotation.
#[derive(Debug, Default)]
struct Quotation {
    inside: bool,
}

impl Quotation {
    /// A quotation begins at the start of a cell; a doubled mark inside is a mark, which closes and opens here.
    fn read(&mut self, line: &[u8], delimiter: u8) {
        let mut may_open = true;
        for &byte in line {
            match (byte, self.inside) {
                (b'"', true) => (self.inside, may_open) = (false, true),
                (b'"', false) if may_open => self.inside = true,
                (byte, false) => may_open = byte == delimiter || (may_open && byte == b' '),
                _ => {}
            }
        }
    }
}

/// Splits rows into cells.
#[derive(Debug)]
pub(super) struct Cells {
    delimiter: u8,
    /// Made for the first row with quotation marks: making it costs as much as reading thousands of rows.
    reader: Option<Box<Reader>>,
    /// The cells of a row with quotation marks, without them, one behind the other.
    unquoted: Vec<u8>,
    is_unquoted: bool,
    /// Where each cell ends, of the first `count`.
    ends: Vec<usize>,
    count: usize,
    /// Where the quotation marks of the row stand.
    marks: Vec<usize>,
}

impl Cells {
    pub(super) fn new(delimiter: u8) -> Self {
        Self {
            delimiter,
            reader: None,
            unquoted: Vec::new(),
            is_unquoted: false,
            ends: Vec::new(),
            count: 0,
            marks: Vec::new(),
        }
    }

    /// The row split last.
    fn row<'r>(&'r self, bytes: &'r [u8], source: SourceRef) -> Row<'r> {
        let (cells, gap) = if self.is_unquoted { (self.unquoted.as_slice(), 0) } else { (bytes, 1) };
        Row { bytes, source, cells, ends: self.ends.get(..self.count).unwrap_or_default(), gap }
    }

    /// A line by itself.
    pub(super) fn of_line<'r>(&'r mut self, line: &'r [u8]) -> Row<'r> {
        let mut quotation = Quotation::default();
        quotation.read(line, self.delimiter);
        if self.split(line) > 0 && !quotation.inside && !self.marks_only_enclose(line) {
            self.unquote(line);
        }
        self.row(line, SourceRef::default())
    }

    /// Splits at every delimiter, and counts the quotation marks.
    fn split(&mut self, row: &[u8]) -> usize {
        self.is_unquoted = false;
        self.ends.clear();
        self.marks.clear();
        for at in memchr::memchr2_iter(self.delimiter, b'"', row) {
            // A mapping may part cells by quotation marks.
            if row.get(at) == Some(&self.delimiter) {
                self.ends.push(at);
            } else {
                self.marks.push(at);
            }
        }
        self.ends.push(row.len());
        self.count = self.ends.len();
        self.marks.len()
    }

    /// Whether each mark of the row split last is the first or the last character of a cell that has just these two: then the
    /// row is split rightly, and [`Row::cell`] takes the marks off.
    fn marks_only_enclose(&self, row: &[u8]) -> bool {
        let blank = |from: usize, to: usize| row.get(from..to).is_some_and(|text| text.trim_ascii().is_empty());
        let mut starts_and_ends = std::iter::once(0).chain(self.ends.iter().map(|end| end + 1)).zip(&self.ends);
        self.marks.chunks(2).all(|pair| match *pair {
            [open, close] => starts_and_ends
                .find(|(_, end)| **end > open)
                .is_some_and(|(start, &end)| blank(start, open) && close < end && blank(close + 1, end)),
            _ => false,
        })
    }

    /// Splits a row whose quotations end in it, and takes them off.
    fn unquote(&mut self, row: &[u8]) {
        let delimiter = self.delimiter;
        let make = || Box::new(ReaderBuilder::new().delimiter(delimiter).build());
        let reader = self.reader.get_or_insert_with(make);
        reader.reset();
        // Neither buffer can be too small: a row has no more cells than bytes and one.
        self.unquoted.resize(row.len().max(self.unquoted.len()), 0);
        self.ends.resize(row.len().max(self.ends.len()) + 1, 0);
        let (mut read, mut written, mut cells) = (0, 0, 0);
        while let (Some(input), Some(output), Some(ends)) =
            (row.get(read..), self.unquoted.get_mut(written..), self.ends.get_mut(cells..))
        {
            let (result, taken, put, ended) = reader.read_record(input, output, ends);
            (read, written, cells) = (read + taken, written + put, cells + ended);
            // The empty input that follows ends the record.
            if !matches!(result, ReadRecordResult::InputEmpty) {
                break;
            }
        }
        self.is_unquoted = true;
        self.count = cells;
    }
}

/// Blank, or a word that programs write for a number that is not there.
pub fn is_no_number(text: &[u8]) -> bool {
    text.is_empty() || [b"nan".as_slice(), b"null", b"none", b"na", b"n/a"].iter().any(|w| text.eq_ignore_ascii_case(w))
}
