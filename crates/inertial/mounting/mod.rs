//! How the sensor sits on the pilot: down by gravity, forward by the way it rolls into turns.

mod down;
mod forward;

pub use down::{Down, DownError, find_down};
pub(crate) use forward::across;
pub use forward::{Forward, TurnAt, find_forward};
