//! The column mapping of a table of positions.

use super::columns::Quantity;
use crate::ReadError;
use crate::table::Mapping;

/// Which column of a table of positions holds what. Columns are named, or numbered from 1; docs/formats.md has all keys.
///
/// ```
/// use driftless_formats::CsvMapping;
/// let mapping = CsvMapping::from_toml(r#"
///     delimiter = ";"
///     decimal_comma = true
///     time = "Zeit"
///     latitude = "Breite"
///     longitude = "Länge"
///     ground_speed = { column = "v", unit = "km/h" }
/// "#)?;
/// # Ok::<(), driftless_formats::ReadError>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct CsvMapping(pub(super) Mapping<Quantity>);

impl CsvMapping {
    /// Reads a mapping from TOML text.
    ///
    /// # Errors
    /// [`ReadError::Mapping`] with the place and the words of the TOML reader.
    pub fn from_toml(text: &str) -> Result<Self, ReadError> {
        Ok(Self(Mapping::from_toml(text)?))
    }
}
