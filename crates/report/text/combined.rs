//! Repeats inside a flight: one figure for the windows of a set-up in a scenario.

use super::layout::{Align, paragraph, table};
use driftless_analysis::{CombinedRate, FlightAnalysis};
use driftless_display::campaign::typed;
use driftless_display::{DisplayUnits, turn_signed};
use driftless_units::Estimate;

/// The table of set-ups; empty where nothing was repeated.
pub(super) fn section(analysis: &FlightAnalysis, units: &DisplayUnits) -> String {
    let combined = analysis.combined();
    if combined.iter().all(|of| of.windows.len() < 2) {
        return String::new();
    }
    let rows: Vec<[String; 5]> = combined.iter().map(|of| row(of, analysis.flights.len() > 1, units)).collect();
    let head = [
        ("Set-up", Align::Left),
        ("Scenario", Align::Left),
        ("Windows", Align::Right),
        (units.turn.sign(), Align::Right),
        ("Another day", Align::Right),
    ];
    let note = format!(
        "What the set-up does by all its windows, the wander of each included; another day adds a typical spread, {}, because \
         one day does not tell how far days differ.",
        crate::finding::typical_days_words()
    );
    format!(
        "Repeats combined: one figure for each set-up and scenario, ± 95 %\n{}{}",
        table(head, &rows),
        paragraph("", &note)
    )
}

fn row(of: &CombinedRate, several_flights: bool, units: &DisplayUnits) -> [String; 5] {
    let ends = of.another_day_deg_s;
    // The interval of another day as a margin about the same value.
    let half = 0.5 * (ends.high - ends.low);
    let another_day = Estimate::new(of.rate_deg_s.value, half / driftless_units::coverage_factor(0.95, f64::INFINITY));
    let flight = several_flights.then(|| format!("flight {}", of.flight));
    let setup: Vec<String> = of.setup.clone().into_iter().chain(flight).collect();
    [
        setup.join(", "),
        of.power().short_scenario_words(of.scenario).to_owned(),
        of.windows.len().to_string(),
        turn_signed(units, &typed(&of.rate_deg_s)),
        turn_signed(units, &typed(&another_day)),
    ]
}
