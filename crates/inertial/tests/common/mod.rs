//! A simulated flight with an inertial sensor, taken down the road as far as the estimate.

use driftless_inertial::ImuLog;
use driftless_inertial::align::FlightColumns;
use driftless_sim::{Scenario, SimulatedFlight, simulate};
use driftless_track::{TrackConfig, prepare};
use driftless_units::Wind;
use driftless_wind::circle::best_wind_guess;
use driftless_wind::flight::{StartGuess, estimate};

/// A flight with everything that tests compare.
pub(crate) struct Flown {
    pub(crate) flight: SimulatedFlight,
    pub(crate) columns: FlightColumns,
    pub(crate) log: ImuLog,
    /// Track time of the truth's second 0.
    #[allow(dead_code, reason = "not every test file needs it")]
    pub(crate) truth_zero_s: f64,
    /// Track time - sensor time by dates.
    pub(crate) dated_offset_s: Option<f64>,
}

/// Flies, records, estimates, and reads the inertial file.
pub(crate) fn fly(scenario: &Scenario, seed: u64) -> Flown {
    let flight = simulate(scenario, seed).expect("a valid scenario");
    let track = prepare(&flight.to_log(), &TrackConfig::default()).expect("a track");
    let path = track.path();
    let mut starts = vec![StartGuess { wind: Wind::default(), airspeed_mps: 11.0 }];
    if let Ok(guess) = best_wind_guess(&path) {
        let circles = std::iter::once(&guess.best).chain(&guess.others).take(2);
        starts.splice(0..0, circles.map(|c| StartGuess { wind: c.fit.wind, airspeed_mps: c.fit.airspeed_mps.value }));
    }
    let free = estimate(&path, &starts).expect("an estimate");
    let mut columns = FlightColumns { wind_std_u_mps: 0.5, ..FlightColumns::default() };
    for node in &free.nodes {
        columns.t_s.push(node.t_s);
        columns.heading_rad.push(node.heading.value.rad());
        columns.turn_rate_rad_s.push(node.turn_rate.value.rad_s());
        columns.turn_rate_std_u_rad_s.push(node.turn_rate.std_u.rad_s());
        columns.airspeed_mps.push(node.airspeed_mps.value);
    }
    let log = driftless_inertial::read(flight.to_imu_csv().as_bytes(), None).expect("an inertial log");
    let dated_offset_s = log.epoch.map(|epoch| track.seconds_of(epoch));
    Flown { truth_zero_s: track.seconds_of(flight.truth.epoch), flight, columns, log, dated_offset_s }
}
