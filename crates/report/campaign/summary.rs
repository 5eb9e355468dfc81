//! The finding of a campaign in at most four sentences: which set-up, whether claims hold, what cannot be had, what next.
//! Figures that stand in the matrix below are not said again.

use super::next;
use driftless_analysis::Scenario;
use driftless_analysis::campaign::model::{Campaign, DeviceId, SetupId};
use driftless_analysis::campaign::physics::{DeviceOnWing, DoesItAll};
use driftless_analysis::campaign::{CampaignAnalysis, CampaignPlan, Ranking};
use driftless_display::campaign::{best_setting, capital, join, typed, weighed};
use driftless_display::{DisplayUnits, count_of, fixed, turn_signed};
use driftless_units::Interval;
use std::collections::BTreeMap;

/// Wings named in one sentence.
const MOST_WINGS: usize = 3;

/// The finding.
pub(crate) fn finding(analysis: &CampaignAnalysis, units: &DisplayUnits, plan: &CampaignPlan) -> Vec<String> {
    if analysis.cells.is_empty() {
        return vec!["Nothing can be compared: no run counts. The reasons stand beside each run left out.".to_owned()];
    }
    let sentences =
        [Some(least_turn(analysis, units)), claims(analysis), settings(analysis), next::sentence(analysis, plan)];
    sentences.into_iter().flatten().map(|sentence| capital(&sentence)).collect()
}

/// Which set-up turns least on each wing, with the weights and how sure that is.
fn least_turn(analysis: &CampaignAnalysis, units: &DisplayUnits) -> String {
    let campaign = &analysis.campaign;
    let Some(first) = analysis.rankings.first() else {
        return "No set-up can be said to turn least: on no wing were two of them flown in one scenario that counts."
            .to_owned();
    };
    let alike: Vec<&Ranking> = analysis.rankings.iter().filter(|of| of.scenarios == first.scenarios).collect();
    let mut each: Vec<String> = alike.iter().take(MOST_WINGS).filter_map(|of| best(campaign, units, of)).collect();
    let more = analysis.rankings.len() - alike.len().min(MOST_WINGS);
    if more > 0 {
        each.push(format!("what the matrix says of {}", count_of(more, "more wing", "more wings")));
    }
    let over = weighed(&first.scenarios, |of| analysis.scenario_words(of));
    format!("{}, the least turn is that with {}.", capital(&over), join(&each))
}

/// "vanes on the Fenlark 26 (1.2 ± 0.1 °/s; 98 % sure to be the best)".
fn best(campaign: &Campaign, units: &DisplayUnits, of: &Ranking) -> Option<String> {
    let (setup, turn) = of.setups.first()?;
    let sure = of.chance_of_first().map_or(String::new(), |chance| format!(", {} sure", probability(chance)));
    Some(format!(
        "{} on the {} ({}\u{a0}{}{sure})",
        campaign.setup(*setup).name,
        campaign.wing(of.wing).name,
        turn_signed(units, &typed(turn)),
        units.turn.sign()
    ))
}

/// A probability in whole per cent that never claims certainty.
pub(crate) fn probability(p: f64) -> String {
    match 100.0 * p {
        percent if percent < 1.0 => "below 1\u{a0}%".to_owned(),
        percent if percent > 99.0 => "above 99\u{a0}%".to_owned(),
        percent => format!("{}\u{a0}%", fixed(percent, 0)),
    }
}

/// Whether what is claimed of set-ups holds, in one sentence.
pub(crate) fn claims(analysis: &CampaignAnalysis) -> Option<String> {
    let campaign = &analysis.campaign;
    let mut parts = Vec::new();
    for (index, setup) in campaign.setups.iter().enumerate() {
        let of_setup = |id: SetupId| id == SetupId(index);
        let mut of_this = Vec::new();
        if let Some(claimed) = setup.claim.compensation_percent {
            let of_this_setup = analysis.compensation.iter().filter(|of| of_setup(of.key.setup));
            let known: Vec<Interval<f64>> = of_this_setup.filter_map(|of| of.result.interval).collect();
            let less = known.iter().filter(|ends| ends.high < claimed).count();
            of_this.extend(claim(&format!("{}\u{a0}%", fixed(claimed, 0)), "less is shown", less, known.len()));
        }
        if let Some(claimed) = setup.claim.drift_deg_min {
            let of_this_setup = analysis.drift.iter().filter(|of| of.claimed && of_setup(of.key.setup));
            let known: Vec<Interval<f64>> = of_this_setup.map(|of| of.result.interval).collect();
            let beyond = known.iter().filter(|ends| ends.low > claimed || ends.high < -claimed).count();
            let most = format!("a drift of at most {}\u{a0}°/min", fixed(claimed, 0));
            of_this.extend(claim(&most, "more is shown", beyond, known.len()));
        }
        if !of_this.is_empty() {
            parts.push(format!("of {} {}", setup.name, of_this.join("; ")));
        }
    }
    (!parts.is_empty()).then(|| format!("{}.", parts.join("; ")))
}

/// "90 % is claimed, and less is shown in all 6 cells"; nothing where the claim was not flown.
fn claim(claimed: &str, beyond: &str, cells: usize, of: usize) -> Option<String> {
    match (cells, of) {
        (_, 0) => None,
        (0, _) => Some(format!("{claimed} is claimed, and the runs do not contradict it")),
        (all, of) if all == of => {
            Some(format!("{claimed} is claimed, and {beyond} in all {}", count_of(of, "cell", "cells")))
        }
        (some, of) => Some(format!("{claimed} is claimed, and {beyond} in {some} of {of} cells")),
    }
}

/// The best setting of each device, and whether it serves every scenario.
pub(crate) fn settings(analysis: &CampaignAnalysis) -> Option<String> {
    let campaign = &analysis.campaign;
    let mut by_device: BTreeMap<DeviceId, Vec<&DeviceOnWing>> = BTreeMap::new();
    for of in analysis.physics.devices.iter().filter(|of| of.recommendation.is_some()) {
        by_device.entry(of.device).or_default().push(of);
    }
    let sentence = |(device, list): (&DeviceId, &Vec<&DeviceOnWing>)| {
        let each: Vec<String> = list
            .iter()
            .take(MOST_WINGS)
            .filter_map(|of| Some(format!("{} on the {}", best_setting(campaign, of)?, campaign.wing(of.wing).name)))
            .collect();
        let but = list.iter().find_map(|of| conflict(analysis, of)).map_or(String::new(), |why| format!("; {why}"));
        format!("{}: best at {}{but}", campaign.device(*device).name, join(&each))
    };
    let all: Vec<String> = by_device.iter().take(2).map(sentence).collect();
    (!all.is_empty()).then(|| format!("{}.", all.join("; ")))
}

/// Which scenarios pull apart.
fn conflict(analysis: &CampaignAnalysis, of: &DeviceOnWing) -> Option<String> {
    let DoesItAll::No { needs_more, needs_less } = of.recommendation.as_ref()?.does_it_all else { return None };
    let words =
        |at: usize| of.scenarios.get(at).map_or("a scenario", |scenario: &Scenario| analysis.scenario_words(*scenario));
    Some(if needs_more == needs_less {
        format!("no setting holds {} within what is tolerated", words(needs_more))
    } else {
        format!("no setting serves both {} and {}", words(needs_more), words(needs_less))
    })
}
