//! The column mapping of an inertial table.

use super::ImuError;
use super::columns::Quantity;
use driftless_formats::table::Mapping;

/// Which columns of an inertial table hold what. Columns are named, or numbered from 1; docs/formats.md has all keys.
///
/// ```
/// use driftless_inertial::ImuMapping;
/// let mapping = ImuMapping::from_toml(r#"
///     time = { column = "Zeit", unit = "ms" }
///     gyro = { columns = ["Drehung x", "Drehung y", "Drehung z"], unit = "deg/s" }
///     accel = { columns = [5, 6, 7], unit = "g" }
/// "#)?;
/// # Ok::<(), driftless_inertial::ImuError>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct ImuMapping(pub(super) Mapping<Quantity>);

impl ImuMapping {
    /// Reads a mapping from TOML text.
    ///
    /// # Errors
    /// [`ImuError::Mapping`] with the place and the words of the TOML reader.
    pub fn from_toml(text: &str) -> Result<Self, ImuError> {
        Ok(Self(Mapping::from_toml(text)?))
    }
}
