//! How many passes the whole-flight estimate takes to settle, and how far its rates then are from where hundreds of passes
//! take them.

use crate::ValidateError;
use crate::run::in_parallel;
use crate::score::analyse;
use crate::study::{Seeds, Variant};
use crate::tables::{Table, strings};
use driftless_sim::reference::{self, AirClass};
use driftless_sim::simulate;
use driftless_units::quantile;
use driftless_wind::flight::{
    FlightEstimate, Settling, StartGuess, SteadySpan, estimate, estimate_with_windows, estimate_with_windows_after,
};

/// Passes that a settled estimate is held against.
pub const LONG_PASSES: usize = 500;

/// One flight.
#[derive(Debug, Clone, PartialEq)]
pub struct FlightSettling {
    /// Without windows.
    pub free: Settling,
    /// With its windows; `None` where it has none that is steady.
    pub with_windows: Option<Settling>,
    /// For each window how far its turn rate is from that after [`LONG_PASSES`] passes, in its own standard uncertainties.
    pub shifts: Vec<f64>,
}

/// Flies so many reference flights with `jobs` threads, class after class in turn. `done` is told of every flight as it lands.
///
/// # Errors
/// The first [`ValidateError`] in the order of seeds.
pub fn run(
    classes: &[AirClass],
    flights: u64,
    seeds: Seeds,
    jobs: usize,
    done: &(dyn Fn() + Sync),
) -> Result<Vec<FlightSettling>, ValidateError> {
    let tasks: Vec<(AirClass, u64)> = (seeds.first()..)
        .flat_map(|seed| classes.iter().map(move |class| (*class, seed)))
        .take(if classes.is_empty() { 0 } else { usize::try_from(flights).unwrap_or(usize::MAX) })
        .collect();
    let settled = in_parallel(&tasks, jobs, |&(class, seed)| {
        let settled = fly(class, seed);
        done();
        settled
    })?;
    settled.into_iter().collect()
}

fn fly(class: AirClass, seed: u64) -> Result<FlightSettling, ValidateError> {
    let scenario = reference::flight(class, seed, &Variant::Reference.options());
    let flight = simulate(&scenario, seed).map_err(|source| ValidateError::Simulate { seed, source })?;
    let analysis = analyse(&flight, Variant::Reference.config(), Vec::new())?;
    let path = analysis.track.path();
    let start = analysis.circle.as_ref().map(|c| StartGuess { wind: c.wind, airspeed_mps: c.airspeed_mps.value });
    let spans: Vec<SteadySpan> = analysis
        .accepted()
        .map(|w| SteadySpan {
            start_s: w.window.start_s,
            end_s: w.window.end_s,
            marked: w.window.hands_off == driftless_analysis::HandsOff::Confirmed,
        })
        .collect();
    let failed = |source| ValidateError::Estimate { seed, source };
    let free = estimate(&path, start.as_slice()).map_err(failed)?;
    if spans.is_empty() {
        return Ok(FlightSettling { free: free.settling, with_windows: None, shifts: Vec::new() });
    }
    let known = estimate_with_windows(&path, &free, &spans).map_err(failed)?;
    let long = estimate_with_windows_after(&path, &free, &spans, LONG_PASSES).map_err(failed)?;
    Ok(FlightSettling { free: free.settling, with_windows: Some(known.settling), shifts: shifts(&known, &long) })
}

fn shifts(settled: &FlightEstimate, long: &FlightEstimate) -> Vec<f64> {
    let rates = settled.turns.iter().zip(&long.turns).map(|((_, a), (_, b))| (a.turn_rate, b.turn_rate));
    rates.map(|(a, b)| (a.value.rad_s() - b.value.rad_s()).abs() / b.std_u.rad_s()).collect()
}

/// The table, with what a count over 60 estimates found of the search before.
pub fn table(flights: &[FlightSettling]) -> Table {
    let head = strings([
        "estimate",
        "estimates",
        "settled",
        "passes: median",
        "nine in ten",
        "most",
        "rates against 500 passes, u: median",
        "nine in ten",
        "most",
    ]);
    // Of the issue that asked for the new search: no share of the passes above the limit is known of each kind.
    let before = strings(["before, both kinds", "60", "4 (limit of 30)", "52", "-", "118", "-", "-", "0.10"]);
    let free: Vec<Settling> = flights.iter().map(|f| f.free).collect();
    let known: Vec<Settling> = flights.iter().filter_map(|f| f.with_windows).collect();
    let shifts: Vec<f64> = flights.iter().flat_map(|f| f.shifts.iter().copied()).collect();
    let rows = vec![before, row("now, without windows", &free, &[]), row("now, with windows", &known, &shifts)];
    Table { name: "settling", title: "Passes to settle".to_owned(), head, rows }
}

fn row(name: &str, settled: &[Settling], shifts: &[f64]) -> Vec<String> {
    let passes: Vec<f64> = settled.iter().map(|s| s.passes as f64).collect();
    let mut cells =
        vec![name.to_owned(), settled.len().to_string(), settled.iter().filter(|s| s.settled).count().to_string()];
    let of = |values: &[f64], places: usize| {
        let at = |share| quantile(values.iter().copied(), share);
        [0.5, 0.9, 1.0].map(|share| at(share).map_or("-".to_owned(), |value| format!("{value:.places$}")))
    };
    cells.extend(of(&passes, 0));
    cells.extend(of(shifts, 3));
    cells
}
