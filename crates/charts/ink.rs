//! What things are drawn with: a role for each line and area, its colour on paper and its class for style sheets.
//!
//! plotters only knows colours. Each ink is drawn in a colour of its own that nothing else uses; afterwards
//! [`super::svg`] turns that into the colour people see and a class that a style sheet can change (dark mode).
//!
//! Colours are those of Okabe and Ito ("Color Universal Design", 2008) that keep 3:1 on white. Colour is never the
//! only code: the course over the ground is dashed, markers differ by shape.

use plotters::style::RGBColor;

/// A role on a chart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Ink {
    /// Text and axes.
    Text,
    /// Secondary text.
    Soft,
    /// Grid lines.
    Grid,
    /// Paper: halos behind text, the inside of open markers.
    Paper,
    /// Through the air, and the main figure.
    Air,
    /// Over the ground, and the raw course; lines are dashed.
    Ground,
    /// Over the ground where a solid line or a marker is needed.
    GroundSolid,
    /// The second opinion.
    Second,
    /// A steady span in the background.
    Span,
    /// Grey lines that only give context.
    Context,
    /// A dotted line of reference.
    Reference,
    /// By gyro, and what swings; lines are dashed.
    Gyro,
    /// By gyro, where it stands alone in its panel.
    GyroSolid,
    /// By compass; lines are dotted.
    Compass,
}

impl Ink {
    /// All of them.
    pub(super) const ALL: [Self; 14] = [
        Self::Text,
        Self::Soft,
        Self::Grid,
        Self::Paper,
        Self::Air,
        Self::Ground,
        Self::GroundSolid,
        Self::Second,
        Self::Span,
        Self::Context,
        Self::Reference,
        Self::Gyro,
        Self::GyroSolid,
        Self::Compass,
    ];

    /// The colour handed to plotters: a place in the palette, not what people see.
    pub(super) fn key(self) -> RGBColor {
        let index = Self::ALL.iter().position(|ink| *ink == self).unwrap_or(0);
        RGBColor(1, 0xA5, u8::try_from(index).unwrap_or(0))
    }

    /// The colour on paper, for viewers without the style sheet.
    pub(super) const fn colour(self) -> &'static str {
        match self {
            Self::Text | Self::Reference => "#1b1b1b",
            Self::Soft => "#595959",
            Self::Grid => "#dedede",
            Self::Paper => "#ffffff",
            Self::Air => "#0072B2",
            Self::Ground | Self::GroundSolid => "#D55E00",
            Self::Second | Self::Compass => "#CC79A7",
            Self::Span => "#e6eef5",
            Self::Context => "#8c8c8c",
            Self::Gyro | Self::GyroSolid => "#009E73",
        }
    }

    /// The name a style sheet knows it by, behind `s-` (stroke) or `f-` (fill).
    pub(super) const fn class(self) -> &'static str {
        match self {
            Self::Text | Self::Reference => "text",
            Self::Soft => "soft",
            Self::Grid => "grid",
            Self::Paper => "paper",
            Self::Air => "air",
            Self::Ground | Self::GroundSolid => "ground",
            Self::Second | Self::Compass => "second",
            Self::Span => "span",
            Self::Context => "context",
            Self::Gyro | Self::GyroSolid => "gyro",
        }
    }

    /// Lengths of dashes and gaps in drawing units, for strokes.
    pub(super) const fn dashes(self) -> Option<&'static str> {
        match self {
            Self::Ground => Some("24 14"),
            Self::Reference => Some("5 12"),
            Self::Gyro => Some("18 9"),
            Self::Compass => Some("7 9"),
            _ => None,
        }
    }
}
