//! The next flights: one answer for page, terminal, document and cards, each block with why it is flown and what it brings.

use driftless_analysis::campaign::model::{SetupId, WingId};
use driftless_analysis::campaign::{
    CampaignAnalysis, CampaignPlan, Card, CellKey, CompensationGain, PlannedCell, plan_campaign,
};
use driftless_display::campaign::{capital, points, short_scenario};
use driftless_display::count_of;
use std::collections::BTreeSet;

/// Compensations named for one block.
const MOST_NAMED: usize = 2;

/// One wing and one set-up on one day.
pub(crate) struct Block<'a> {
    pub(crate) number: usize,
    pub(crate) day: u32,
    pub(crate) setup: SetupId,
    pub(crate) wing: WingId,
    /// Its runs in the order to fly.
    pub(crate) cards: Vec<&'a Card>,
    /// Why it is flown.
    pub(crate) why: String,
    /// What it brings.
    pub(crate) brings: String,
    /// The compensation that it narrows most, in short.
    pub(crate) most: Option<String>,
}

impl Block<'_> {
    /// "3 to 6".
    pub(crate) fn card_numbers(&self) -> String {
        match self.cards.as_slice() {
            [first, .., last] => format!("{} to {}", first.number, last.number),
            [only] => only.number.to_string(),
            [] => String::new(),
        }
    }

    /// Scenarios in the order to fly.
    pub(crate) fn scenarios(&self) -> String {
        self.cards.iter().map(|card| card.key.scenario.words()).collect::<Vec<_>>().join(", ")
    }
}

/// The plan that the campaign file asks for, with its own seed: that of `driftless plan`.
pub(crate) fn plan(analysis: &CampaignAnalysis) -> CampaignPlan {
    plan_campaign(analysis, analysis.campaign.plan.seed)
}

/// The blocks in the order to fly.
pub(crate) fn blocks<'a>(analysis: &CampaignAnalysis, plan: &'a CampaignPlan) -> Vec<Block<'a>> {
    let last = plan.cards.iter().map(|card| card.block).max().unwrap_or(0);
    let block = |number: usize| {
        let cards: Vec<&Card> = plan.cards.iter().filter(|card| card.block == number).collect();
        let first = *cards.first()?;
        let gains = plan.brought.iter().find(|of| of.block == number).map(|of| of.compensations.as_slice());
        Some(Block {
            number,
            day: first.day,
            setup: first.key.setup,
            wing: first.key.wing,
            why: why(analysis, plan, &cards),
            brings: brings(analysis, gains.unwrap_or_default(), first.key),
            most: most(analysis, gains.unwrap_or_default(), first.key),
            cards,
        })
    };
    (1..=last).filter_map(block).collect()
}

/// "2 of 4 runs flown; ± 8 points not reached; the baseline of vanes".
fn why(analysis: &CampaignAnalysis, plan: &CampaignPlan, cards: &[&Card]) -> String {
    let campaign = &analysis.campaign;
    let keys: BTreeSet<CellKey> = cards.iter().map(|card| card.key).collect();
    let cells: Vec<&PlannedCell> = plan.cells.iter().filter(|cell| keys.contains(&cell.key)).collect();
    let mut reasons = Vec::new();
    let flown: BTreeSet<usize> = cells.iter().filter(|cell| cell.for_repeats > 0).map(|cell| cell.flown).collect();
    let each: Vec<String> = flown.iter().map(ToString::to_string).collect();
    match flown.iter().max() {
        Some(0) => reasons.push("not flown yet".to_owned()),
        Some(_) => reasons.push(format!("{} of {} runs flown", each.join(" or "), campaign.plan.repeats)),
        None => {}
    }
    if cells.iter().any(|cell| cell.for_precision > 0) {
        let of_baseline = cells.first().and_then(|cell| {
            let uses = |setup: &usize| campaign.setups.get(*setup).is_some_and(|s| s.baseline == Some(cell.key.setup));
            (0..campaign.setups.len()).find(uses)
        });
        let whose = if of_baseline.is_some() { " of the devices held against it" } else { "" };
        let wished = points(Some(campaign.wished_half_width_percent));
        reasons.push(format!("compensation{whose} not within {wished} yet"));
    }
    reasons.join("; ")
}

/// How far a margin shrinks; without bounds or runs before, as far as can be.
fn gained(of: &CompensationGain) -> f64 {
    match (of.before, of.after) {
        (Some(before), Some(after)) => before - after,
        (None, Some(_)) => f64::INFINITY,
        _ => 0.0,
    }
}

/// What a block narrows, the most first. What rounds to the same margin is no gain to speak of.
fn gains(all: &[CompensationGain]) -> Vec<&CompensationGain> {
    let mut gains: Vec<&CompensationGain> =
        all.iter().filter(|of| gained(of) > 0.0 && points(of.before) != points(of.after)).collect();
    gains.sort_by(|a, b| gained(b).total_cmp(&gained(a)));
    gains
}

/// "climb ± 6 to ± 5 points", the set-up before it where it is another than that of the block.
fn most(analysis: &CampaignAnalysis, all: &[CompensationGain], block: CellKey) -> Option<String> {
    let of = *gains(all).first()?;
    let other = other_setup(analysis, of.key, block);
    Some(format!("{other}{} {}", short_scenario(of.key.scenario), from_to(of.before, of.after)))
}

/// "vanes, " where a block narrows the compensation of another set-up than its own.
fn other_setup(analysis: &CampaignAnalysis, key: CellKey, block: CellKey) -> String {
    if key.setup == block.setup { String::new() } else { format!("{}, ", analysis.campaign.setup(key.setup).name) }
}

/// The compensations that a block narrows most, with the margin before and after.
fn brings(analysis: &CampaignAnalysis, all: &[CompensationGain], block: CellKey) -> String {
    let gains = gains(all);
    let words = |of: &&CompensationGain| {
        let other = other_setup(analysis, of.key, block);
        format!("{other}{} {}", of.key.scenario.words(), from_to(of.before, of.after))
    };
    match gains.len() {
        0 if all.iter().any(|of| of.after.is_none()) => "a first look; how sure is not known before".to_owned(),
        0 if all.is_empty() => "a surer figure of its own turn".to_owned(),
        0 => "margins that hold on another day as well".to_owned(),
        many => {
            let mut named: Vec<String> = gains.iter().take(MOST_NAMED).map(words).collect();
            if many > MOST_NAMED {
                named.push(format!("{} more", many - MOST_NAMED));
            }
            named.join("; ")
        }
    }
}

/// "± 6 to ± 5 points".
fn from_to(before: Option<f64>, after: Option<f64>) -> String {
    let (before, after) = (points(before), points(after));
    format!("{} to {after}", before.trim_end_matches("\u{a0}points"))
}

/// How much there is to fly, and what gains most by it.
pub(crate) fn sentence(analysis: &CampaignAnalysis, plan: &CampaignPlan) -> Option<String> {
    let campaign = &analysis.campaign;
    let wished = points(Some(campaign.wished_half_width_percent));
    if plan.cards.is_empty() {
        return (!analysis.cells.is_empty()).then(|| {
            format!("Nothing is left to fly: every cell has its runs, and every compensation within reach is inside {wished}.")
        });
    }
    let blocks = plan.cards.iter().map(|card| card.block).max().unwrap_or(0);
    let days = plan.cards.iter().map(|card| card.day).max().unwrap_or(0);
    let much = format!(
        "{} in {} over {}",
        count_of(plan.cards.len(), "run", "runs"),
        count_of(blocks, "block", "blocks"),
        count_of(days as usize, "day", "days")
    );
    let gain = |of: &&driftless_analysis::campaign::ExpectedPrecision| match (of.now, of.after) {
        (Some(now), Some(after)) => now - after,
        (None, Some(_)) => f64::INFINITY,
        _ => 0.0,
    };
    let most = plan.expected.iter().filter(|of| gain(of) > 0.0).max_by(|a, b| gain(a).total_cmp(&gain(b)));
    let gains = most.map_or(String::new(), |of| {
        format!(
            "; {} on the {} gains most ({}, {})",
            campaign.setup(of.key.setup).name,
            campaign.wing(of.key.wing).name,
            of.key.scenario.words(),
            from_to(of.now, of.after)
        )
    });
    Some(format!("To fly next: {much}{gains}."))
}

/// How many compensations are not as sure as wished, now and after the plan; `None` where there are none.
pub(crate) fn imprecise(analysis: &CampaignAnalysis, plan: &CampaignPlan) -> Option<String> {
    let wished = analysis.campaign.wished_half_width_percent;
    let within = points(Some(wished));
    let known: Vec<_> = plan.expected.iter().filter(|of| of.after.is_some()).collect();
    let unflown = plan.expected.len() - known.len();
    let open: Vec<_> = known.iter().filter(|of| of.now.is_none_or(|now| now > wished)).collect();
    let after = open.iter().filter(|of| of.after.is_none_or(|after| after > wished)).count();
    let mut parts = Vec::new();
    match (open.len(), after) {
        (0, _) if known.is_empty() => {}
        (0, _) => parts.push(format!("every compensation flown is within {within}")),
        (some, 0) => parts.push(format!(
            "{some} of {} compensations are wider than {within}, and these flights should do",
            known.len()
        )),
        (some, still) => parts.push(format!(
            "{some} of {} compensations are wider than {within}, and {still} still will be after these flights",
            known.len()
        )),
    }
    if unflown > 0 {
        parts.push(format!("of {} too little is flown to say", count_of(unflown, "compensation", "compensations")));
    }
    (!parts.is_empty()).then(|| format!("{}.", capital(&parts.join("; "))))
}
