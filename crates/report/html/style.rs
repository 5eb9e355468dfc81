//! The style sheet: light and dark by the reader's setting, paper for printing.

/// Colours are the palette of Okabe and Ito; on dark paper its light members stand in. Text keeps 4.5 to 1, so that the
/// vermillion of lines is darker in words (5.0 to 1). A shaded edge says that there is more to the side.
pub const STYLE: &str = include_str!("report.css");
