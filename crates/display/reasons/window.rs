//! What speaks against a window, in words: what it is, the figure, the limit.

use super::wind::{rate_holds, wind_unknown};
use crate::{DisplayUnits, beside_limit, fixed, with_plus};
use driftless_analysis::{Finding, SteadySpeed, Verdict};

/// All that speaks against a window, as clauses.
pub fn reasons(verdict: &Verdict, units: &DisplayUnits) -> Vec<String> {
    verdict.findings.iter().map(|finding| reason(finding, units)).collect()
}

/// What it is, without figures: "airspeed not steady".
pub const fn heading(finding: &Finding) -> &'static str {
    match finding {
        Finding::TooShort { .. } => "too short",
        Finding::BeforeTakeOff { .. } => "begins before take-off",
        Finding::AfterLanding { .. } => "ends after landing",
        Finding::StaysPut { .. } => "does not move",
        Finding::GapInLog { .. } => "gap in the log",
        Finding::TurnRateChanging { .. } => "turn rate still changing",
        Finding::TurnRateUneven { .. } => "turn rate not the same throughout",
        Finding::SpeedChanging { speed: SteadySpeed::Airspeed, .. }
        | Finding::SpeedScatters { speed: SteadySpeed::Airspeed, .. } => "airspeed not steady",
        Finding::SpeedChanging { speed: SteadySpeed::Climb, .. }
        | Finding::SpeedScatters { speed: SteadySpeed::Climb, .. } => "climb not steady",
        Finding::CandidateTurnsFast { .. } => "turns too fast for a candidate",
        Finding::PilotInput { .. } => "pilot input likely",
        Finding::WindUnknown(_) | Finding::WindNotEstimated => "wind not known",
        Finding::WindUncertain { .. } => "wind not known well enough",
        Finding::RateNotMeasured => "turn rate could not be measured in this window",
        Finding::RateUncertain { .. } => "turn rate not known well enough",
        Finding::SolutionsDisagree { .. } => "wind not known, and what the log leaves open disagrees on the turn rate",
        Finding::AirspeedOpen { .. } => "wind not known",
        Finding::WindChanged { .. } => "caution, the wind changed",
        Finding::FlownLow { .. } => "caution, flown low",
        Finding::BelowTakeOff { .. } => "caution, below take-off",
        Finding::LowOverLanding { .. } => "caution, low over the landing place",
        Finding::JustAfterTakeOff { .. } => "caution, just after take-off",
        Finding::JustBeforeLanding { .. } => "caution, just before landing",
    }
}

/// What it is, with figure and limit.
pub fn reason(finding: &Finding, units: &DisplayUnits) -> String {
    let what = heading(finding);
    match figures(finding, units) {
        Some(figures) => format!("{what}: {figures}"),
        None => what.to_owned(),
    }
}

fn figures(finding: &Finding, units: &DisplayUnits) -> Option<String> {
    Some(match finding {
        Finding::TooShort { length_s, cut_s, limit_s } => {
            let (length, limit) = seconds(*length_s, *limit_s);
            let cut = fixed(*cut_s, 1);
            format!("{length} are left after {cut}\u{a0}s for the transient, at least {limit} are needed")
        }
        // Even a tenth of a second on the ground is not "0 s".
        Finding::BeforeTakeOff { by_s } => format!("by {}\u{a0}s", beside_limit(*by_s, 0.0, 0).0),
        Finding::AfterLanding { by_s } => format!("by {}\u{a0}s", beside_limit(*by_s, 0.0, 0).0),
        Finding::StaysPut { extent_m, seconds, limit_m } => {
            let (extent, limit) = units.height_beside_limit(*extent_m, *limit_m);
            let seconds = fixed(*seconds, 0);
            format!("stays within {extent} for {seconds}\u{a0}s, as on the ground; flight goes at least {limit}")
        }
        Finding::GapInLog { longest_s, limit_s } => {
            let (longest, limit) = seconds(*longest_s, *limit_s);
            format!("{longest} without a fix, limit {limit}")
        }
        Finding::TurnRateChanging { change_deg_s, std_u_deg_s, limit_deg_s } => {
            let (change, limit) = units.turn_beside_limit(*change_deg_s, *limit_deg_s, 1);
            let std_u = units.turn_number(*std_u_deg_s, 1);
            changes(*change_deg_s, change, &std_u, &limit)
        }
        Finding::TurnRateUneven { rate_deg_s, departure_deg_s, piece_s: span_s, limit_deg_s }
        | Finding::PilotInput { rate_deg_s, departure_deg_s, held_s: span_s, limit_deg_s } => {
            let (departure, limit) = units.turn_beside_limit(*departure_deg_s, *limit_deg_s, 1);
            format!(
                "{}\u{a0}{} for {}\u{a0}s, {} off its mean, limit {limit}",
                with_plus(*rate_deg_s, units.turn_number(*rate_deg_s, 1)),
                units.turn.sign(),
                fixed(*span_s, 0),
                with_plus(*departure_deg_s, departure),
            )
        }
        Finding::SpeedChanging { change_mps, std_u_mps, limit_mps, .. } => {
            let (change, limit) = units.speed_beside_limit(*change_mps, *limit_mps);
            changes(*change_mps, change, &fixed(*std_u_mps * units.speed.per_mps(), 1), &limit)
        }
        Finding::SpeedScatters { scatter_mps, limit_mps, .. } => {
            let (scatter, limit) = units.speed_beside_limit(*scatter_mps, *limit_mps);
            format!("scatters by {scatter} (standard deviation), limit {limit}")
        }
        Finding::CandidateTurnsFast { rate_deg_s, limit_deg_s } => {
            let (rate, limit) = units.turn_beside_limit(*rate_deg_s, *limit_deg_s, 1);
            format!("{}; nobody marked it, and above {limit} it is taken as flown", with_plus(*rate_deg_s, rate))
        }
        Finding::WindUnknown(why) => wind_unknown(why, units),
        Finding::WindNotEstimated => "nothing to estimate it from at this time".to_owned(),
        Finding::WindUncertain { std_u_mps, limit_mps } => {
            let (std_u, limit) = units.speed_beside_limit(*std_u_mps, *limit_mps);
            format!("standard uncertainty {std_u} on each axis, limit {limit}")
        }
        Finding::RateNotMeasured => return None,
        Finding::RateUncertain { std_u_deg_s, limit_deg_s } => {
            let (std_u, limit) = units.turn_beside_limit(*std_u_deg_s, *limit_deg_s, 2);
            format!("standard uncertainty {std_u}, limit {limit}")
        }
        Finding::SolutionsDisagree { margin_deg_s, limit_deg_s } => {
            let (margin, limit) = units.turn_beside_limit(*margin_deg_s, *limit_deg_s, 2);
            format!("± {margin}, limit {limit}")
        }
        Finding::AirspeedOpen { slowest_mps, fastest_mps } => rate_holds(*slowest_mps, *fastest_mps, units),
        Finding::WindChanged { after_s } => {
            format!("about {}\u{a0}s after its start; the uncertainty allows for it", fixed(*after_s, 0))
        }
        Finding::FlownLow { height_m, limit_m } => {
            let (height, limit) = units.height_beside_limit(*height_m, *limit_m);
            format!("{height} above take-off, {limit} advised")
        }
        Finding::LowOverLanding { height_m, limit_m } => {
            let (height, limit) = units.height_beside_limit(*height_m, *limit_m);
            format!("{height} above it, {limit} advised")
        }
        Finding::JustAfterTakeOff { after_s, limit_s } => {
            let (after, limit) = seconds(*after_s, *limit_s);
            format!("{after} after it, {limit} advised")
        }
        Finding::JustBeforeLanding { before_s, limit_s } => {
            let (before, limit) = seconds(*before_s, *limit_s);
            format!("{before} before it, {limit} advised")
        }
        Finding::BelowTakeOff { height_m } => {
            format!("{} below take-off, height over the ground not known", units.height(-height_m))
        }
    })
}

/// "by +3.0 °/s from start to end (standard uncertainty 0.1), limit 1.5 °/s".
fn changes(signed: f64, change: String, std_u: &str, limit: &str) -> String {
    format!("by {} from start to end (standard uncertainty {std_u}), limit {limit}", with_plus(signed, change))
}

/// A time in seconds and the limit it misses.
fn seconds(value_s: f64, limit_s: f64) -> (String, String) {
    let (value, limit) = beside_limit(value_s, limit_s, 1);
    (format!("{value}\u{a0}s"), format!("{limit}\u{a0}s"))
}

#[cfg(test)]
mod tests;
