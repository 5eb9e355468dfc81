//! How set-ups are told apart: by shape and by ink.

use crate::canvas::{Canvas, Shape, Side};
use crate::ink::Ink;
use driftless_analysis::campaign::CampaignAnalysis;
use driftless_analysis::campaign::model::SetupId;
use driftless_display::distinct;
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

/// Width of a chart that holds on a phone, in units of layout: two of them stand side by side where there is room.
pub(super) const NARROW: f64 = 400.0;

/// Widths are guessed: no font is at hand. So much a letter is a wide guess for ordinary text.
pub(super) const LETTER: f64 = 6.6;

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
    let names = names(analysis, letters(left, right));
    let (mut x, mut y) = (left, top);
    for setup in setups {
        let name = names.get(setup.0).map_or("", String::as_str);
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
    let names = names(analysis, letters(left, right));
    let (mut x, mut rows) = (left, 1.0);
    for setup in setups {
        let width = entry_width(names.get(setup.0).map_or("", String::as_str));
        if x > left && x + width > right {
            (x, rows) = (left, rows + 1.0);
        }
        x += width;
    }
    rows * LEGEND_ROW
}

fn entry_width(name: &str) -> f64 {
    34.0 + LETTER * name.chars().count() as f64
}

/// Letters of the longest name that stands in a legend by itself.
fn letters(left: f64, right: f64) -> usize {
    ((right - left - 34.0) / LETTER) as usize
}

/// The names of all set-ups in so many letters each, so that no two look alike.
fn names(analysis: &CampaignAnalysis, letters: usize) -> Vec<String> {
    let names: Vec<&str> = analysis.campaign.setups.iter().map(|setup| setup.name.as_str()).collect();
    distinct(&names, letters)
}
