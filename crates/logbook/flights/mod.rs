//! Flights of a campaign: their logs, and what the pilot says of them.

mod about;
mod add;
mod list;

pub use about::About;
pub(crate) use about::{write_about, write_left_out};
pub use add::Added;
pub(crate) use add::{NewRow, insert, take_inertial, take_text};
pub(crate) use list::left_out;
pub use list::{FlightEntry, FlightFilter};

use crate::LogbookError;

/// A flight that is not there.
pub(crate) const GONE: LogbookError = LogbookError::Gone { what: "flight" };
