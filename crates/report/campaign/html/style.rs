//! What the page of a campaign needs beyond the style of all reports.

/// Cells of the matrix have a tint by the size of their turn, on paper as in the dark: the scale beside it shows the same
/// classes. On a narrow screen rows become blocks: the label above, figures below, each with the head of its column.
pub const STYLE: &str = include_str!("campaign.css");
