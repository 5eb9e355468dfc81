//! Repeats inside a flight: the windows of one set-up in one scenario as one figure.

use crate::{Finding, HandsOff, PowerKnown, PowerSource, Scenario, Window, WindowMeasurement};
use driftless_statistics::same_day::same_day;
use driftless_statistics::shared_spread::SpreadPrior;
use driftless_units::{Estimate, Interval, TurnRate, median};
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
    /// What the power is known from: the weakest source of all windows; `None` where nobody named or recorded the power, so that the
    /// scenario rests on climb and airspeed alone.
    pub power_source: Option<PowerSource>,
    /// Numbers of the windows.
    pub windows: Vec<u32>,
    /// Turn rate of the set-up on this day, °/s: random effects, the wander of each window included.
    pub rate_deg_s: Estimate<f64>,
    /// 95 % interval for what it would do on another day, °/s. One day does not tell how far days differ, so a typical spread
    /// is added (engineering judgement, see [`SpreadPrior`]).
    pub another_day_deg_s: Interval<f64>,
    /// 95 % interval for what a single window would show on another day, °/s: its own wander comes on top.
    pub window_another_day_deg_s: Interval<f64>,
    /// What the course over the ground says in the window where it is farthest from `rate_deg_s`, °/s: how wrong the track alone
    /// would have been at the worst.
    pub worst_course_deg_s: Option<f64>,
}

impl CombinedRate {
    /// How far the power that the scenario claims is known.
    pub fn power(&self) -> PowerKnown {
        PowerKnown::by(self.power_source, self.scenario)
    }
}

/// By how much days are taken to differ where one day does not tell: °/s, and as a share of the turn.
pub fn typical_days() -> (f64, f64) {
    let typical = SpreadPrior::default();
    (typical.absolute, typical.share)
}

/// One window of a group: its number, what its power is known from, its rate and that of its course, °/s.
struct Repeat {
    window: u32,
    power_source: Option<PowerSource>,
    rate: Estimate<f64>,
    course_deg_s: Option<f64>,
}

/// What windows that are combined have in common: flight, set-up, scenario, how far its power is known.
type Group<'a> = (usize, Option<&'a str>, Scenario, PowerKnown);

/// Combines the accepted windows of a log, by flight, set-up and scenario, in that order; `flight_of` tells the flight of a
/// window, and one of no flight is left out.
pub fn combined_rates(
    windows: &[WindowMeasurement],
    flight_of: impl Fn(&Window) -> Option<usize>,
) -> Vec<CombinedRate> {
    let mut groups: BTreeMap<Group<'_>, Vec<Repeat>> = BTreeMap::new();
    let sound = |measured: &&WindowMeasurement| {
        measured.accepted() && !doubtful_near_ground(measured) && !airspeed_open(measured)
    };
    for measured in windows.iter().filter(sound) {
        let of = &measured.window;
        let (Some(rate), Some(flight)) = (measured.steady_rate, flight_of(of)) else { continue };
        let setup = of.setup.as_deref().map(str::trim).filter(|name| !name.is_empty());
        let rate = Estimate::with_dof(rate.value.deg_s(), rate.std_u.deg_s(), rate.dof);
        groups.entry((flight, setup, of.scenario, PowerKnown::of(of))).or_default().push(Repeat {
            window: of.id,
            power_source: PowerSource::of(of),
            rate,
            course_deg_s: measured.course_rate.map(TurnRate::deg_s),
        });
    }
    groups.into_iter().filter_map(|(group, of)| combined(group, &of)).collect()
}

/// A candidate near the ground: taking off, landing, or a pilot who would not let go there. Nobody vouched for it, so that it
/// stands among the windows and makes no figure of a set-up.
pub(crate) fn doubtful_near_ground(measured: &WindowMeasurement) -> bool {
    measured.window.hands_off == HandsOff::Candidate && measured.verdict.findings.iter().any(Finding::near_ground)
}

/// A window whose rate holds for each of several airspeeds. All of a flight err by the same share, so that no number of them makes
/// a figure of a set-up any surer.
pub(crate) fn airspeed_open(measured: &WindowMeasurement) -> bool {
    measured.verdict.findings.iter().any(|finding| matches!(finding, Finding::AirspeedOpen { .. }))
}

/// One figure of a group. A rate that is no sound number combines with nothing.
fn combined((flight, setup, scenario, _): Group<'_>, of: &[Repeat]) -> Option<CombinedRate> {
    let rates: Vec<Estimate<f64>> = of.iter().map(|repeat| repeat.rate).collect();
    let day = same_day(&rates).ok()?;
    let rate_deg_s = day.rate;
    let (absolute, share) = typical_days();
    let between_days = absolute.hypot(share * rate_deg_s.value);
    let another_day = Estimate { std_u: rate_deg_s.std_u.hypot(between_days), ..rate_deg_s };
    let of_one_window = median(rates.iter().map(|rate| rate.std_u))?.hypot(day.between_windows);
    let window = Estimate { std_u: another_day.std_u.hypot(of_one_window), ..another_day };
    let off = |course: &f64| (course - rate_deg_s.value).abs();
    Some(CombinedRate {
        flight,
        setup: setup.map(str::to_owned),
        scenario,
        power_source: of.iter().map(|repeat| repeat.power_source).min().flatten(),
        windows: of.iter().map(|repeat| repeat.window).collect(),
        rate_deg_s,
        another_day_deg_s: another_day.interval(0.95),
        window_another_day_deg_s: window.interval(0.95),
        worst_course_deg_s: of
            .iter()
            .filter_map(|repeat| repeat.course_deg_s)
            .filter(|course| course.is_finite())
            .max_by(|a, b| off(a).total_cmp(&off(b))),
    })
}
