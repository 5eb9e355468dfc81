//! Every run beside the mean of its cell.

use super::forest::{self, Axis, MOST_ROWS, Row};
use super::{cells_of, style};
use crate::Chart;
use crate::canvas::{Caption, Shape, chart};
use driftless_analysis::campaign::model::WingId;
use driftless_analysis::campaign::{CampaignAnalysis, Cell, RunSource};
use driftless_display::{DisplayUnits, count_of, fixed, significant};
use driftless_units::Interval;

pub(super) fn draw(analysis: &CampaignAnalysis, units: &DisplayUnits, wing: WingId) -> Option<Chart> {
    let cells = cells_of(analysis, wing);
    if cells.iter().all(|cell| cell.runs.len() < 2) {
        return None;
    }
    let factor = units.turn.per_deg_s();
    let rows: Vec<Row> = cells.iter().take(MOST_ROWS).map(|cell| row(analysis, cell, factor)).collect();
    let axis = Axis {
        name: format!("turn, {}", units.turn.sign()),
        holds: vec![0.0],
        sides: Some(("← left", "right →")),
        references: Vec::new(),
        smallest: 2.0 * factor,
    };
    let caption = Caption {
        id: format!("repeats-{}", wing.0 + 1),
        headline: headline(analysis, units, wing, &cells),
        subtitle: format!(
            "Grey: each run (disc by log, cross by stopwatch, ring stands apart); above it the mean with its 95 % \
             interval; to the right the spread from run to run{}",
            forest::left_out(rows.len(), cells.len(), "the runs listed under it")
        ),
        description: cells
            .iter()
            .map(|cell| {
                let runs: Vec<String> = cell.runs.iter().map(|run| fixed(run.rate_deg_s.value * factor, 2)).collect();
                format!("{}: {}.", analysis.words(cell.key), runs.join(", "))
            })
            .collect::<Vec<_>>()
            .join(" "),
    };
    Some(chart(caption, (forest::WIDTH, forest::height(&rows)), |canvas| forest::paint(canvas, &rows, &axis)))
}

fn row(analysis: &CampaignAnalysis, cell: &Cell, factor: f64) -> Row {
    let turn = cell.turn_deg_s();
    let ends = turn.interval(0.95);
    let (ink, shape) = style::of(cell.key.setup);
    let runs = cell.runs.iter().enumerate().map(|(index, run)| {
        let apart = cell.mean.outlying.iter().any(|run| run.index == index);
        let shape = match (apart, &run.source) {
            (true, _) => Shape::Ring,
            (false, RunSource::Log(_)) => Shape::Disc,
            (false, RunSource::Stopwatch { .. }) => Shape::Cross,
        };
        (run.rate_deg_s.value * factor, shape)
    });
    let words = match cell.mean.between_run_sd {
        Some(sd) if sd > 0.005 => format!("{}, spread {}", cell.runs.len(), significant(sd * factor, 2)),
        Some(_) => format!("{}, no spread shown", cell.runs.len()),
        None => "1, spread not known".to_owned(),
    };
    Row {
        group: analysis.scenario_words(cell.key.scenario).to_owned(),
        name: analysis.campaign.setup(cell.key.setup).name.clone(),
        words,
        ink,
        shape,
        figure: Some((turn.value * factor, Some(Interval { low: ends.low * factor, high: ends.high * factor }))),
        runs: runs.collect(),
    }
}

fn headline(analysis: &CampaignAnalysis, units: &DisplayUnits, wing: WingId, cells: &[&Cell]) -> String {
    let name = &analysis.campaign.wing(wing).name;
    let spread = |cell: &&&Cell| cell.mean.between_run_sd.unwrap_or(0.0);
    let contradictory = cells.iter().filter(|cell| cell.mean.heterogeneity.is_some_and(|h| h.contradictory())).count();
    let widest = cells.iter().max_by(|a, b| spread(a).total_cmp(&spread(b)));
    let most = match widest {
        Some(cell) if spread(&cell) > 0.005 => format!(
            "repeats spread most ({}\u{a0}{}) with {} in {}",
            significant(spread(&cell) * units.turn.per_deg_s(), 2),
            units.turn.sign(),
            analysis.campaign.setup(cell.key.setup).name,
            analysis.scenario_words(cell.key.scenario)
        ),
        _ => "no repeats differ by more than their own uncertainty".to_owned(),
    };
    let more = if contradictory > 0 {
        format!("; they contradict one another in {}", count_of(contradictory, "cell", "cells"))
    } else {
        String::new()
    };
    format!("{name}: {most}{more}")
}
