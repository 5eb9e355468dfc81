//! A campaign analysis for people and programs: HTML with charts, JSON, CSV and text.

pub(crate) mod advice;
mod alerts;
mod csv;
mod html;
mod json;
mod plan;
mod statements;
pub(crate) mod summary;
mod text;
mod unused;

pub use csv::campaign_csv;
pub use html::campaign_html;
pub use json::{CAMPAIGN_REPORT_SCHEMA, campaign_json};
pub use plan::plan_html;
pub use text::campaign_text;
