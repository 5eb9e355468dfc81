//! A campaign on one screen of a terminal: which device, and what next. Everything else stands in the text and on the page.

use super::alerts::message;
use super::summary::{claims, probability, settings};
use super::{next, scores};
use crate::outlet::finished;
use crate::text::layout::{Align, paragraph_within, table};
use driftless_analysis::Severity;
use driftless_analysis::campaign::model::{SCENARIOS, SetupId, WingId};
use driftless_analysis::campaign::{CampaignAlert, CampaignAlertKind, CampaignAnalysis, CellKey, Ranking};
use driftless_display::campaign::{capital, points, ratio, short_scenario, typed};
use driftless_display::{DisplayUnits, count_of, distinct, fixed, severity_words, turn_signed};
use driftless_units::printable;
use std::collections::{BTreeMap, BTreeSet};

/// Lines for warnings, set-ups behind the first, blocks to fly: a screen holds no more.
const MOST_ALERTS: usize = 3;
const MOST_SETUPS: usize = 10;
const MOST_BLOCKS: usize = 3;
/// Room for a name below which rows are stacked rather than names cut.
const LEAST_NAME: usize = 12;
/// Columns of figures: four scenarios.
const COLUMNS: usize = SCENARIOS.len();

/// The summary of a campaign for a terminal of this width; no line is wider, and there are no escape codes in it.
pub fn campaign_brief(analysis: &CampaignAnalysis, units: &DisplayUnits, width: usize) -> String {
    let plan = next::plan(analysis);
    let blocks = next::blocks(analysis, &plan);
    let line = |words: &str| paragraph_within(width, "", words);
    let item = |words: &str| paragraph_within(width, "  ", words);
    let mut text = line(&format!("{} ({})", analysis.campaign.title, facts(analysis)));
    text.push_str(&alerts(analysis, units, width));
    if !analysis.cells.is_empty() {
        text.push('\n');
        text.push_str(&figures(analysis, units, width));
        text.push('\n');
        text.push_str(&rankings(analysis, units, width));
    }
    text.extend(claims(analysis).map(|words| line(&capital(&words))));
    text.extend(settings(analysis).map(|words| line(&capital(&words))));
    text.extend(next::imprecise(analysis, &plan).map(|words| line(&words)));
    let cards = if plan.cards.is_empty() { "" } else { " Cards: driftless plan." };
    text.extend(next::sentence(analysis, &plan).map(|words| line(&format!("{words}{cards}"))));
    for block in blocks.iter().take(MOST_BLOCKS) {
        let campaign = &analysis.campaign;
        text.push_str(&item(&format!(
            "{}. {}, {}: {}{}",
            block.number,
            campaign.setup(block.setup).name,
            campaign.wing(block.wing).name,
            block.why,
            block.most.as_ref().map_or(String::new(), |most| format!("; {most}"))
        )));
    }
    finished(text)
}

/// "114 runs, 32 cells, 31 flights".
fn facts(analysis: &CampaignAnalysis) -> String {
    let runs: usize = analysis.cells.iter().map(|cell| cell.runs.len()).sum();
    format!(
        "{}, {}, {}",
        count_of(runs, "run", "runs"),
        count_of(analysis.cells.len(), "cell", "cells"),
        count_of(analysis.campaign.flights.len(), "flight", "flights")
    )
}

fn alerts(analysis: &CampaignAnalysis, units: &DisplayUnits, width: usize) -> String {
    let told: Vec<_> = analysis.alerts.iter().filter(|alert| !told_already(alert)).collect();
    let mut text: String = told
        .iter()
        .take(MOST_ALERTS)
        .map(|alert| {
            let words = message(analysis, units, &alert.kind);
            paragraph_within(width, "", &format!("{}: {words}.", severity_words(alert.severity())))
        })
        .collect();
    if told.len() > MOST_ALERTS {
        text.push_str(&paragraph_within(
            width,
            "",
            &format!("{} more to check on the page.", told.len() - MOST_ALERTS),
        ));
    }
    text
}

/// What is no reason to doubt, and files at fault: these were told on standard error.
fn told_already(alert: &CampaignAlert) -> bool {
    match &alert.kind {
        CampaignAlertKind::FlightNotUsable { why, .. } => why.at_fault(),
        CampaignAlertKind::FileNotUsed { .. } => true,
        _ => alert.severity() == Severity::Note,
    }
}

/// A set-up on a wing.
type Place = (WingId, SetupId);

/// Wing x set-up: compensation under power, the turn where there is no percentage.
fn figures(analysis: &CampaignAnalysis, units: &DisplayUnits, width: usize) -> String {
    let campaign = &analysis.campaign;
    let places: BTreeSet<Place> = analysis.cells.iter().map(|cell| (cell.key.wing, cell.key.setup)).collect();
    let shown: Vec<Place> = places.iter().copied().take(MOST_SETUPS).collect();
    let names: Vec<&str> = campaign.setups.iter().map(|setup| setup.name.as_str()).collect();
    let longest = shown.iter().map(|(_, setup)| campaign.setup(*setup).name.chars().count()).max().unwrap_or(0);
    // Names whole with intervals, then with margins, then cut; or one below the other.
    let rows = |short: bool| -> Vec<[String; COLUMNS]> {
        shown.iter().map(|place| SCENARIOS.map(|scenario| figure(analysis, units, *place, scenario, short))).collect()
    };
    let room = |rows: &[[String; COLUMNS]]| {
        let taken: usize = (0..COLUMNS)
            .map(|column| {
                let widest = rows.iter().map(|row| row[column].chars().count()).max().unwrap_or(0);
                widest.max(head(analysis, SCENARIOS[column]).chars().count()) + 2
            })
            .sum();
        width.saturating_sub(taken + 2)
    };
    let (whole, short) = (rows(false), rows(true));
    let (rows, name_room) = if longest <= room(&whole) { (whole, longest) } else { (short.clone(), room(&short)) };
    let mut text = if name_room < longest.min(LEAST_NAME) {
        stacked(analysis, units, &shown, width)
    } else {
        let short_names = distinct(&names, name_room);
        lined_up(analysis, &shown, &rows, &short_names, width)
    };
    if places.len() > shown.len() {
        text.push_str(&paragraph_within(width, "", &format!("{} more on the page.", places.len() - shown.len())));
    }
    let legend = scores::legend(analysis, units);
    text.push_str(&paragraph_within(width, "", &legend));
    text
}

/// "trim ×3".
fn head(analysis: &CampaignAnalysis, scenario: driftless_analysis::Scenario) -> String {
    let weight = analysis.campaign.scenario_weights.get(&scenario).copied().unwrap_or(1.0);
    format!("{} ×{weight}", short_scenario(scenario))
}

fn figure(
    analysis: &CampaignAnalysis,
    units: &DisplayUnits,
    (wing, setup): Place,
    scenario: driftless_analysis::Scenario,
    short: bool,
) -> String {
    let key = CellKey { setup, wing, scenario };
    let Some(cell) = analysis.cell(key) else { return "not flown".to_owned() };
    let flag = scores::flag(analysis, key).map_or("", scores::Flag::sign);
    match scores::percent(analysis, key) {
        Some((percent, ends)) if short => {
            let half = points(Some(0.5 * (ends.high - ends.low)));
            format!("{}\u{a0}{}\u{a0}%{flag}", fixed(percent, 0), half.trim_end_matches("\u{a0}points"))
        }
        Some((percent, ends)) => {
            format!("{}\u{a0}% ({} to {}){flag}", fixed(percent, 0), fixed(ends.low, 0), fixed(ends.high, 0))
        }
        None => format!("{}{flag}", turn_signed(units, &typed(&cell.turn_deg_s()))),
    }
    .replace('\u{a0}', " ")
    .replace(" ± ", "±")
}

fn lined_up(
    analysis: &CampaignAnalysis,
    shown: &[Place],
    figures: &[[String; COLUMNS]],
    names: &[String],
    width: usize,
) -> String {
    let heads = SCENARIOS.map(|scenario| head(analysis, scenario));
    let mut columns = [("", Align::Left); COLUMNS + 1];
    for (column, head) in columns.iter_mut().skip(1).zip(&heads) {
        *column = (head, Align::Right);
    }
    let row = |((_, setup), figures): (&Place, &[String; COLUMNS])| {
        let mut row: [String; COLUMNS + 1] = Default::default();
        row[0] = format!("  {}", names.get(setup.0).map_or("", String::as_str));
        for (cell, figure) in row.iter_mut().skip(1).zip(figures) {
            cell.clone_from(figure);
        }
        row
    };
    let rows: Vec<[String; COLUMNS + 1]> = shown.iter().zip(figures).map(row).collect();
    let set = table(columns, &rows);
    // A wing stands above its set-ups and has the whole line.
    let mut lines = set.lines();
    let mut text = format!("{}\n", lines.next().unwrap_or_default());
    let mut last = None;
    for ((wing, _), line) in shown.iter().zip(lines) {
        if last.replace(*wing) != Some(*wing) {
            text.push_str(&paragraph_within(width, "", &printable(&analysis.campaign.wing(*wing).name)));
        }
        text.push_str(line);
        text.push('\n');
    }
    text
}

/// Labels above, figures below.
fn stacked(analysis: &CampaignAnalysis, units: &DisplayUnits, shown: &[Place], width: usize) -> String {
    let campaign = &analysis.campaign;
    let mut text = String::new();
    let mut last = None;
    for (wing, setup) in shown {
        if last.replace(*wing) != Some(*wing) {
            text.push_str(&paragraph_within(width, "", &printable(&campaign.wing(*wing).name)));
        }
        text.push_str(&paragraph_within(width, "  ", &printable(&campaign.setup(*setup).name)));
        for scenario in SCENARIOS {
            let figure = figure(analysis, units, (*wing, *setup), scenario, false);
            text.push_str(&paragraph_within(width, "    ", &format!("{}: {figure}", head(analysis, scenario))));
        }
    }
    text
}

/// The least turn of each wing, its weights, and what comes next.
fn rankings(analysis: &CampaignAnalysis, units: &DisplayUnits, width: usize) -> String {
    let campaign = &analysis.campaign;
    let mut by_weights: BTreeMap<String, Vec<&Ranking>> = BTreeMap::new();
    for of in &analysis.rankings {
        let each: Vec<&str> = of.scenarios.iter().map(|(scenario, _)| short_scenario(*scenario)).collect();
        let weighed = match of.scenarios.as_slice() {
            [_] => format!("{} alone", each.join("")),
            several => format!("{} weighed {}", each.join(" : "), ratio(several)),
        };
        by_weights.entry(weighed).or_default().push(of);
    }
    let mut text = String::new();
    for (weights, list) in by_weights {
        text.push_str(&paragraph_within(width, "", &format!("Least turn in {}, {weights}:", units.turn.sign())));
        for of in list {
            let Some((setup, turn)) = of.setups.first() else { continue };
            let sure = of.chance_of_first().map_or(String::new(), |chance| format!(" ({} sure)", probability(chance)));
            let second = of.setups.get(1).map(|(setup, _)| format!(", then {}", campaign.setup(*setup).name));
            let words = format!(
                "{}: {} {}{sure}{}",
                campaign.wing(of.wing).name,
                campaign.setup(*setup).name,
                turn_signed(units, &typed(turn)),
                second.unwrap_or_default()
            );
            text.push_str(&paragraph_within(width, "  ", &words));
        }
    }
    text
}
