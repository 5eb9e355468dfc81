//! One reader of tables: positions and inertial data differ only in which columns they want.
//!
//! A kind of table describes its columns by implementing [`ColumnSet`]: the names and units of each, and its key in a
//! mapping file. Everything else is here, once: unpacking and character sets ([`TableText`]), the header, delimiter and
//! decimal commas ([`Layout`]), units ([`Dimension`]), mapping files ([`Mapping`]), rows and their cells ([`Rows`]), and
//! times as loggers write them ([`TimeReader`]).

mod columns;
mod layout;
mod mapping;
mod name;
mod rows;
mod text;
mod time;
mod units;

pub use columns::{Column, ColumnSet, MappingKey};
pub use driftless_units::excerpt;
pub(crate) use layout::{DELIMITERS, names_in};
pub use layout::{Layout, LayoutError, shortened};
pub use mapping::{Mapping, MappingError};
pub use rows::{NextRow, Row, Rows, is_no_number};
pub use text::{TableLines, TableText};
pub use time::{TIME_UNITS, TableTime, TimeReader, median_step, unit_of_step, unit_since_1970};
pub use units::{Dimension, Scale};

#[cfg(test)]
mod tests;
