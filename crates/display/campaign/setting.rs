//! Which setting of a device to take, in words.

use super::{at, join, ratio, turn_words};
use crate::{DisplayUnits, fixed, significant};
use driftless_analysis::Scenario;
use driftless_analysis::campaign::model::{Campaign, DeviceId};
use driftless_analysis::campaign::physics::{DeviceOnWing, DoesItAll};
use driftless_units::Interval;

/// The setting to take and what it leaves, by name of device and wing; `None` without a recommendation.
pub fn setting(campaign: &Campaign, units: &DisplayUnits, of: &DeviceOnWing) -> Option<String> {
    let name = format!("{} on {}", campaign.device(of.device).name, campaign.wing(of.wing).name);
    Some(format!("{name}: {}", setting_alone(campaign, units, of)?))
}

/// The same where the name of the device stands before it.
pub fn setting_alone(campaign: &Campaign, units: &DisplayUnits, of: &DeviceOnWing) -> Option<String> {
    let found = of.recommendation.as_ref()?;
    let unit = setting_unit(campaign, of.device);
    let left: Vec<String> = of
        .scenarios
        .iter()
        .zip(&found.left_deg_s)
        .map(|(scenario, turn)| format!("{} {}", turn_words(units, turn), at(*scenario)))
        .collect();
    let interval = with_unit(&found.interval, unit);
    let edge = match found.beyond_range {
        (true, true) => ", as far as it can be set either way",
        (false, true) => ", or more than it can be set to",
        (true, false) => ", or less than it can be set to",
        (false, false) => "",
    };
    let all = match found.does_it_all {
        DoesItAll::Yes(range) => format!(
            "Between {} every scenario is expected within {}\u{a0}°/min.",
            with_unit(&range, unit).replace(" to ", " and "),
            fixed(campaign.tolerated_turn_deg_min, 0)
        ),
        DoesItAll::No { needs_more, needs_less } => {
            let words = |at: usize| of.scenarios.get(at).map_or("a scenario", |s| s.words());
            let why = if needs_more == needs_less {
                format!("{} stays beyond it", words(needs_more))
            } else {
                format!("{} needs more than {} allows", words(needs_more), words(needs_less))
            };
            format!(
                "No setting does it all: within {}\u{a0}°/min everywhere is out of reach, {why}.",
                fixed(campaign.tolerated_turn_deg_min, 0)
            )
        }
    };
    let weight = |scenario: &Scenario| campaign.scenario_weights.get(scenario).copied().unwrap_or(1.0);
    let weights: Vec<(Scenario, f64)> = of.scenarios.iter().map(|scenario| (*scenario, weight(scenario))).collect();
    let tested = if of.settings_flown < 2 {
        " It was flown at one setting only: that its effect grows in proportion is assumed."
    } else {
        ""
    };
    Some(format!(
        "{}\u{a0}{unit} ({interval}{edge}) is expected to leave the least turn, scenarios weighed {}: {}. {all}{tested}",
        significant(found.setting, 2),
        ratio(&weights),
        join(&left),
    ))
}

/// "14 mm"; `None` without a recommendation.
pub fn best_setting(campaign: &Campaign, of: &DeviceOnWing) -> Option<String> {
    let found = of.recommendation.as_ref()?;
    Some(format!("{}\u{a0}{}", significant(found.setting, 2), setting_unit(campaign, of.device)))
}

/// The unit of a device's setting, or "units".
pub fn setting_unit(campaign: &Campaign, device: DeviceId) -> &str {
    campaign.device(device).setting_unit.as_deref().unwrap_or("units")
}

fn with_unit(range: &Interval<f64>, unit: &str) -> String {
    format!("{} to {}\u{a0}{unit}", significant(range.low, 2), significant(range.high, 2))
}
