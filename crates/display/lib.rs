//! From SI values to what people read: units of choice, rounding, words. Shared by reports and charts.
//!
//! Values stay in SI until here and are rounded here, once. JSON and CSV do not pass through this module.

pub mod campaign;
pub mod inertial;
mod limit;
mod names;
pub mod reasons;
mod rounding;
mod turn;
mod units;
mod words;
mod zone;

pub(crate) use limit::{beside_limit, with_plus};
pub use names::{distinct, shortened};
pub use rounding::{fixed, places_for, plus_minus, round_to_places, significant};
pub use turn::{TurnSide, quarter_turn, turn_range, turn_side, turn_signed, turn_without_sign};
pub use units::{DisplayUnits, HeightUnit, Places, SpeedUnit, TurnUnit, UnitsError};
pub use words::{
    NOT_KNOWN, about_seconds, combined_name, compass_point, compass_words, count_of, duration_words, flights_words,
    hands_off_words, origin_words, receiver_words, scenario_words, sentence, severity_words, short_combined_name,
    short_window_scenario_words, wind_words, window_scenario_words,
};
pub use zone::Zone;
