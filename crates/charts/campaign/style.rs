//! How set-ups are told apart: by shape and by ink.

use crate::canvas::{Canvas, Shape, Side};
use crate::ink::Ink;
use driftless_analysis::campaign::CampaignAnalysis;
use driftless_analysis::campaign::model::SetupId;
use std::collections::BTreeSet;

const STYLES: [(Ink, Shape); 8] = [
    (Ink::Text, Shape::Square),
    (Ink::Air, Shape::Disc),
    (Ink::GroundSolid, Shape::Triangle),
    (Ink::Second, Shape::Diamond),
    (Ink::Soft, Shape::Cross),
    (Ink::Air, Shape::Ring),
    (Ink::GroundSolid, Shape::Square),
    (Ink::Text, Shape::Disc),
];

/// Ink and shape of a set-up; beyond eight they come round again, and the words beside them tell.
pub(super) fn of(setup: SetupId) -> (Ink, Shape) {
    STYLES[setup.0 % STYLES.len()]
}

/// What each shape means, in rows; gives back the height taken.
pub(super) fn legend(
    canvas: &Canvas<'_>,
    analysis: &CampaignAnalysis,
    setups: &BTreeSet<SetupId>,
    (left, top, right): (f64, f64, f64),
) {
    let (mut x, mut y) = (left, top);
    for setup in setups {
        let name = &analysis.campaign.setup(*setup).name;
        let width = entry_width(name);
        if x > left && x + width > right {
            (x, y) = (left, y + LEGEND_ROW);
        }
        let (ink, shape) = of(*setup);
        canvas.marker(ink, shape, (x + 5.0, y), 4.5);
        canvas.text(Ink::Text, Side::Start, (x + 16.0, y), name);
        x += width;
    }
}

const LEGEND_ROW: f64 = 18.0;

/// Height of the legend within a width.
pub(super) fn legend_height(analysis: &CampaignAnalysis, setups: &BTreeSet<SetupId>, (left, right): (f64, f64)) -> f64 {
    let (mut x, mut rows) = (left, 1.0);
    for setup in setups {
        let width = entry_width(&analysis.campaign.setup(*setup).name);
        if x > left && x + width > right {
            (x, rows) = (left, rows + 1.0);
        }
        x += width;
    }
    rows * LEGEND_ROW
}

/// Widths are guessed: no font is at hand. 6.6 units a letter is a wide guess for text of 12.5.
fn entry_width(name: &str) -> f64 {
    34.0 + 6.6 * name.chars().count() as f64
}

/// A name cut to a number of letters.
pub(super) fn short(name: &str, letters: usize) -> String {
    if name.chars().count() <= letters {
        return name.to_owned();
    }
    let kept: String = name.chars().take(letters.saturating_sub(1)).collect();
    format!("{}…", kept.trim_end())
}
