//! The test cards of the next flights as one page to print: an overview, then one run on each card, two cards to a sheet.

mod card;
mod expect;
mod overview;
mod style;

use super::{narrow, next};
use crate::html::back;
use crate::html::page::Page;
use crate::html::parts::clean;
use crate::text::layout::paragraph_within;
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
            @for card in &plan.cards { (card::card(analysis, card, plan.cards.len())) }
        }
    };
    Page {
        title: format!("{}: test cards", clean(&campaign.title)),
        version: &analysis.made_by.version,
        own_style: &[style::CARDS, narrow::TABLES].concat(),
    }
    .around(&main)
}

/// What the cards bring, in a sentence or two for a terminal.
pub fn plan_words(analysis: &CampaignAnalysis, plan: &CampaignPlan, width: usize) -> String {
    let sentences = [next::sentence(analysis, plan), next::imprecise(analysis, plan)];
    crate::outlet::finished(sentences.into_iter().flatten().map(|words| paragraph_within(width, "", &words)).collect())
}
