//! Repeats inside a flight: the windows of one set-up in one scenario as one figure.

use crate::{Scenario, Window, WindowMeasurement};
use driftless_statistics::random_effects::same_day;
use driftless_statistics::shared_spread::SpreadPrior;
use driftless_units::{Estimate, Interval};
use std::collections::BTreeMap;

/// What a set-up does in a scenario, by all windows of a flight.
#[derive(Debug, Clone, PartialEq)]
pub struct CombinedRate {
    /// The flight of the log, from 1: between two flights a set-up may have been changed.
    pub flight: usize,
    /// The set-up that the marks name; `None` where they name none.
    pub setup: Option<String>,
    /// The scenario.
    pub scenario: Scenario,
    /// Numbers of the windows.
    pub windows: Vec<u32>,
    /// Turn rate of the set-up on this day, °/s: the windows weighted by their own uncertainties, the wander of each
    /// included, and never surer than their scatter allows.
    pub rate_deg_s: Estimate<f64>,
    /// 95 % interval for what it would do on another day, °/s. One day does not tell how far days differ, so a typical spread
    /// is added (engineering judgement, see [`SpreadPrior`]).
    pub another_day_deg_s: Interval<f64>,
}

/// Windows of a group, each with its rate in °/s.
type Numbered = Vec<(u32, Estimate<f64>)>;

/// What windows that are combined have in common: flight, set-up, scenario.
type Group<'a> = (usize, Option<&'a str>, Scenario);

/// Combines the accepted windows of a log, by flight, set-up and scenario, in that order; `flight_of` tells the flight of a
/// window, and one of no flight is left out.
pub fn combined_rates(
    windows: &[WindowMeasurement],
    flight_of: impl Fn(&Window) -> Option<usize>,
) -> Vec<CombinedRate> {
    let mut groups: BTreeMap<Group<'_>, Numbered> = BTreeMap::new();
    for measured in windows.iter().filter(|measured| measured.accepted()) {
        let of = &measured.window;
        let (Some(rate), Some(flight)) = (measured.steady_rate, flight_of(of)) else { continue };
        let setup = of.setup.as_deref().map(str::trim).filter(|name| !name.is_empty());
        let rate = Estimate::with_dof(rate.value.deg_s(), rate.std_u.deg_s(), rate.dof);
        groups.entry((flight, setup, of.scenario)).or_default().push((of.id, rate));
    }
    let of_group = |((flight, setup, scenario), of): (Group<'_>, Numbered)| {
        let (windows, rates): (Vec<u32>, Vec<Estimate<f64>>) = of.into_iter().unzip();
        // A rate that is no sound number combines with nothing.
        let rate_deg_s = same_day(&rates).ok()?;
        let typical = SpreadPrior::default();
        let spread = typical.absolute.hypot(typical.share * rate_deg_s.value);
        let another_day = Estimate { std_u: rate_deg_s.std_u.hypot(spread), ..rate_deg_s };
        Some(CombinedRate {
            flight,
            setup: setup.map(str::to_owned),
            scenario,
            windows,
            rate_deg_s,
            another_day_deg_s: another_day.interval(0.95),
        })
    };
    groups.into_iter().filter_map(of_group).collect()
}
