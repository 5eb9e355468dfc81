//! A campaign analysis for people and programs: HTML with charts, JSON, CSV and text.

pub(crate) mod advice;
mod alerts;
mod brief;
mod class;
mod csv;
mod html;
mod json;
pub(crate) mod narrow;
mod next;
mod plan;
mod scores;
mod statements;
pub(crate) mod summary;
mod text;
mod unused;

pub use brief::campaign_brief;
pub use csv::campaign_csv;
pub use html::{CAMPAIGN_STYLE, CampaignPieces, campaign_html, campaign_html_piece};
pub use json::{CAMPAIGN_REPORT_SCHEMA, campaign_json};
pub use narrow::TABLES as NARROW_STYLE;
pub use plan::{plan_html, plan_words};
pub use text::campaign_text;
