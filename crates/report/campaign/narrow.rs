//! Tables on a narrow screen, for every page of a campaign.

/// Rows become blocks: the label above, figures below, each with the head of its column; nothing leaves the screen.
pub const TABLES: &str = include_str!("narrow.css");
