//! The test cards of the next flights as one page to print: an overview, then one run on each card, two cards to a sheet.

mod card;
mod overview;
mod style;

use crate::html::back;
use crate::html::page::Page;
use crate::html::parts::clean;
use driftless_analysis::campaign::{CampaignAnalysis, CampaignPlan};
use maud::html as markup;

/// The page of cards.
pub fn plan_html(analysis: &CampaignAnalysis, plan: &CampaignPlan) -> String {
    let campaign = &analysis.campaign;
    let main = markup! {
        (overview::section(analysis, plan))
        (back::cautions(&markup! {
            p { "A card is a proposal, not a clearance: whoever flies it decides, on the day and in the air." }
        }))
        section.cards aria-label="Cards" {
            @for card in &plan.cards { (card::card(campaign, card, plan.cards.len())) }
        }
    };
    Page {
        title: format!("{}: test cards", clean(&campaign.title)),
        version: &analysis.made_by.version,
        own_style: style::CARDS,
    }
    .around(&main)
}
