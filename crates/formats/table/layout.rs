//! Finds the header, the delimiter, the columns and the sign of decimals of a table.

use super::columns::{Column, ColumnSet};
use super::mapping::{Mapping, MappingError};
use super::rows::{Cells, NextRow, Rows};
use super::text::{TableLines, is_comment};
use super::units::Dimension;
use crate::charset::text_of;
use crate::lines::Line;
use crate::number::parse_trimmed;
use driftless_track::SourceRef;

/// Some loggers write a few lines about themselves before the header.
const PREAMBLE_LINES: usize = 40;
/// What may stand between cells.
pub(crate) const DELIMITERS: [u8; 3] = [b',', b';', b'\t'];
/// A longer line names no columns, bytes.
const LONGEST_HEADER: usize = 1 << 16;
/// Rows from which the sign of decimals is told.
const ROWS_FOR_DECIMALS: usize = 400;

/// How a table is laid out.
#[derive(Debug)]
pub struct Layout<Q> {
    pub(super) delimiter: u8,
    /// Whether numbers may be written with a comma.
    pub(super) decimal_comma: bool,
    /// Lines up to and with the header.
    pub(super) lines_before: usize,
    /// Those in use, in the order of the table, or of the mapping.
    pub columns: Vec<Column<Q>>,
    /// All names in the header (the first row, where there is none).
    pub names: Vec<String>,
    /// Names that were not understood or stand for something already found; empty under a mapping.
    pub unused: Vec<String>,
    /// Where the header is.
    pub header: SourceRef,
}

/// Why there is no layout.
#[derive(Debug, Clone, PartialEq)]
pub enum LayoutError {
    /// No line names a single column of this kind of table.
    NoHeader,
    /// The mapping does not fit.
    Mapping(MappingError),
}

impl<Q: ColumnSet> Layout<Q> {
    /// By the names in the header, or by a mapping.
    ///
    /// # Errors
    /// When nothing in the table is of this kind, or the mapping speaks of columns that are not there.
    pub fn find(table: TableLines<'_>, mapping: Option<&Mapping<Q>>) -> Result<Self, LayoutError> {
        let mut layout = match mapping {
            Some(mapping) => Self::mapped(table, mapping).map_err(LayoutError::Mapping)?,
            None => Self::recognised(table).ok_or(LayoutError::NoHeader)?,
        };
        // With a comma between fields there can be none inside of numbers.
        layout.decimal_comma |= layout.delimiter != b',';
        if layout.decimal_comma && mapping.is_none_or(|m| !m.decimal_comma) {
            layout.decimal_comma = !layout.prefers_points(table);
        }
        Ok(layout)
    }

    /// The scale of a quantity; the inner `None` where nothing tells it.
    pub fn scale_of(&self, quantity: Q) -> Option<Option<super::Scale>> {
        self.columns.iter().find(|c| c.quantity == quantity).map(|c| c.scale)
    }

    /// Whether the table has a column for it.
    pub fn has(&self, quantity: Q) -> bool {
        self.scale_of(quantity).is_some()
    }

    /// Where a quantity stands in a row.
    pub fn index_of(&self, quantity: Q) -> Option<usize> {
        self.columns.iter().find(|c| c.quantity == quantity).map(|c| c.index)
    }

    /// A number as the table writes them, in a cell.
    pub fn number(&self, text: &[u8]) -> Option<f64> {
        if self.decimal_comma && text.contains(&b',') {
            let dotted: Vec<u8> = text.iter().map(|&b| if b == b',' { b'.' } else { b }).collect();
            return parse_trimmed(&dotted);
        }
        parse_trimmed(text)
    }

    fn recognised(table: TableLines<'_>) -> Option<Self> {
        let mut best: Option<((usize, bool), Line<'_>, u8)> = None;
        for line in table.all().filter(|line| !line.bytes.is_empty()).take(PREAMBLE_LINES) {
            for delimiter in DELIMITERS {
                let known = names_in(line.bytes, delimiter).iter().filter(|name| Q::recognise(name).is_some()).count();
                // Some loggers write their header as a comment; one that is none goes before.
                let rank = (known, !is_comment(line.bytes));
                if known > 0 && best.as_ref().is_none_or(|(most, ..)| rank > *most) {
                    best = Some((rank, line, delimiter));
                }
            }
        }
        let (_, line, delimiter) = best?;
        let names = names_in(line.bytes, delimiter);
        let mut columns = Vec::<Column<Q>>::new();
        let mut unused = Vec::new();
        for (index, name) in names.iter().enumerate() {
            match Q::recognise(name) {
                Some((quantity, scale)) if columns.iter().all(|c| c.quantity != quantity) => {
                    columns.push(Column { index, quantity, scale });
                }
                _ => unused.push(name.clone()),
            }
        }
        let lines_before = line.source.line as usize;
        Some(Self { delimiter, decimal_comma: false, lines_before, columns, names, unused, header: line.source })
    }

    fn mapped(table: TableLines<'_>, mapping: &Mapping<Q>) -> Result<Self, MappingError> {
        let Some(line) = table.filled().next() else {
            return Err(MappingError { reason: "the table has no row at all".to_owned() });
        };
        let delimiter = match mapping.delimiter {
            Some(c) => u8::try_from(c)
                .ok()
                .filter(u8::is_ascii)
                .ok_or_else(|| MappingError { reason: format!("the delimiter {c:?} is not one plain character") })?,
            None => likely_delimiter(line.bytes),
        };
        let names = names_in(line.bytes, delimiter);
        let columns = mapping.resolve(&names)?;
        let lines_before = (line.source.line as usize).saturating_sub(usize::from(!mapping.header));
        let decimal_comma = mapping.decimal_comma;
        Ok(Self { delimiter, decimal_comma, lines_before, columns, names, unused: Vec::new(), header: line.source })
    }

    /// Whether the first rows write numbers with points more often than with commas: a comma then parts thousands.
    fn prefers_points(&self, table: TableLines<'_>) -> bool {
        let numbers: Vec<usize> = self
            .columns
            .iter()
            .filter(|c| !matches!(c.quantity.dimension(), Dimension::Time | Dimension::Unitless))
            .map(|c| c.index)
            .collect();
        let (mut points, mut commas) = (0_usize, 0_usize);
        let mut rows = Rows::new(table, self);
        for _ in 0..ROWS_FOR_DECIMALS {
            match rows.advance() {
                NextRow::End => break,
                NextRow::TooLong(_) => {}
                NextRow::Row(row) => {
                    for cell in numbers.iter().map(|&index| row.cell(index)) {
                        points += usize::from(cell.contains(&b'.'));
                        commas += usize::from(cell.contains(&b','));
                    }
                }
            }
        }
        points > commas
    }
}

/// The line and the cells of the first row, for words about a table in which nothing was understood.
pub(super) fn first_names(table: TableLines<'_>) -> (u32, Vec<String>) {
    let first = table.filled().next();
    first.map_or((1, Vec::new()), |line| (line.source.line, names_in(line.bytes, likely_delimiter(line.bytes))))
}

/// Of those that may part cells, the one that stands most often in a row.
fn likely_delimiter(row: &[u8]) -> u8 {
    let count = |delimiter: &u8| memchr::memchr_iter(*delimiter, row).count();
    DELIMITERS.into_iter().rev().max_by_key(count).unwrap_or(b',')
}

/// The names in a header.
pub(crate) fn names_in(line: &[u8], delimiter: u8) -> Vec<String> {
    let line = line.get(..LONGEST_HEADER).unwrap_or(line);
    Cells::new(delimiter).of_line(line).cells().map(|name| text_of(name).into_owned()).collect()
}

/// At most twelve names of at most forty characters: messages are read by people.
pub fn shortened(names: &[String]) -> Vec<String> {
    let mut few: Vec<String> = names.iter().take(12).map(|name| name.chars().take(40).collect()).collect();
    if names.len() > few.len() {
        few.push(format!("and {} more", names.len() - few.len()));
    }
    few
}
