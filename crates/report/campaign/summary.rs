//! The finding of a campaign in a few sentences, every one made from figures and naming its cells.

use super::{advice, statements};
use driftless_analysis::Scenario;
use driftless_analysis::campaign::model::{SetupId, WingId};
use driftless_analysis::campaign::{CampaignAnalysis, Cell, CellCompensation, JudgeBy};
use driftless_display::campaign::{capital, join, percent_words, setting, turn_words};
use driftless_display::{DisplayUnits, count_of, fixed};
use std::collections::{BTreeMap, BTreeSet};

/// Most sentences on pairs of devices; the table holds all.
const MOST_PAIRS: usize = 4;

/// The finding.
pub(crate) fn finding(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Vec<String> {
    if analysis.cells.is_empty() {
        return vec!["Nothing can be compared: no run counts. The reasons stand beside each run left out.".to_owned()];
    }
    let campaign = &analysis.campaign;
    let mut sentences: Vec<String> =
        analysis.rankings.iter().filter_map(|of| advice::ranking(campaign, units, of)).collect();
    let places: BTreeSet<(WingId, SetupId)> = analysis.cells.iter().map(|c| (c.key.wing, c.key.setup)).collect();
    sentences.extend(places.iter().filter_map(|(wing, setup)| of_setup(analysis, units, *setup, *wing)));
    sentences.extend(pairs(analysis, units));
    sentences.extend(claims(analysis));
    sentences.extend(analysis.physics.devices.iter().filter_map(|of| setting(campaign, units, of)));
    sentences.extend(advice::next_to_fly(analysis));
    sentences.iter().map(|sentence| capital(sentence)).collect()
}

/// The largest differences between devices that are told apart, one for each wing and scenario.
fn pairs(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Vec<String> {
    let mut told_apart: Vec<_> = analysis.comparisons.iter().filter(|c| c.told_apart()).collect();
    told_apart.sort_by(|a, b| b.result.difference.abs().total_cmp(&a.result.difference.abs()));
    let mut seen = BTreeSet::new();
    told_apart.retain(|pair| seen.insert((pair.wing, pair.scenario)));
    if told_apart.is_empty() && analysis.comparisons.len() > 1 {
        let all = count_of(analysis.comparisons.len(), "comparison", "comparisons");
        return vec![format!(
            "No two devices are told apart by the size of their turn in any of {all} (Holm-corrected)."
        )];
    }
    told_apart.iter().take(MOST_PAIRS).map(|pair| statements::comparison(&analysis.campaign, units, pair)).collect()
}

/// What is claimed of a set-up against what the runs show, one sentence for each set-up and wing.
fn claims(analysis: &CampaignAnalysis) -> Vec<String> {
    let campaign = &analysis.campaign;
    let mut by_place: BTreeMap<(SetupId, WingId), Vec<&CellCompensation>> = BTreeMap::new();
    for of in analysis.compensation.iter().filter(|of| of.judge_by == JudgeBy::Percent) {
        if campaign.setup(of.key.setup).claim.compensation_percent.is_some() {
            by_place.entry((of.key.setup, of.key.wing)).or_default().push(of);
        }
    }
    let sentence = |((setup, wing), list): ((SetupId, WingId), Vec<&CellCompensation>)| {
        let claimed = campaign.setup(setup).claim.compensation_percent?;
        let below: Vec<String> = list
            .iter()
            .filter(|of| of.result.interval.is_some_and(|ends| ends.high < claimed))
            .map(|of| format!("{} at {}", percent_words(&of.result), of.key.scenario.words()))
            .collect();
        let title = format!("{} on {}", campaign.setup(setup).name, campaign.wing(wing).name);
        let claim = format!("{}\u{a0}%", fixed(claimed, 0));
        Some(match below.as_slice() {
            [] => format!("{title}: {claim} is claimed, and the runs do not contradict it."),
            _ => format!("{title}: {claim} is claimed; the runs show less, {}.", join(&below)),
        })
    };
    by_place.into_iter().filter_map(sentence).collect()
}

/// One sentence for a set-up on a wing: its compensation in each scenario, or the turn where that says more.
fn of_setup(analysis: &CampaignAnalysis, units: &DisplayUnits, setup: SetupId, wing: WingId) -> Option<String> {
    let campaign = &analysis.campaign;
    let cells: Vec<&Cell> =
        analysis.cells.iter().filter(|cell| cell.key.setup == setup && cell.key.wing == wing).collect();
    let setup = &campaign.setup(setup).name;
    let wing = &campaign.wing(wing).name;
    let mut percents = Vec::new();
    let mut turns = Vec::new();
    for cell in cells {
        let scenario = cell.key.scenario;
        let known = analysis.compensation_of(cell.key).filter(|c| c.judge_by == JudgeBy::Percent);
        match known {
            Some(of) => {
                let of_the_turn = if percents.is_empty() { " of the turn" } else { "" };
                percents.push(format!(
                    "{}{of_the_turn} at {}{}",
                    percent_words(&of.result),
                    scenario.words(),
                    over(of)
                ));
            }
            None => turns.push(format!(
                "{} {} {}",
                turn_words(units, &cell.turn_deg_s()),
                preposition(scenario),
                scenario.words()
            )),
        }
    }
    match (percents.is_empty(), turns.is_empty()) {
        (true, true) => None,
        (true, false) => Some(format!("With {setup}, the {wing} turns {}.", join(&turns))),
        (false, true) => Some(format!("On the {wing}, {setup} compensates {}.", join(&percents))),
        (false, false) => {
            Some(format!("On the {wing}, {setup} compensates {}, and it turns {}.", join(&percents), join(&turns)))
        }
    }
}

const fn preposition(scenario: Scenario) -> &'static str {
    match scenario {
        Scenario::FullPowerClimb | Scenario::PowerOffGlide => "in",
        _ => "at",
    }
}

fn over(of: &CellCompensation) -> &'static str {
    if of.result.interval.is_some_and(|interval| interval.low > 100.0) {
        " (too much: it turns the other way)"
    } else {
        ""
    }
}
