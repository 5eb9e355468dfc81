//! Coverage of campaigns by number of runs and by thirds of stated widths.

use super::{CampaignScore, DaySpread, Stated};
use crate::statistics::share;
use crate::tables::{Table, percent, strings};

/// The tables of campaigns that were drawn and of those that were flown.
pub fn tables(drawn: &[CampaignScore], flown: &[CampaignScore]) -> Vec<Table> {
    let tables = [
        ("campaigns-drawn-cells", "Drawn campaigns: turns of cells, °/s", drawn, cells as Pick),
        ("campaigns-drawn-compensation", "Drawn campaigns: compensation, percentage points", drawn, compensations),
        ("campaigns-flown-cells", "Flown campaigns: turns of cells, °/s", flown, cells),
        ("campaigns-flown-compensation", "Flown campaigns: compensation, percentage points", flown, compensations),
    ];
    tables.into_iter().filter(|(.., scores, _)| !scores.is_empty()).map(table).collect()
}

/// Drawn campaigns whose days differ otherwise than is held typical: how many intervals hold the truth.
pub fn otherwise(studies: &[(DaySpread, Vec<CampaignScore>)]) -> Table {
    let head = strings([
        "days differ by",
        "cells of 1 run, %",
        "of 2 runs, %",
        "of 3 and more, %",
        "compensation, 1 run, %",
        "2 runs, %",
        "3 and more, %",
        "median half-width at 2 runs, °/s",
    ]);
    let row = |(spread, scores): &(DaySpread, Vec<CampaignScore>)| {
        let held = |pick: Pick, days: std::ops::RangeInclusive<usize>| {
            let of = |score: &CampaignScore| -> Vec<bool> {
                pick(score).iter().filter(|of| days.contains(&of.days)).map(|of| of.inside).collect()
            };
            percent(share(&scores.iter().map(of).collect::<Vec<_>>()))
        };
        let halves = scores.iter().flat_map(cells).filter(|of| of.days == 2).map(|of| of.half);
        let half = driftless_units::median(halves).unwrap_or(f64::NAN);
        let mut row = vec![format!("{:.2} °/s and {:.0} %", spread.deg_s, 100.0 * spread.share)];
        for pick in [cells as Pick, compensations] {
            row.extend([1..=1, 2..=2, 3..=6].map(|days| held(pick, days)));
        }
        row.push(format!("{half:.2}"));
        row
    };
    Table {
        name: "campaigns-otherwise",
        title: "Drawn campaigns whose days differ otherwise than is held typical".to_owned(),
        head,
        rows: studies.iter().map(row).collect(),
    }
}

type Pick = fn(&CampaignScore) -> &[Stated];

fn cells(of: &CampaignScore) -> &[Stated] {
    &of.cells
}

fn compensations(of: &CampaignScore) -> &[Stated] {
    &of.compensations
}

fn table((name, title, scores, pick): (&'static str, &str, &[CampaignScore], Pick)) -> Table {
    let head = strings([
        "runs of a cell",
        "intervals",
        "in 95 %, %",
        "narrowest third, %",
        "middle third, %",
        "widest third, %",
        "median half-width",
        "median error",
    ]);
    let by_campaign: Vec<Vec<Stated>> = scores.iter().map(|of| pick(of).to_vec()).collect();
    let counts = std::iter::once(None).chain((1..=6).map(Some));
    let rows = counts.filter_map(|days| row(days, &by_campaign)).collect();
    Table { name, title: title.to_owned(), head, rows }
}

/// One row; `None` where there is nothing of so many runs.
fn row(days: Option<usize>, campaigns: &[Vec<Stated>]) -> Option<Vec<String>> {
    let wanted = |of: &&Stated| days.is_none_or(|days| of.days == days);
    let of: Vec<Vec<Stated>> = campaigns.iter().map(|all| all.iter().filter(wanted).copied().collect()).collect();
    let mut halves: Vec<f64> = of.iter().flatten().map(|of| of.half).collect();
    let mut errors: Vec<f64> = of.iter().flatten().map(|of| of.error).collect();
    halves.sort_by(f64::total_cmp);
    errors.sort_by(f64::total_cmp);
    let n = halves.len();
    let (median_half, median_error) = (halves.get(n / 2)?, errors.get(n / 2)?);
    let covered = |low: f64, high: f64| {
        let inside = |of: &Vec<Stated>| -> Vec<bool> {
            of.iter().filter(|of| low <= of.half && of.half < high).map(|of| of.inside).collect()
        };
        percent(share(&of.iter().map(inside).collect::<Vec<_>>()))
    };
    let (first, second) = (halves[n / 3], halves[2 * n / 3]);
    const ALL: f64 = f64::MAX;
    Some(vec![
        days.map_or("all".to_owned(), |days| days.to_string()),
        n.to_string(),
        percent(share(&of.iter().map(|of| of.iter().map(|of| of.inside).collect()).collect::<Vec<_>>())),
        covered(0.0, first),
        covered(first, second),
        covered(second, ALL),
        format!("{median_half:.2}"),
        format!("{median_error:.2}"),
    ])
}
