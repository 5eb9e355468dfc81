//! What the cards are for: cells, expected precision, the order of blocks.

use crate::html::parts::{clean, table};
use driftless_analysis::campaign::{CampaignAnalysis, CampaignPlan, Card, CompensationGain};
use driftless_display::campaign::place_words;
use driftless_display::{count_of, fixed};
use maud::{Markup, html as markup};

pub(super) fn section(analysis: &CampaignAnalysis, plan: &CampaignPlan) -> Markup {
    let campaign = &analysis.campaign;
    let made = &analysis.made_by;
    let blocks = plan.cards.iter().map(|card| card.block).max().unwrap_or(0);
    let days = plan.cards.iter().map(|card| card.day).max().unwrap_or(0);
    markup! {
        header {
            p.kicker { "Test cards" }
            h1 { (clean(&campaign.title)) }
            p.facts {
                @if let Some(club) = &campaign.club { (clean(club)) " · " }
                (count_of(plan.cards.len(), "run", "runs")) " in " (count_of(blocks, "block", "blocks")) " over "
                (count_of(days as usize, "day", "days")) " · order by seed " (plan.seed)
            }
        }
        @if plan.cards.is_empty() {
            p.lead { "Every cell has the runs that the campaign file asks for, and every compensation is as sure as wished: \
                      there is nothing to plan." }
        } @else {
            p { "One run on each card. A block is one wing and one set-up; the order is random, of blocks and of the \
                 runs inside, so that air, fuel and fatigue fall on all alike: keep the order. Repeats are dealt over the days, \
                 because another day is what a single day cannot show." }
            (expected(analysis, plan))
            (order(analysis, plan))
        }
        p.subtitle { "Made by driftless " (made.version) ", " code { (clean(&made.command)) } ", campaign file "
            code { (made.input_sha256.get(..16).unwrap_or(&made.input_sha256)) "…" } "." }
    }
}

fn expected(analysis: &CampaignAnalysis, plan: &CampaignPlan) -> Markup {
    let campaign = &analysis.campaign;
    let wished = campaign.wished_half_width_percent;
    let half = |half: Option<f64>, none: &str| half.map_or(none.to_owned(), |half| format!("± {}", fixed(half, 0)));
    let rows: Vec<Vec<String>> = plan
        .expected
        .iter()
        .map(|of| {
            vec![
                format!("{}, {}", clean(&campaign.setup(of.key.setup).name), clean(&place_words(campaign, of.key))),
                half(of.now, "not yet"),
                half(of.after, "not known before the first run"),
                match of.after {
                    Some(after) if after <= wished => "reached",
                    Some(_) => "not reached",
                    None => "",
                }
                .to_owned(),
            ]
        })
        .collect();
    let head = ["Compensation", "Now", "After the plan", &format!("± {} wished", fixed(wished, 0))].map(str::to_owned);
    markup! {
        @if !rows.is_empty() {
            h2 { "Expected precision" }
            (table(
                "Half-width of the 95 % interval in percentage points, by the spread from run to run as known so far",
                "",
                &head,
                &rows
            ))
            p.subtitle { "What further runs may teach of the spread itself is left out: they may show a larger one, and the interval \
                          would be wider for it." }
        }
    }
}

/// The compensations that a block narrows most, the scenario and the half-width before and after.
fn brings(analysis: &CampaignAnalysis, plan: &CampaignPlan, block: usize) -> String {
    const MOST_NAMED: usize = 3;
    let Some(of) = plan.brought.iter().find(|of| of.block == block) else { return String::new() };
    let gained = |of: &CompensationGain| match (of.before, of.after) {
        (Some(before), Some(after)) => before - after,
        (None, Some(_)) => f64::INFINITY,
        _ => 0.0,
    };
    let mut gains: Vec<&CompensationGain> = of.compensations.iter().filter(|of| gained(of) > 0.05).collect();
    gains.sort_by(|a, b| gained(b).total_cmp(&gained(a)));
    if gains.is_empty() {
        let first = of.compensations.iter().any(|of| of.after.is_none());
        return if first { "a first look; how sure is not known before" } else { "the residual turn, surer" }
            .to_owned();
    }
    let half = |half: Option<f64>| half.map_or("without bounds".to_owned(), |half| format!("± {}", fixed(half, 1)));
    let words = |of: &&CompensationGain| {
        let name = clean(&analysis.campaign.setup(of.key.setup).name);
        format!("{name}, {}: {} to {}", of.key.scenario.words(), half(of.before), half(of.after))
    };
    let mut named: Vec<String> = gains.iter().take(MOST_NAMED).map(words).collect();
    if gains.len() > MOST_NAMED {
        named.push(format!("{} more", gains.len() - MOST_NAMED));
    }
    named.join("; ")
}

fn order(analysis: &CampaignAnalysis, plan: &CampaignPlan) -> Markup {
    let campaign = &analysis.campaign;
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut last = None;
    for card in &plan.cards {
        if last != Some(card.block) {
            last = Some(card.block);
            let of_block: Vec<&Card> = plan.cards.iter().filter(|other| other.block == card.block).collect();
            let scenarios: Vec<&str> = of_block.iter().map(|card| card.key.scenario.words()).collect();
            let numbers = match (of_block.first(), of_block.last()) {
                (Some(first), Some(last)) if first.number != last.number => {
                    format!("{} to {}", first.number, last.number)
                }
                _ => card.number.to_string(),
            };
            rows.push(vec![
                card.block.to_string(),
                card.day.to_string(),
                clean(&campaign.setup(card.key.setup).name),
                clean(&campaign.wing(card.key.wing).name),
                numbers,
                scenarios.join(", "),
                brings(analysis, plan, card.block),
            ]);
        }
    }
    let head = ["Block", "Day", "Set-up", "Wing", "Cards", "Scenarios in order", "What it brings"].map(str::to_owned);
    markup! {
        h2 { "Order" }
        (table("Blocks in the order to fly", "verdicts", &head, &rows))
    }
}
