//! Measuring one window, and judging what came out.

use crate::constants::{NORMAL_95, WIDEST_NODE_STEP_S};
use crate::course::course_rate;
use crate::{CircleOpinion, Evidence, HandsOff, Limits, Signals, WindUnknown, Window, WindowRate, judge};
use driftless_track::{Track, TrackPoint};
use driftless_units::{Angle, Estimate, Neighbours, TurnRate, Wind, air_radius_m, bank_rad, load_factor};
use driftless_wind::flight::{FlightEstimate, Node, Observability, SteadySpan};

/// What all windows of a flight are measured and judged by.
#[derive(Debug, Clone, Copy)]
pub struct Basis<'a> {
    /// The cleaned track.
    pub track: &'a Track,
    /// The estimate to measure on, where there is one.
    pub estimate: Option<&'a FlightEstimate>,
    /// Signals of the estimate that knows of no windows.
    pub free: &'a Signals,
    /// Signals of the estimate to measure on.
    pub with_windows: &'a Signals,
    /// Why the wind is not known, when it is not.
    pub wind_unknown: Option<&'a WindUnknown>,
    /// Limits.
    pub limits: &'a Limits,
}

/// Measures a window between `window.start_s` and `window.end_s`, and judges it by what came out.
///
/// With no estimate, or with one that cannot tell the wind, only what the track alone shows is filled in. The turn
/// rates come from the span the estimate was made with; a window that was no span of it (it was not steady) still
/// gets the change between the headings at its two ends, but no steady rate.
pub fn measure(window: Window, circle: Option<CircleOpinion>, basis: &Basis<'_>) -> WindowRate {
    let Basis { track, free, with_windows, wind_unknown, limits, .. } = *basis;
    let points = track.points_between(window.start_s, window.end_s);
    let estimate = basis.estimate.filter(|e| e.observability == Observability::Observable);
    let nodes = estimate.map(|e| e.nodes_in(window.start_s, window.end_s)).unwrap_or_default();
    let rivals = basis.estimate.filter(|e| e.observability != Observability::Observable && !e.rivals.is_empty());
    let turn = estimate.and_then(|e| Turn::of(e, &window)).or_else(|| Turn::of_span(rivals?, &window));
    let airspeeds_mps = rivals.filter(|_| turn.is_some()).and_then(|e| e.rival_airspeeds_mps());
    let airspeed_mps = mean_airspeed(nodes);
    let wind = mean_wind(nodes);
    let wind_std_u_mps = (!nodes.is_empty()).then(|| mean(nodes.iter().map(Node::wind_std_u_mps)));
    let height_above_takeoff_m = track
        .takeoff_altitude_m
        .and_then(|ground_m| points.iter().filter_map(|p| Some(p.altitude_m.get()? - ground_m)).min_by(f64::total_cmp));
    let rate = turn.as_ref().map(|t| t.turn_rate);
    let bank = rate.zip(airspeed_mps).map(|(rate, v)| Angle::from_rad(bank_rad(v.value, rate.value)));
    let evidence = Evidence {
        track,
        free,
        with_windows,
        turn_rate: rate,
        wind_std_u_mps,
        wind_unknown,
        airspeeds_mps,
        wind_changes_s: estimate.map_or(&[], |e| &e.wind_changes_s),
        height_above_takeoff_m,
    };
    let verdict = judge(&window, &evidence, limits);
    // What solutions that disagree say together is no rate to print beside a refusal.
    let turn = turn.filter(|_| rivals.is_none() || verdict.accepted());
    let rate = turn.as_ref().map(|t| t.turn_rate);
    WindowRate {
        turn_rate: rate,
        steady_rate: turn.as_ref().and_then(|t| t.steady_rate),
        heading_change: turn.as_ref().map(|t| t.heading_change),
        second_opinion: circle.filter(|_| rivals.is_none()).zip(rate).map(|(circle, main)| circle.beside(main)),
        course_rate: course_rate(track, window.start_s, window.end_s),
        airspeed_mps,
        ground_speed_mps: mean(points.iter().map(|p| p.velocity.speed_mps())),
        climb_mps: mean_climb(points),
        bank,
        air_radius_m: rate
            .zip(airspeed_mps)
            .filter(|(r, _)| clearly_turns(r))
            .map(|(r, v)| air_radius_m(v.value, r.value)),
        load_factor: bank.map(|b| load_factor(b.rad())),
        altitude_m: mean_altitude_m(points),
        height_above_takeoff_m,
        wind,
        wind_std_u_mps,
        verdict,
        window,
    }
}

/// The turn rate of a window by an estimate, as [`measure`] would give it.
pub fn turn_rate(estimate: &FlightEstimate, window: &Window) -> Option<Estimate<TurnRate>> {
    let known = Some(estimate).filter(|e| e.observability == Observability::Observable);
    known.and_then(|e| Turn::of(e, window)).map(|turn| turn.turn_rate)
}

/// The span of a window, as estimates are told of it.
fn span_of(window: &Window) -> SteadySpan {
    SteadySpan { start_s: window.start_s, end_s: window.end_s, marked: window.hands_off == HandsOff::Confirmed }
}

/// The turn of a window, however obtained.
struct Turn {
    heading_change: Estimate<Angle>,
    turn_rate: Estimate<TurnRate>,
    steady_rate: Option<Estimate<TurnRate>>,
}

impl Turn {
    /// Of a span that the estimate was made with.
    fn of_span(estimate: &FlightEstimate, window: &Window) -> Option<Self> {
        let turn = estimate.window_turn(span_of(window))?;
        Some(Self {
            heading_change: turn.heading_change,
            turn_rate: turn.turn_rate,
            steady_rate: Some(turn.steady_rate),
        })
    }

    fn of(estimate: &FlightEstimate, window: &Window) -> Option<Self> {
        if let Some(known) = Self::of_span(estimate, window) {
            return Some(known);
        }
        let length_s = window.end_s - window.start_s;
        let (from, to) = (heading_at(estimate, window.start_s)?, heading_at(estimate, window.end_s)?);
        let change = to.value - from.value;
        // As if the two headings erred independently. They share the error of the wind, so this is on the wide side
        // for small turns.
        let std_u = from.std_u.rad().hypot(to.std_u.rad());
        (length_s > 0.0).then(|| Self {
            heading_change: Estimate::new(change, Angle::from_rad(std_u)),
            turn_rate: Estimate::new(
                TurnRate::from_rad_s(change.rad() / length_s),
                TurnRate::from_rad_s(std_u / length_s),
            ),
            steady_rate: None,
        })
    }
}

/// The heading at a time between two nodes.
fn heading_at(estimate: &FlightEstimate, t_s: f64) -> Option<Estimate<Angle>> {
    let first = estimate.nodes.first()?;
    if t_s <= first.t_s {
        return (first.t_s - t_s < 1.0).then_some(first.heading);
    }
    let near = Neighbours::of(&estimate.nodes, |n| n.t_s, t_s)?;
    let between = |part: fn(&Estimate<Angle>) -> Angle| Angle::from_rad(near.straight(|n| part(&n.heading).rad()));
    (near.step_s <= WIDEST_NODE_STEP_S.value).then(|| Estimate::new(between(|h| h.value), between(|h| h.std_u)))
}

fn clearly_turns(rate: &Estimate<TurnRate>) -> bool {
    rate.value.rad_s().abs() > NORMAL_95.value * rate.std_u.rad_s()
}

/// Mean airspeed. Its uncertainty is that of one node: neighbouring nodes err together, so averaging gains nothing
/// that could be relied on.
fn mean_airspeed(nodes: &[Node]) -> Option<Estimate<f64>> {
    (!nodes.is_empty()).then(|| {
        Estimate::new(
            mean(nodes.iter().map(|n| n.airspeed_mps.value)),
            mean(nodes.iter().map(|n| n.airspeed_mps.std_u)),
        )
    })
}

fn mean_wind(nodes: &[Node]) -> Option<Wind> {
    (!nodes.is_empty())
        .then(|| Wind::new(mean(nodes.iter().map(|n| n.wind.east_mps)), mean(nodes.iter().map(|n| n.wind.north_mps))))
}

/// Mean climb: the slope of the altitude over the window, by least squares; `None` where the log has none.
fn mean_climb(points: &[TrackPoint]) -> Option<f64> {
    let known = || points.iter().filter_map(|p| Some((p.t_s, p.altitude_m.get()?)));
    let (mean_t, mean_h) = (mean(known().map(|(t_s, _)| t_s)), mean(known().map(|(_, altitude_m)| altitude_m)));
    let (covariance, variance) = known().fold((0.0, 0.0), |sum, (t_s, altitude_m)| {
        let t = t_s - mean_t;
        (sum.0 + t * (altitude_m - mean_h), sum.1 + t * t)
    });
    (variance > 0.0).then(|| covariance / variance)
}

/// Mean altitude of some points, where the log has one.
fn mean_altitude_m(points: &[TrackPoint]) -> Option<f64> {
    let known = || points.iter().filter_map(|p| p.altitude_m.get());
    known().next().map(|_| mean(known()))
}

/// Mean; 0 of nothing.
fn mean(values: impl Iterator<Item = f64>) -> f64 {
    let (sum, count) = values.fold((0.0, 0.0), |(sum, count), v| (sum + v, count + 1.0));
    if count > 0.0 { sum / count } else { 0.0 }
}
