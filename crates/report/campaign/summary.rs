//! The finding of a campaign in a few sentences, every one made from figures and naming its cells.

use super::statements;
use super::words::{join, percent_words, turn_words};
use crate::display::{DisplayUnits, count_of};
use driftless_analysis::Scenario;
use driftless_analysis::campaign::model::{SetupId, WingId};
use driftless_analysis::campaign::{CampaignAnalysis, Cell, CellCompensation, JudgeBy};
use std::collections::BTreeSet;

/// Most sentences on pairs of devices; the table holds all.
const MOST_PAIRS: usize = 4;

/// The finding.
pub(crate) fn finding(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Vec<String> {
    if analysis.cells.is_empty() {
        return vec!["Nothing can be compared: no run counts. The reasons stand beside each run left out.".to_owned()];
    }
    let places: BTreeSet<(SetupId, WingId)> = analysis.cells.iter().map(|c| (c.key.setup, c.key.wing)).collect();
    let mut sentences: Vec<String> =
        places.iter().filter_map(|(setup, wing)| of_setup(analysis, units, *setup, *wing)).collect();
    let mut told_apart: Vec<_> = analysis.comparisons.iter().filter(|c| c.told_apart()).collect();
    told_apart.sort_by(|a, b| b.result.difference.abs().total_cmp(&a.result.difference.abs()));
    sentences
        .extend(told_apart.iter().take(MOST_PAIRS).map(|pair| statements::comparison(&analysis.campaign, units, pair)));
    if analysis.comparisons.len() > 1 && told_apart.is_empty() {
        sentences.push(format!(
            "No two devices are told apart by the size of their turn in any of {} (Holm-corrected).",
            count_of(analysis.comparisons.len(), "comparison", "comparisons")
        ));
    }
    sentences
        .extend(analysis.compensation.iter().filter_map(|c| statements::compensation_claim(&analysis.campaign, c)));
    sentences
}

/// One sentence for a set-up on a wing: its compensation in each scenario, or the turn where that says more.
fn of_setup(analysis: &CampaignAnalysis, units: &DisplayUnits, setup: SetupId, wing: WingId) -> Option<String> {
    let campaign = &analysis.campaign;
    let cells: Vec<&Cell> =
        analysis.cells.iter().filter(|cell| cell.key.setup == setup && cell.key.wing == wing).collect();
    let title = format!("{} on {}", campaign.setup(setup).name, campaign.wing(wing).name);
    let mut percents = Vec::new();
    let mut turns = Vec::new();
    for cell in cells {
        let scenario = cell.key.scenario;
        let known = analysis.compensation_of(cell.key).filter(|c| c.judge_by == JudgeBy::Percent);
        match known {
            Some(of) => percents.push(format!("{} at {}{}", percent_words(&of.result), scenario.words(), over(of))),
            None => turns.push(format!(
                "{} {} {}",
                turn_words(units, &cell.turn_deg_s()),
                preposition(scenario),
                scenario.words()
            )),
        }
    }
    let mut parts = Vec::new();
    if !percents.is_empty() {
        parts.push(format!("takes away {} of the turn", join(&percents)));
    }
    if !turns.is_empty() {
        parts.push(format!("turns {}", join(&turns)));
    }
    (!parts.is_empty()).then(|| format!("{title} {}.", parts.join(", and ")))
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
