//! Why an inertial sensor came no farther, in words.

use driftless_analysis::InertialStatus;

/// Why a sensor has no part in the estimate, as a clause; `None` for one that has.
pub fn why_not_used(status: &InertialStatus) -> Option<String> {
    match status {
        InertialStatus::Used(_) => None,
        InertialStatus::NotUsed(why) => Some(why.to_string()),
        _ => why_not_aligned(status),
    }
}

/// Why a sensor does not lie on the flight, as a clause; `None` for one that does.
pub fn why_not_aligned(status: &InertialStatus) -> Option<String> {
    match status {
        InertialStatus::Used(_) | InertialStatus::NotUsed(_) => None,
        InertialStatus::NotAligned(why) => Some(why.to_string()),
        InertialStatus::NotRead(why) => Some(why.to_string()),
    }
}
