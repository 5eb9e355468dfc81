//! What a kind of table says of its columns.

use super::name::Name;
use super::units::{Dimension, Scale};
use std::fmt::Debug;

/// The columns that one kind of table can have; implemented by the enum of their quantities.
pub trait ColumnSet: Copy + PartialEq + Debug + 'static {
    /// Which quantities a mapping file can assign.
    const KEYS: &'static [MappingKey<Self>];
    /// Dimensions whose units may stand as the last words of a column's name (`gs_mps`, `accel_x_m_s2`).
    const DIMENSIONS: &'static [Dimension];

    /// The quantity that a column is called by: its name in lower case, letters and digits only, unit taken off.
    fn named(letters: &str) -> Option<Self>;

    /// What its units are units of.
    fn dimension(self) -> Dimension;

    /// The quantity and, where the name tells a unit, the scale of a column; `None` for one of no use.
    fn recognise(name: &str) -> Option<(Self, Option<Scale>)> {
        let name = Name::parse(name, Self::DIMENSIONS);
        let quantity = Self::named(&name.letters)?;
        match name.unit {
            None => Some((quantity, None)),
            // A unit that does not fit the quantity: another thing of the same name.
            Some(unit) => Some((quantity, Some(quantity.dimension().scale(&unit)?))),
        }
    }
}

/// A key of a mapping file.
#[derive(Debug)]
pub struct MappingKey<Q: 'static> {
    /// As written in the file.
    pub key: &'static str,
    /// Whether a mapping without it is of no use.
    pub needed: bool,
    /// One quantity for `key = "name"`, several for `key = { columns = [...] }`.
    pub quantities: &'static [Q],
}

/// A column in use.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Column<Q> {
    /// From 0.
    pub index: usize,
    /// What it holds.
    pub quantity: Q,
    /// How its numbers become SI; `None` where neither name nor mapping tells a unit.
    pub scale: Option<Scale>,
}
