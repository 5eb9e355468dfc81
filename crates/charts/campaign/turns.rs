//! Residual turn of each set-up, scenario by scenario, side by side.

use super::forest::{self, Axis, MOST_ROWS, Row};
use super::{cells_of, style};
use crate::Chart;
use crate::canvas::{Caption, chart};
use driftless_analysis::campaign::model::WingId;
use driftless_analysis::campaign::{CampaignAnalysis, Cell};
use driftless_display::campaign::{turn_words, typed};
use driftless_display::{DisplayUnits, turn_signed};
use driftless_units::Interval;

pub(super) fn draw(analysis: &CampaignAnalysis, units: &DisplayUnits, wing: WingId) -> Option<Chart> {
    let cells = cells_of(analysis, wing);
    let factor = units.turn.per_deg_s();
    let rows: Vec<Row> = cells.iter().take(MOST_ROWS).map(|cell| row(analysis, units, cell, factor)).collect();
    if rows.is_empty() {
        return None;
    }
    let axis = Axis {
        name: format!("residual turn, {}", units.turn.sign()),
        holds: vec![0.0],
        sides: Some(("← left", "right →")),
        references: Vec::new(),
        smallest: 2.0 * factor,
    };
    let caption = Caption {
        id: format!("turns-{}", wing.0 + 1),
        headline: headline(analysis, units, wing, &cells),
        subtitle: format!(
            "Residual turn, hands off, right positive: mean of the runs with its 95 % interval{}",
            forest::left_out(rows.len(), cells.len(), "the numbers under it")
        ),
        description: cells
            .iter()
            .map(|cell| format!("{}: {}.", analysis.words(cell.key), turn_words(units, &cell.turn_deg_s())))
            .collect::<Vec<_>>()
            .join(" "),
    };
    Some(chart(caption, (forest::WIDTH, forest::height(&rows)), |canvas| forest::paint(canvas, &rows, &axis)))
}

fn row(analysis: &CampaignAnalysis, units: &DisplayUnits, cell: &Cell, factor: f64) -> Row {
    let turn = cell.turn_deg_s();
    let ends = turn.interval(0.95);
    let (ink, shape) = style::of(cell.key.setup);
    let runs = cell.runs.len();
    let few = if runs == 1 { ", 1 run" } else { "" };
    Row {
        group: analysis.scenario_words(cell.key.scenario).to_owned(),
        name: analysis.campaign.setup(cell.key.setup).name.clone(),
        words: format!("{}{few}", turn_signed(units, &typed(&turn))),
        ink,
        shape,
        figure: Some((turn.value * factor, Some(Interval { low: ends.low * factor, high: ends.high * factor }))),
        runs: Vec::new(),
    }
}

/// The largest turn, which is what a pilot meets first.
fn headline(analysis: &CampaignAnalysis, units: &DisplayUnits, wing: WingId, cells: &[&Cell]) -> String {
    let campaign = &analysis.campaign;
    let name = &campaign.wing(wing).name;
    let size = |cell: &&&Cell| cell.turn_deg_s().value.abs();
    match cells.iter().max_by(|a, b| size(a).total_cmp(&size(b))) {
        Some(cell) => format!(
            "{name}: the largest turn, {}, is that of {} in {}",
            turn_words(units, &cell.turn_deg_s()),
            campaign.setup(cell.key.setup).name,
            analysis.scenario_words(cell.key.scenario)
        ),
        None => name.clone(),
    }
}
