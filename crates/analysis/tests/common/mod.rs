//! What the tests of a sensor's gain share: scores, the flight as alignment sees it, the spans of the true windows.

use driftless_inertial::align::FlightColumns;
use driftless_sim::SimulatedFlight;
use driftless_units::{Estimate, TurnRate};
use driftless_wind::flight::{FlightEstimate, Node, SteadySpan};

/// Root mean square error and coverage of some windows.
#[derive(Default)]
pub(crate) struct Score {
    pub(crate) windows: f64,
    square_deg_s: f64,
    covered: f64,
}

impl Score {
    pub(crate) fn add(&mut self, rate: Estimate<TurnRate>, truth_deg_s: f64) {
        let interval = rate.interval(0.95);
        self.windows += 1.0;
        self.square_deg_s += (rate.value.deg_s() - truth_deg_s).powi(2);
        self.covered += f64::from(u8::from((interval.low.deg_s()..=interval.high.deg_s()).contains(&truth_deg_s)));
    }

    pub(crate) fn rms(&self) -> f64 {
        (self.square_deg_s / self.windows).sqrt()
    }

    pub(crate) fn coverage(&self) -> f64 {
        self.covered / self.windows
    }
}

/// The nodes of an estimate, column by column.
pub(crate) fn columns(alone: &FlightEstimate) -> FlightColumns {
    let column = |value: fn(&Node) -> f64| alone.nodes.iter().map(value).collect();
    FlightColumns {
        t_s: column(|n| n.t_s),
        heading_rad: column(|n| n.heading.value.rad()),
        turn_rate_rad_s: column(|n| n.turn_rate.value.rad_s()),
        turn_rate_std_u_rad_s: column(|n| n.turn_rate.std_u.rad_s()),
        airspeed_mps: column(|n| n.airspeed_mps.value),
        wind_std_u_mps: 0.5,
    }
}

/// The true windows on the track's times, half a second shorter than they were flown.
pub(crate) fn spans(flight: &SimulatedFlight, shift_s: f64) -> Vec<SteadySpan> {
    let windows = flight.truth.windows.iter();
    windows.map(|w| SteadySpan { start_s: w.start_s - shift_s, end_s: w.end_s - 0.5 - shift_s, marked: true }).collect()
}
