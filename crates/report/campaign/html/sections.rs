//! The sections of figures.

use crate::campaign::statements;
use crate::campaign::words::{percent_words, turn_words, typed, whole_range};
use crate::charts::campaign::{self as charts};
use crate::display::{DisplayUnits, fixed, turn_range, turn_signed};
use crate::html::parts::{clean, figure, table};
use driftless_analysis::campaign::{CampaignAnalysis, Cell, RunSource};
use maud::{Markup, html as markup};

pub(super) fn strings<const N: usize>(words: [&str; N]) -> Vec<String> {
    words.map(str::to_owned).to_vec()
}

pub(super) fn cell_names(analysis: &CampaignAnalysis, cell: &Cell) -> [String; 3] {
    let campaign = &analysis.campaign;
    // Names of set-ups hold together in their column.
    [
        clean(&campaign.setup(cell.key.setup).name).replace(' ', "\u{a0}"),
        clean(&campaign.wing(cell.key.wing).name),
        cell.key.scenario.words().to_owned(),
    ]
}

/// Set-up x wing x scenario at a glance.
pub(super) fn matrix(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Markup {
    let Some(chart) = charts::matrix(analysis, units) else { return markup! {} };
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
    let head = strings(["Set-up", "Wing", "Scenario", "Runs", &turn, "95 % interval", "Taken away"]);
    markup! {
        section aria-labelledby="matrix" {
            h2 id="matrix" { "All cells" }
            (figure(&chart, &table("Mean of the runs of each cell, right positive", "", &head, &rows)))
        }
    }
}

/// Residual turns side by side.
pub(super) fn turns(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Markup {
    let turns = charts::turns(analysis, units);
    let paths = charts::air_paths(analysis, units);
    markup! {
        @if !turns.is_empty() {
            section aria-labelledby="turns" {
                h2 id="turns" { "What is left of the turn" }
                @for chart in &turns { (figure(chart, &markup! {})) }
                @for chart in &paths { (figure(chart, &markup! {})) }
            }
        }
    }
}

/// Compensation with its intervals and what each says.
pub(super) fn compensation(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Markup {
    if analysis.compensation.is_empty() {
        return markup! {};
    }
    let charts = charts::compensation(analysis);
    markup! {
        section aria-labelledby="compensation" {
            h2 id="compensation" { "How much of the turn is taken away" }
            @for chart in &charts { (figure(chart, &markup! {})) }
            ul.reasons {
                @for of in &analysis.compensation { li { (statements::compensation(&analysis.campaign, units, of)) } }
            }
            @let claims: Vec<String> =
                analysis.compensation.iter().filter_map(|c| statements::compensation_claim(&analysis.campaign, c)).collect();
            @if !claims.is_empty() {
                h3 { "Against what is claimed" }
                ul.reasons { @for claim in &claims { li { (claim) } } }
            }
        }
    }
}

/// Device against device.
pub(super) fn devices(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Markup {
    if analysis.comparisons.is_empty() {
        return markup! {};
    }
    let campaign = &analysis.campaign;
    let factor = units.turn.per_deg_s();
    let rows: Vec<Vec<String>> = analysis
        .comparisons
        .iter()
        .map(|pair| {
            let result = &pair.result;
            let interval = result.difference_interval;
            vec![
                format!("{} or {}", clean(&campaign.setup(pair.a).name), clean(&campaign.setup(pair.b).name)),
                clean(&campaign.wing(pair.wing).name),
                pair.scenario.words().to_owned(),
                fixed(result.difference * factor, 2),
                format!("{} to {}", fixed(interval.low * factor, 2), fixed(interval.high * factor, 2)),
                format!("{}\u{a0}%", fixed(100.0 * result.probability_a_turns_less, 0)),
                if pair.told_apart() { "told apart" } else { "not told apart" }.to_owned(),
            ]
        })
        .collect();
    let size = format!("Difference in size, {}", units.turn.sign());
    let head =
        strings(["Set-ups", "Wing", "Scenario", &size, "95 % interval", "First turns less", "All taken together"]);
    let told: Vec<_> = analysis.comparisons.iter().filter(|pair| pair.told_apart()).collect();
    markup! {
        section aria-labelledby="devices" {
            h2 id="devices" { "Device against device" }
            @if told.is_empty() {
                p { "No two devices are told apart by the size of their turn." }
            } @else {
                ul.reasons { @for pair in &told { li { (statements::comparison(campaign, units, pair)) } } }
            }
            (table("Size of the first set-up's turn less that of the second", "", &head, &rows))
        }
    }
}

/// Heading drift, for a tester.
pub(super) fn drift(analysis: &CampaignAnalysis) -> Markup {
    if analysis.drift.is_empty() {
        return markup! {};
    }
    let rows: Vec<Vec<String>> = analysis
        .drift
        .iter()
        .map(|of| {
            let campaign = &analysis.campaign;
            vec![
                clean(&of.key.words(campaign)),
                fixed(of.result.drift_deg_min.value, 0),
                whole_range(&of.result.interval),
                fixed(of.result.raw_deg_min, 0),
                fixed(of.result.wind_deg_min, 0),
            ]
        })
        .collect();
    let head =
        strings(["Cell", "Drift, °/min", "95 % interval", "Raw ground track, °/min", "Put on by the wind, °/min"]);
    let claimed: Vec<_> = analysis.drift.iter().filter(|of| of.claimed).collect();
    markup! {
        section aria-labelledby="drift" {
            h2 id="drift" { "Heading drift in a minute, and how it would have looked raw" }
            @if !claimed.is_empty() {
                ul.reasons { @for of in &claimed { li { (statements::drift(&analysis.campaign, of)) } } }
            }
            (table("Hands off, right positive; logs only", "", &head, &rows))
        }
    }
}

/// Repeats and their spread.
pub(super) fn repeats(analysis: &CampaignAnalysis, units: &DisplayUnits) -> Markup {
    let charts = charts::repeats(analysis, units);
    let rows: Vec<Vec<String>> = analysis
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
                vec![
                    clean(&run.name),
                    clean(&cell.key.words(&analysis.campaign)),
                    run.pilot.map(|pilot| clean(&analysis.campaign.pilot(pilot).name)).unwrap_or_default(),
                    run.date.map(|date| date.to_string()).unwrap_or_default(),
                    turn_signed(units, &typed(&run.rate_deg_s)),
                    if apart { format!("{how}; stands apart") } else { how },
                ]
            })
        })
        .collect();
    let turn = format!("Turn, {}", units.turn.sign());
    let head = strings(["Run", "Cell", "Pilot", "Day", &turn, "How it is known"]);
    markup! {
        @if !rows.is_empty() {
            section aria-labelledby="repeats" {
                h2 id="repeats" { "Repeats and their spread" }
                @for chart in &charts { (figure(chart, &markup! {})) }
                details {
                    summary { "All runs" }
                    (table("Every run that counts, with its own 95 % interval", "", &head, &rows))
                }
            }
        }
    }
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
                clean(&run.key.words(&analysis.campaign)),
                turn_words(units, &run.log_deg_s),
                turn_words(units, &run.stopwatch_deg_s),
                run.timed_by.as_deref().map(clean).unwrap_or_default(),
            ]
        })
        .collect();
    let head = strings(["Run", "Cell", "Log", "Stopwatch", "Timed by"]);
    markup! {
        section aria-labelledby="stopwatch" {
            h2 id="stopwatch" { "Log against stopwatch" }
            p { (statements::agreement(of)) }
            (table("The same runs, measured both ways", "", &head, &rows))
        }
    }
}
