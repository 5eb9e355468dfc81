//! From SI values to what people read: units of choice, rounding, words. Shared by HTML, charts and text.
//!
//! Values stay in SI until here and are rounded here, once. JSON and CSV do not pass through this module.

mod rounding;
mod turn;
mod units;
mod words;

pub(crate) use rounding::{fixed, places_for, plus_minus, round_to_places, significant};
pub(crate) use turn::{TurnSide, quarter_turn, turn_range, turn_side, turn_signed, turn_without_sign};
pub use units::{DisplayUnits, HeightUnit, SpeedUnit, TurnUnit, UnitsError};
pub(crate) use words::{
    NOT_KNOWN, clock_utc, compass_point, compass_words, count_of, date_utc, duration_words, format_name,
    hands_off_words, origin_words, scenario_words, severity_words, wind_words,
};
