//! Why the wind of a flight is not known, in words.

use crate::{DisplayUnits, fixed};
use driftless_analysis::{EstimateError, UnclearWind, WindUnknown};

/// What to do for the wind to show.
pub const fn wind_advice(why: &WindUnknown) -> &'static str {
    match why {
        WindUnknown::NoEstimate(EstimateError::OnTheGround) => {
            "check that this is the log of the flight: it stands, walks or drives"
        }
        WindUnknown::NoEstimate(EstimateError::TooShort { .. } | EstimateError::Diverged) | WindUnknown::Unclear(_) => {
            "fly one or two full circles at steady power, in both directions if possible, before the windows and at \
             each power setting; they show the wind"
        }
    }
}

/// Why, as a clause with figure and limit.
pub fn wind_unknown(why: &WindUnknown, units: &DisplayUnits) -> String {
    match why {
        WindUnknown::NoEstimate(error) => no_estimate(error),
        WindUnknown::Unclear(UnclearWind::NoFlight) => "no flight to judge".to_owned(),
        WindUnknown::Unclear(UnclearWind::HeadingsTooAlike { wind_std_u_mps, limit_mps }) => {
            let (value, limit) = units.speed_beside_limit(*wind_std_u_mps, *limit_mps);
            format!(
                "the headings flown leave the wind uncertain by {value} on each axis (standard uncertainty), limit {limit}"
            )
        }
        WindUnknown::Unclear(UnclearWind::AirspeedNotTold { airspeed_std_u_mps, limit_mps }) => {
            let (value, limit) = units.speed_beside_limit(*airspeed_std_u_mps, *limit_mps);
            format!(
                "the headings flown do not tell airspeed from wind: the airspeed is uncertain by {value} (standard \
                 uncertainty), limit {limit}"
            )
        }
        WindUnknown::Unclear(UnclearWind::AirspeedNotBelieved { airspeed_mps, limit_mps }) => {
            let (value, limit) = units.speed_beside_limit(*airspeed_mps, *limit_mps);
            let side = if airspeed_mps < limit_mps { "slowest" } else { "fastest" };
            format!(
                "without a full turn the log leaves the airspeed open: the likeliest is {value}, and the {side} \
                 that is believed is {limit}"
            )
        }
    }
}

/// For which airspeeds a turn rate holds, as a clause.
pub fn rate_holds(slowest_mps: f64, fastest_mps: f64, units: &DisplayUnits) -> String {
    let [slowest, fastest] = [slowest_mps, fastest_mps].map(|mps| fixed(mps * units.speed.per_mps(), 0));
    format!(
        "the rate holds for each airspeed between {slowest} and {fastest}\u{a0}{} that the log allows",
        units.speed.sign()
    )
}

/// That the log fits an airspeed that is not believed of paramotors, as a clause.
pub fn airspeed_strained(mean_mps: f64, believed_mps: f64, units: &DisplayUnits) -> String {
    let side = if mean_mps < believed_mps { "slower" } else { "faster" };
    format!(
        "it fits about {} best, which is {side} than most are flown ({}), so look twice",
        units.speed(mean_mps),
        units.speed(believed_mps)
    )
}

/// Why a flight could not be estimated, as a clause.
pub(super) fn no_estimate(error: &EstimateError) -> String {
    match error {
        EstimateError::OnTheGround => "the log stays on the ground: it holds no flight".to_owned(),
        EstimateError::TooShort { nodes, needed } => {
            format!("only {nodes} seconds of flight with positions, at least {needed} are needed")
        }
        EstimateError::Diverged => {
            "the estimate did not settle: positions and flight model do not fit together".to_owned()
        }
    }
}
