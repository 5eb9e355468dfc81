//! One whole-flight estimate, for an instruction count or a profile: a simulated flight, without windows and with them.
//!
//! `valgrind --tool=callgrind --toggle-collect='driftless_wind::flight::estimate*' target/release/examples/estimate_once`

#[path = "../tests/flown/mod.rs"]
mod flown;

use driftless_sim::reference::{self, AirClass, Options};
use driftless_sim::simulate;
use driftless_units::Wind;
use driftless_wind::flight::{EstimateError, StartGuess, estimate, estimate_with_windows};
use flown::path_and_spans;

fn main() -> Result<(), EstimateError> {
    let flight = simulate(&reference::flight(AirClass::Light, 1, &Options::default()), 1).expect("it flies");
    let (path, spans, _) = path_and_spans(&flight);
    let free = estimate(&path, &[StartGuess { wind: Wind::default(), airspeed_mps: 11.0 }])?;
    let known = estimate_with_windows(&path, &free, &spans)?;
    let turned_deg: Vec<f64> = known.turns.iter().map(|(_, turn)| turn.heading_change.value.deg()).collect();
    std::hint::black_box(turned_deg);
    Ok(())
}
