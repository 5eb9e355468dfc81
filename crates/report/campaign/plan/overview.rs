//! What the cards are for: cells, expected precision, the order of blocks.

use crate::campaign::next;
use crate::html::parts::{clean, table};
use driftless_analysis::campaign::{CampaignAnalysis, CampaignPlan, ExpectedPrecision};
use driftless_display::campaign::{place_words, points};
use driftless_display::count_of;
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
            p { "One run on each card. A block is one wing and one set-up. Keep the order: it is random, so that air, fuel and \
                 fatigue fall on all alike, and repeats are dealt over the days. On the ground, before each block: rig the set-up, have \
                 it checked by a second person, write down the mass; logger on, one fix a second or more." }
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
    let half = |half: Option<f64>, none: &str| half.map_or(none.to_owned(), |half| points(Some(half)));
    // What is as sure as wished and stays as it is needs no row.
    let changes =
        |of: &&ExpectedPrecision| points(of.now) != points(of.after) || of.after.is_none_or(|after| after > wished);
    let shown: Vec<&ExpectedPrecision> = plan.expected.iter().filter(changes).collect();
    let same = plan.expected.len() - shown.len();
    let rows: Vec<Vec<String>> = shown
        .into_iter()
        .map(|of| {
            vec![
                format!("{}, {}", clean(&campaign.setup(of.key.setup).name), clean(&place_words(analysis, of.key))),
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
    let head =
        ["Compensation", "Now", "After the plan", &format!("{} wished", points(Some(wished)))].map(str::to_owned);
    markup! {
        @if !rows.is_empty() {
            h2 { "Expected precision" }
            (table(
                "Margin of each compensation (half of the 95 % interval), by the spread from run to run as known so far",
                "",
                &head,
                &rows
            ))
            @if same > 0 {
                p.subtitle {
                    "Not shown, since within " (points(Some(wished))) " and not narrowed: "
                    (count_of(same, "compensation", "compensations")) "."
                }
            }
            p.subtitle { "What further runs may teach of the spread itself is left out: they may show a larger one, and the interval \
                          would be wider for it." }
        }
    }
}

fn order(analysis: &CampaignAnalysis, plan: &CampaignPlan) -> Markup {
    let campaign = &analysis.campaign;
    let row = |block: &next::Block<'_>| {
        vec![
            format!("{}, day {}", block.number, block.day),
            format!("{} on {}", clean(&campaign.setup(block.setup).name), clean(&campaign.wing(block.wing).name)),
            block.card_numbers(),
            block.scenarios(),
            clean(&block.why),
            clean(&block.brings),
        ]
    };
    let rows: Vec<Vec<String>> = next::blocks(analysis, plan).iter().map(row).collect();
    let head = ["Block", "Set-up", "Cards", "Scenarios in order", "Why", "What it brings"].map(str::to_owned);
    markup! {
        h2 { "Order" }
        (table("Blocks in the order to fly", "order verdicts", &head, &rows))
    }
}
