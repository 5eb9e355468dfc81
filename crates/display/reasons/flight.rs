//! Why a flight of a campaign gives no analysis, in words.

use driftless_analysis::campaign::FlightFailure;

/// Why, with the file.
pub fn flight_failure(why: &FlightFailure) -> String {
    match why {
        FlightFailure::LeftOut => "the campaign file leaves it out".to_owned(),
        FlightFailure::NotRead(words) => words.clone(),
        FlightFailure::Refused(refusal) => refusal.to_string(),
    }
}
