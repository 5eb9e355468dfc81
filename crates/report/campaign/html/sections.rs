//! The sections of figures.

use super::alerts;
use crate::campaign::statements;
use crate::campaign::summary::probability;
use crate::html::fold::{Paper, folded, folded_section};
use crate::html::parts::{clean, figure, table};
use driftless_analysis::campaign::model::WingId;
use driftless_analysis::campaign::{CampaignAnalysis, Cell, CellKey, RunSource};
use driftless_charts::campaign as charts;
use driftless_display::campaign::{percent_words, turn_words, typed, whole_range};
use driftless_display::{DisplayUnits, count_of, fixed, turn_range, turn_signed};
use maud::{Markup, html as markup};
use std::collections::BTreeMap;

pub(super) fn strings<const N: usize>(words: [&str; N]) -> Vec<String> {
    words.map(str::to_owned).to_vec()
}

pub(super) fn cell_names(analysis: &CampaignAnalysis, cell: &Cell) -> [String; 3] {
    let campaign = &analysis.campaign;
    // Names of set-ups hold together in their column.
    [
        together(&clean(&campaign.setup(cell.key.setup).name)),
        clean(&campaign.wing(cell.key.wing).name),
        analysis.scenario_words(cell.key.scenario).to_owned(),
    ]
}

/// "offset 15 mm, trim level"; where room is short it breaks between set-up and scenario only.
pub(super) fn row_name(analysis: &CampaignAnalysis, key: CellKey) -> String {
    let setup = clean(&analysis.campaign.setup(key.setup).name);
    format!("{}, {}", together(&setup), together(analysis.scenario_words(key.scenario)))
}

/// Words that are not to be broken over two lines, as long as a line holds them.
fn together(words: &str) -> String {
    const LINE: usize = 24;
    if words.chars().count() > LINE { words.to_owned() } else { words.replace(' ', "\u{a0}") }
}

/// One table for each wing, under its name.
pub(super) fn wing_tables(
    analysis: &CampaignAnalysis,
    caption: &str,
    head: &[String],
    rows: &[(WingId, Vec<String>)],
) -> Markup {
    let mut by_wing: BTreeMap<WingId, Vec<Vec<String>>> = BTreeMap::new();
    for (wing, row) in rows {
        by_wing.entry(*wing).or_default().push(row.clone());
    }
    markup! {
        @for (wing, rows) in &by_wing {
            (table(&format!("{}: {caption}", clean(&analysis.campaign.wing(*wing).name)), "", head, rows))
        }
    }
}

/// Every cell with its interval, and what they share.
pub(super) fn cells(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Markup {
    if analysis.cells.is_empty() {
        return markup! {};
    }
    let rows: Vec<Vec<String>> = analysis
        .cells
        .iter()
        .map(|cell| {
            let [setup, wing, scenario] = cell_names(analysis, cell);
            let turn = typed(&cell.turn_deg_s());
            let taken = analysis.compensation_of(cell.key).map(|c| percent_words(&c.result)).unwrap_or_default();
            vec![
                setup,
                wing,
                scenario,
                cell.runs.len().to_string(),
                turn_signed(units, &turn),
                turn_range(units, &turn),
                taken,
            ]
        })
        .collect();
    let turn = format!("Turn, {}", units.turn.sign());
    let head = strings(["Set-up", "Wing", "Scenario", "Runs", &turn, "95 % interval", "Compensation"]);
    let body = markup! {
        (table("Mean of the runs of each cell, right positive", "", &head, &rows))
        @if let Some(spread) = &analysis.spread { p { (statements::spread(spread)) } }
        (alerts::notes(analysis, units))
    };
    folded_section("cells", "All cells with their intervals, and the spread from run to run", Paper::Opened, &body)
}

/// Residual turns side by side.
pub(super) fn turns(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Markup {
    let charts = charts::turns(analysis, units);
    if charts.is_empty() {
        return markup! {};
    }
    let body = markup! {
        div.pair { @for (wing, chart) in &charts { (figure(chart, &turn_numbers(analysis, units, *wing))) } }
    };
    folded_section("turns", "Residual turns", Paper::Whole, &body)
}

/// Where a minute hands off leads.
pub(super) fn paths(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Markup {
    let charts = charts::air_paths(analysis, units);
    if charts.is_empty() {
        return markup! {};
    }
    let body = markup! {
        div.pair { @for (wing, chart) in &charts { (figure(chart, &path_ends(analysis, units, *wing))) } }
    };
    folded_section("paths", "Distance through the air in a minute, hands off", Paper::Opened, &body)
}

/// The numbers of a chart.
fn numbers_of(table: &Markup) -> Markup {
    folded("The numbers of this chart", table)
}

fn turn_numbers(analysis: &CampaignAnalysis, units: &DisplayUnits, wing: WingId) -> Markup {
    let rows: Vec<Vec<String>> = charts::cells_of(analysis, wing)
        .into_iter()
        .map(|cell| {
            let turn = typed(&cell.turn_deg_s());
            vec![row_name(analysis, cell.key), turn_signed(units, &turn), turn_range(units, &turn)]
        })
        .collect();
    let head = strings(["Cell", &format!("Turn, {}", units.turn.sign()), "95 % interval"]);
    numbers_of(&table("Residual turn, right positive; ± is the 95 % margin", "numbers", &head, &rows))
}

fn path_ends(analysis: &CampaignAnalysis, units: &DisplayUnits, wing: WingId) -> Markup {
    let metres = |m: f64| fixed(m * units.height.per_m(), 0);
    let rows: Vec<Vec<String>> = charts::cells_of(analysis, wing)
        .into_iter()
        .filter_map(|cell| {
            let (right, ahead) = charts::path_end_m(cell)?;
            Some(vec![row_name(analysis, cell.key), metres(right), metres(ahead)])
        })
        .collect();
    let unit = units.height.sign();
    let head = strings(["Cell", &format!("To the right, {unit}"), &format!("Ahead, {unit}")]);
    numbers_of(&table("Where the paths end, from their start", "numbers", &head, &rows))
}

/// Compensation with its intervals and what each says.
pub(super) fn compensation(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Markup {
    if analysis.compensation.is_empty() {
        return markup! {};
    }
    let charts = charts::compensation(analysis);
    let claims: Vec<String> =
        analysis.compensation.iter().filter_map(|c| statements::compensation_claim(analysis, c)).collect();
    let statements = markup! {
        ul.reasons {
            @for of in &analysis.compensation { li { (statements::compensation(analysis, units, of)) } }
        }
    };
    let body = markup! {
        div.pair {
            @for (wing, chart) in &charts { (figure(chart, &compensation_numbers(analysis, *wing))) }
        }
        @if !claims.is_empty() {
            (folded("Each cell against what is claimed", &markup! { ul.reasons { @for claim in &claims { li { (claim) } } } }))
        }
        (folded("Each cell in words", &statements))
    };
    folded_section("compensation", "How much of the turn is compensated", Paper::Whole, &body)
}

fn compensation_numbers(analysis: &CampaignAnalysis, wing: WingId) -> Markup {
    let mut list: Vec<_> = analysis.compensation.iter().filter(|of| of.key.wing == wing).collect();
    list.sort_by_key(|of| (of.key.scenario, of.key.setup));
    let rows: Vec<Vec<String>> =
        list.into_iter().map(|of| vec![row_name(analysis, of.key), percent_words(&of.result)]).collect();
    let head = strings(["Cell", "Compensation"]);
    numbers_of(&table("Compensation with its 95 % interval", "numbers", &head, &rows))
}

/// Device against device.
pub(super) fn devices(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Markup {
    if analysis.comparisons.is_empty() {
        return markup! {};
    }
    let campaign = &analysis.campaign;
    let factor = units.turn.per_deg_s();
    let rows: Vec<(WingId, Vec<String>)> = analysis
        .comparisons
        .iter()
        .map(|pair| {
            let result = &pair.result;
            let interval = result.difference_interval;
            let row = vec![
                format!(
                    "{} or {}",
                    together(&clean(&campaign.setup(pair.a).name)),
                    together(&clean(&campaign.setup(pair.b).name))
                ),
                analysis.scenario_words(pair.scenario).to_owned(),
                fixed(result.difference * factor, 2),
                format!("{} to {}", fixed(interval.low * factor, 2), fixed(interval.high * factor, 2)),
                result.ratio_interval.map_or("not told".to_owned(), |ends| {
                    format!("{} ({} to {})", fixed(result.ratio, 2), fixed(ends.low, 2), fixed(ends.high, 2))
                }),
                probability(result.probability_a_turns_less),
                if pair.told_apart() { "yes" } else { "no" }.to_owned(),
            ];
            (pair.wing, row)
        })
        .collect();
    let size = format!("Difference, {}", units.turn.sign());
    let head = strings(["Set-ups", "Scenario", &size, "95 % interval", "Ratio", "First turns less", "Told apart"]);
    let told: Vec<_> = analysis.comparisons.iter().filter(|pair| pair.told_apart()).collect();
    let body = markup! {
            @if told.is_empty() {
                p { "No two devices are told apart by the size of their turn." }
            } @else {
                p { (told.len()) " of " (count_of(analysis.comparisons.len(), "pair", "pairs")) " are told apart by the size of \
                     their turn, all comparisons taken together (Holm)." }
            }
            (wing_tables(analysis, "size of the first set-up's turn against that of the second", &head, &rows))
            @if !told.is_empty() {
                (folded("In words", &markup! {
                    ul.reasons { @for pair in &told { li { (statements::comparison(analysis, units, pair)) } } }
                }))
            }
    };
    folded_section("devices", "Device against device", Paper::Opened, &body)
}

/// Heading drift, for a tester.
pub(super) fn drift(analysis: &CampaignAnalysis) -> Markup {
    if analysis.drift.is_empty() {
        return markup! {};
    }
    let rows: Vec<(WingId, Vec<String>)> = analysis
        .drift
        .iter()
        .map(|of| {
            let row = vec![
                row_name(analysis, of.key),
                fixed(of.result.drift_deg_min.value, 0),
                whole_range(&of.result.interval),
                fixed(of.result.raw_deg_min, 0),
                fixed(of.result.wind_deg_min, 0),
            ];
            (of.key.wing, row)
        })
        .collect();
    let head = strings(["Cell", "Drift, °/min", "95 % interval", "Ground track alone, °/min", "Of it the wind, °/min"]);
    let claimed: Vec<_> = analysis.drift.iter().filter(|of| of.claimed).collect();
    let body = markup! {
            @if !claimed.is_empty() {
                ul.reasons { @for of in &claimed { li { (statements::drift(analysis, of)) } } }
            }
            (wing_tables(analysis, "hands off, right positive, logs only", &head, &rows))
    };
    folded_section(
        "drift",
        "Heading drift in a minute, and what the ground track alone would have shown",
        Paper::Opened,
        &body,
    )
}

/// Repeats and their spread.
pub(super) fn repeats(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Markup {
    let charts = charts::repeats(analysis, units);
    let rows: Vec<(WingId, Vec<String>)> = analysis
        .cells
        .iter()
        .flat_map(|cell| {
            cell.runs.iter().enumerate().map(move |(index, run)| {
                let how = match &run.source {
                    RunSource::Log(_) => "log".to_owned(),
                    RunSource::Stopwatch { timed_by } => {
                        timed_by.as_ref().map_or("stopwatch".to_owned(), |who| format!("stopwatch, {}", clean(who)))
                    }
                };
                let apart = cell.mean.outlying.iter().any(|run| run.index == index);
                let row = vec![
                    clean(&run.name).replace(' ', "\u{a0}"),
                    row_name(analysis, cell.key),
                    run.pilot.map(|pilot| clean(&analysis.campaign.pilot(pilot).name)).unwrap_or_default(),
                    run.date.map(|date| date.to_string()).unwrap_or_default(),
                    turn_signed(units, &typed(&run.rate_deg_s)),
                    if apart { format!("{how}; stands apart") } else { how },
                ];
                (cell.key.wing, row)
            })
        })
        .collect();
    let turn = format!("Turn, {}", units.turn.sign());
    let head = strings(["Run", "Cell", "Pilot", "Day", &turn, "How it is known"]);
    if rows.is_empty() {
        return markup! {};
    }
    let body = markup! {
        div.pair { @for (wing, chart) in &charts { (figure(chart, &spread_numbers(analysis, units, *wing))) } }
        (folded("All runs", &wing_tables(analysis, "every run that counts, with its own 95 % interval", &head, &rows)))
    };
    folded_section("repeats", "Repeats and their spread", Paper::Opened, &body)
}

fn spread_numbers(analysis: &CampaignAnalysis, units: &DisplayUnits, wing: WingId) -> Markup {
    let rows: Vec<Vec<String>> = charts::cells_of(analysis, wing)
        .into_iter()
        .map(|cell| {
            let spread = cell.mean.between_run_sd.map(|sd| fixed(sd * units.turn.per_deg_s(), 2));
            vec![row_name(analysis, cell.key), cell.runs.len().to_string(), spread.unwrap_or("not known".to_owned())]
        })
        .collect();
    let head = strings(["Cell", "Runs", &format!("Spread, {}", units.turn.sign())]);
    numbers_of(&table("Spread from run to run beyond the runs' own uncertainty", "numbers", &head, &rows))
}

/// Log against stopwatch.
pub(super) fn stopwatch(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Markup {
    let Some(of) = &analysis.agreement else { return markup! {} };
    let rows: Vec<Vec<String>> = of
        .runs
        .iter()
        .map(|run| {
            vec![
                clean(&run.name),
                clean(&analysis.words(run.key)),
                turn_words(units, &run.log_deg_s),
                turn_words(units, &run.stopwatch_deg_s),
                run.timed_by.as_deref().map(clean).unwrap_or_default(),
            ]
        })
        .collect();
    let head = strings(["Run", "Cell", "Log", "Stopwatch", "Timed by"]);
    let body = markup! {
        p { (statements::agreement(of)) }
        (table("The same runs, measured both ways", "", &head, &rows))
    };
    folded_section("stopwatch", "Log against stopwatch", Paper::Opened, &body)
}
