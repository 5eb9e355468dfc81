//! A flight analysis for people and programs: an HTML report with charts, JSON, CSV, rows with typed columns and plain text.
//!
//! This crate sees [`FlightAnalysis`](driftless_analysis::FlightAnalysis) and nothing else: no files, no clock. All
//! that is measured is measured before; here it is put into units of choice, rounded once, said in words and drawn.

mod alerts;
mod campaign;
mod cautions;
mod csv;
mod finding;
mod html;
mod inertial;
mod json;
mod known;
mod marks;
mod outlet;
mod reasons;
mod rows;
mod text;

pub use self::csv::{CsvHeader, csv};
pub use campaign::{
    CAMPAIGN_REPORT_SCHEMA, CAMPAIGN_STYLE, CampaignPieces, NARROW_STYLE, campaign_brief, campaign_csv, campaign_html,
    campaign_html_piece, campaign_json, campaign_text, plan_html, plan_words,
};
pub use html::{FlightPieces, REPORT_STYLE, html, html_piece};
pub use json::{FLIGHT_REPORT_SCHEMA, JsonLayout, json};
pub use marks::marks_csv;
pub use rows::{Cell, ColumnKind, WINDOW_COLUMNS, WINDOW_ROWS_SCHEMA, WindowColumn, WindowRow, window_rows};
pub use text::{brief, first_screen, problem_list, text};
