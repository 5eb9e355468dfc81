//! The test cards of the next flights as one page to print: an overview, then one run on each card, two cards to a sheet.

mod card;
mod overview;
mod style;

use crate::html::back;
use crate::html::parts::clean;
use crate::html::style::STYLE;
use driftless_analysis::campaign::{CampaignAnalysis, CampaignPlan};
use maud::{DOCTYPE, PreEscaped, html as markup};

/// The page of cards.
pub fn plan_html(analysis: &CampaignAnalysis, plan: &CampaignPlan) -> String {
    let campaign = &analysis.campaign;
    markup! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                meta name="generator" content=(format!("driftless {}", analysis.made_by.version));
                title { (clean(&campaign.title)) ": test cards" }
                style { (PreEscaped(STYLE)) (PreEscaped(style::CARDS)) }
            }
            body {
                main {
                    (overview::section(analysis, plan))
                    (back::cautions(&markup! {
                        p { "A card is a proposal, not a clearance: whoever flies it decides, on the day and in the air." }
                    }))
                    section.cards aria-label="Cards" {
                        @for card in &plan.cards { (card::card(campaign, card, plan.cards.len())) }
                    }
                }
            }
        }
    }
    .into_string()
}
