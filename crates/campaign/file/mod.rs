//! The campaign file: TOML that a person writes by hand, and sheets of runs (CSV) beside it.
//!
//! Whatever is wrong is reported together, each at its line with the excerpt and what to do.

mod fault;
mod fields;
mod folder;
mod parts;
mod read;
mod runs;
mod setups;
mod sheet;
mod source;
mod suggest;
mod table;
mod write;

pub use fault::{CampaignFileError, Fault};
pub use folder::{AnyFolder, Folder};
pub use read::{read, read_within};
pub use runs::key_of_log;
pub use write::write;

/// A campaign file to begin with, commented line by line; it reads as it stands, and has no flights yet.
pub const STARTER: &str = include_str!("starter.toml");

#[cfg(test)]
mod tests;
#[cfg(test)]
mod write_tests;
