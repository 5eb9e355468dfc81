//! Why a run of a campaign counts for nothing, in words.

use driftless_analysis::Finding;
use driftless_analysis::campaign::WhyUnused;
use driftless_display::DisplayUnits;
use driftless_display::reasons::reason;

/// Why, as a clause.
pub(super) fn why_unused(why: &WhyUnused, units: &DisplayUnits) -> String {
    match why {
        WhyUnused::UnknownSetup(named) => {
            format!("the marks file names the set-up \"{named}\", which the campaign file does not describe")
        }
        WhyUnused::LeftOut(because) => format!("left out by the campaign file: {}", because.trim_end_matches('.')),
        WhyUnused::Refused(findings) => {
            let refusing = findings.iter().filter(|finding| finding.refuses());
            format!("refused: {}", refusing.map(|finding| reason(finding, units)).collect::<Vec<_>>().join("; "))
        }
        WhyUnused::NearGround(findings) => {
            let near = findings.iter().filter(|finding| finding.near_ground());
            let why = near.map(|finding| reason(finding, units)).collect::<Vec<_>>().join("; ");
            format!("nobody marked it, and it was flown near the ground: {why}")
        }
        WhyUnused::AirspeedOpen(findings) => {
            let open = findings.iter().filter(|finding| matches!(finding, Finding::AirspeedOpen { .. }));
            let why = open.map(|finding| reason(finding, units)).collect::<Vec<_>>().join("; ");
            format!("too rough for a campaign, {why}")
        }
        WhyUnused::Unmarked => "nobody marked it; take_candidates = true would let it count".to_owned(),
        WhyUnused::NoScenario => "its scenario is not known; name it in the marks or for the flight".to_owned(),
        WhyUnused::NoRate => "its turn rate, or what turbulence adds to its uncertainty, is not known".to_owned(),
        WhyUnused::Timing(error) => error.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rate_without_the_wind_is_too_rough_for_a_campaign() {
        let why = WhyUnused::AirspeedOpen(vec![Finding::AirspeedOpen { slowest_mps: 8.0, fastest_mps: 13.0 }]);
        let words = why_unused(&why, &DisplayUnits::default()).replace('\u{a0}', " ");
        assert!(
            words.starts_with("too rough for a campaign, wind not known") && words.contains("8 and 13 m/s"),
            "{words}"
        );
    }
}
