//! Compensation of each set-up, scenario by scenario.

use super::forest::{self, Axis, MOST_ROWS, Row};
use super::style;
use crate::Chart;
use crate::canvas::{Caption, chart};
use driftless_analysis::campaign::model::WingId;
use driftless_analysis::campaign::{CampaignAnalysis, CellCompensation, JudgeBy};
use driftless_display::campaign::percent_words;
use driftless_display::fixed;

pub(super) fn draw(analysis: &CampaignAnalysis, wing: WingId) -> Option<Chart> {
    let mut list: Vec<&CellCompensation> =
        analysis.compensation.iter().filter(|of| of.key.wing == wing && of.judge_by == JudgeBy::Percent).collect();
    list.sort_by_key(|of| (of.key.scenario, of.key.setup));
    if list.is_empty() {
        return None;
    }
    let rows: Vec<Row> = list.iter().take(MOST_ROWS).map(|of| row(analysis, of)).collect();
    let axis = Axis {
        name: "share of the baseline's turn compensated, %".to_owned(),
        holds: vec![0.0, 100.0],
        sides: None,
        references: vec![(0.0, "no effect"), (100.0, "no turn left")],
        smallest: 100.0,
    };
    let caption = Caption {
        id: format!("compensation-{}", wing.0 + 1),
        headline: headline(analysis, wing, &list),
        subtitle: format!(
            "Compensation with its 95 % interval (Fieller); beyond 100 % the aircraft turns the other way{}",
            forest::left_out(rows.len(), list.len(), "the numbers under it")
        ),
        description: list
            .iter()
            .map(|of| format!("{}: {}.", analysis.words(of.key), percent_words(&of.result)))
            .collect::<Vec<_>>()
            .join(" "),
    };
    Some(chart(caption, (forest::WIDTH, forest::height(&rows)), |canvas| forest::paint(canvas, &rows, &axis)))
}

fn row(analysis: &CampaignAnalysis, of: &CellCompensation) -> Row {
    let (ink, shape) = style::of(of.key.setup);
    Row {
        group: analysis.scenario_words(of.key.scenario).to_owned(),
        name: analysis.campaign.setup(of.key.setup).name.clone(),
        words: percent_words(&of.result),
        ink,
        shape,
        figure: of.result.percent.map(|percent| (percent, of.result.interval)),
        runs: Vec::new(),
    }
}

/// How far apart the set-ups lie.
fn headline(analysis: &CampaignAnalysis, wing: WingId, list: &[&CellCompensation]) -> String {
    let name = &analysis.campaign.wing(wing).name;
    let percent = |of: &&CellCompensation| of.result.percent.unwrap_or(f64::NAN);
    let lowest = list.iter().min_by(|a, b| percent(a).total_cmp(&percent(b)));
    let highest = list.iter().max_by(|a, b| percent(a).total_cmp(&percent(b)));
    let words = |of: &CellCompensation| {
        format!(
            "{}\u{a0}% ({}, {})",
            fixed(of.result.percent.unwrap_or(f64::NAN), 0),
            analysis.campaign.setup(of.key.setup).name,
            analysis.scenario_words(of.key.scenario)
        )
    };
    match (lowest, highest) {
        (Some(low), Some(high)) if low.key != high.key => {
            format!("{name}: between {} and {} of the turn is compensated", words(low), words(high))
        }
        (Some(only), _) => format!("{name}: {} of the turn is compensated", words(only)),
        _ => name.clone(),
    }
}
