//! Set-up x wing x scenario: a number, its interval and how sure it is in every box. Size is told by a grey tint and by
//! the number, sureness by filled squares: nothing hangs on colour.

use super::forest;
use super::style::short;
use crate::Chart;
use crate::canvas::{Canvas, Caption, Shape, Side, chart};
use crate::ink::Ink;
use driftless_analysis::campaign::model::{SCENARIOS, SetupId, WingId};
use driftless_analysis::campaign::{CampaignAnalysis, Cell, CellKey, JudgeBy};
use driftless_display::campaign::typed;
use driftless_display::{DisplayUnits, TurnSide, count_of, fixed, turn_side, turn_signed};
use std::collections::BTreeSet;

const WIDTH: f64 = 760.0;
const LEFT: f64 = 132.0;
const TOP: f64 = 54.0;
const ROW: f64 = 58.0;
const COLUMN: f64 = (WIDTH - LEFT - 6.0) / 4.0;
/// Rows that find room; the table holds all.
const MOST_ROWS: usize = 24;
/// A turn of this size has the darkest tint: a full turn a minute.
const DARKEST_DEG_S: f64 = 6.0;

pub(super) fn draw(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Option<Chart> {
    let rows: BTreeSet<(WingId, SetupId)> = analysis.cells.iter().map(|c| (c.key.wing, c.key.setup)).collect();
    if rows.is_empty() {
        return None;
    }
    let shown: Vec<(WingId, SetupId)> = rows.iter().copied().take(MOST_ROWS).collect();
    let height = TOP + ROW * shown.len() as f64 + 8.0;
    let caption = Caption {
        id: "matrix-chart".to_owned(),
        headline: headline(analysis, units),
        subtitle: format!(
            "Residual turn in {}, right positive, ± the 95 % margin; below it the compensation. Filled \
             squares: how sure (three: within 0.2 °/s or a tenth; two: within 0.5 °/s or a quarter; one: less, or a \
             single run). The darker, the larger the turn{}.",
            units.turn.sign(),
            forest::left_out(shown.len(), rows.len(), "the table")
        ),
        description: analysis
            .cells
            .iter()
            .map(|cell| {
                let turn = turn_signed(units, &typed(&cell.turn_deg_s()));
                format!("{}: {turn}, {} of 3 sure.", cell.key.words(&analysis.campaign), sureness(cell))
            })
            .collect::<Vec<_>>()
            .join(" "),
    };
    Some(chart(caption, (WIDTH, height), |canvas| {
        for (column, scenario) in SCENARIOS.iter().enumerate() {
            let x = LEFT + COLUMN * (column as f64 + 0.5);
            canvas.bold(Ink::Text, Side::Middle, (x, TOP - 14.0), scenario.words());
        }
        let mut last = None;
        for (index, (wing, setup)) in shown.iter().enumerate() {
            let y = TOP + ROW * index as f64;
            if last.is_some_and(|last| last != *wing) {
                canvas.line(Ink::Text, 1.6, [(4.0, y - 1.0), (WIDTH - 4.0, y - 1.0)]);
            }
            last = Some(*wing);
            canvas.bold(Ink::Text, Side::Start, (6.0, y + 21.0), &short(&analysis.campaign.setup(*setup).name, 17));
            canvas.small(Ink::Soft, Side::Start, (6.0, y + 38.0), &short(&analysis.campaign.wing(*wing).name, 19));
            for (column, scenario) in SCENARIOS.iter().enumerate() {
                let key = CellKey { setup: *setup, wing: *wing, scenario: *scenario };
                let corner = (LEFT + COLUMN * column as f64 + 2.0, y + 2.0);
                paint_box(canvas, analysis, units, key, corner);
            }
        }
    }))
}

fn paint_box(canvas: &Canvas<'_>, analysis: &CampaignAnalysis, units: &DisplayUnits, key: CellKey, (x, y): (f64, f64)) {
    let (width, height) = (COLUMN - 4.0, ROW - 4.0);
    let middle = x + 0.5 * width;
    let Some(cell) = analysis.cell(key) else {
        canvas.outline(Ink::Grid, 1.0, (x, y), (x + width, y + height));
        canvas.small(Ink::Soft, Side::Middle, (middle, y + 0.5 * height), "not flown");
        return;
    };
    let turn = cell.turn_deg_s();
    // Light enough for text of 4.5 to 1 on top, on white and on dark paper.
    let tint = 0.04 + 0.30 * (turn.value.abs() / DARKEST_DEG_S).min(1.0);
    canvas.block(Ink::Context, tint, (x, y), (x + width, y + height));
    canvas.bold(Ink::Text, Side::Middle, (middle, y + 17.0), &turn_signed(units, &typed(&turn)));
    let below = match analysis.compensation_of(key) {
        Some(of) if of.judge_by == JudgeBy::Percent => match of.result.percent.zip(of.result.interval) {
            Some((percent, ends)) => {
                format!("{} % ({} to {} %)", fixed(percent, 0), fixed(ends.low, 0), fixed(ends.high, 0))
            }
            None => "% not resolvable".to_owned(),
        },
        Some(_) => "judged by its turn".to_owned(),
        None if analysis.campaign.setup(key.setup).device.is_none() => "baseline".to_owned(),
        None => "no baseline flown".to_owned(),
    };
    canvas.small(Ink::Text, Side::Middle, (middle, y + 33.0), &below);
    let sure = sureness(cell);
    for place in 0..3_u8 {
        let spot = (x + 10.0 + 11.0 * f64::from(place), y + height - 8.0);
        if place < sure {
            canvas.marker(Ink::Text, Shape::Square, spot, 4.2);
        } else {
            canvas.outline(Ink::Text, 1.0, (spot.0 - 3.4, spot.1 - 3.4), (spot.0 + 3.4, spot.1 + 3.4));
        }
    }
    let runs = cell.runs.len();
    canvas.small(Ink::Text, Side::End, (x + width - 6.0, y + height - 8.0), &count_of(runs, "run", "runs"));
}

/// How sure a cell is, 1 to 3.
fn sureness(cell: &Cell) -> u8 {
    let turn = cell.turn_deg_s();
    let ends = turn.interval(0.95);
    let half = 0.5 * (ends.high - ends.low);
    let size = turn.value.abs();
    match half {
        _ if cell.runs.len() < 2 => 1,
        half if half <= 0.2_f64.max(0.1 * size) => 3,
        half if half <= 0.5_f64.max(0.25 * size) => 2,
        _ => 1,
    }
}

fn headline(analysis: &CampaignAnalysis, units: &DisplayUnits) -> String {
    let sides: Vec<TurnSide> = analysis.cells.iter().map(|c| turn_side(&typed(&c.turn_deg_s()))).collect();
    let count = |side| sides.iter().filter(|s| **s == side).count();
    let (left, right, none) = (count(TurnSide::Left), count(TurnSide::Right), count(TurnSide::NotTold));
    let _ = units;
    format!(
        "Of {} the turn is to the left in {left}, to the right in {right}, and not clear in {none}",
        count_of(sides.len(), "cell", "cells")
    )
}
