//! The analysis as charts and tables want it: broken at gaps, cut to windows, sorted into heights.

use super::ticks::decimal_step;
use chrono::Timelike;
use driftless_analysis::{FlightAnalysis, FlightEstimate, Node, Observability, TrackPoint, WindowMeasurement};
use driftless_display::DisplayUnits;
use driftless_units::{Wind, items_between, wrap_180_deg};

/// An analysis and the units to show it in.
#[derive(Clone, Copy)]
pub struct Scene<'a> {
    /// What was measured.
    pub analysis: &'a FlightAnalysis,
    /// Units of display.
    pub units: DisplayUnits,
}

/// The mean wind of a layer of air.
#[derive(Debug, Clone, Copy)]
pub struct HeightBin {
    /// Lower edge, m.
    pub low_m: f64,
    /// Upper edge, m.
    pub high_m: f64,
    /// Mean wind.
    pub wind: Wind,
    /// Standard uncertainty per axis, m/s: the mean of the nodes' own, because they err together.
    pub std_u_mps: f64,
    /// Time spent there, s.
    pub time_s: f64,
}

/// Times nearer than this are the same, s: an edge that was computed lies on its point.
const SAME_TIME_S: f64 = 1e-6;

impl<'a> Scene<'a> {
    /// The estimate, when the wind can be told from the flight.
    pub fn estimate(&self) -> Option<&'a FlightEstimate> {
        self.analysis.estimate.as_ref().filter(|e| e.observability == Observability::Observable && e.nodes.len() > 1)
    }

    /// Nodes from one time to another.
    pub fn nodes_between(&self, from_s: f64, to_s: f64) -> &'a [Node] {
        let nodes = self.estimate().map_or(&[][..], |e| e.nodes.as_slice());
        items_between(nodes, |n| n.t_s, from_s - SAME_TIME_S, to_s + SAME_TIME_S)
    }

    /// Points of the track from one time to another.
    pub fn points_between(&self, from_s: f64, to_s: f64) -> &'a [TrackPoint] {
        self.analysis.track.points_between(from_s - SAME_TIME_S, to_s + SAME_TIME_S)
    }

    /// Pairs made of each item, with a break (NaN) wherever a gap of the log lies between two of them or around one.
    pub fn broken<T>(&self, items: &[T], time: impl Fn(&T) -> f64, pair: impl Fn(&T) -> (f64, f64)) -> Vec<(f64, f64)> {
        let mut out = Vec::with_capacity(items.len());
        let mut gaps = self.analysis.track.gaps.iter().peekable();
        for item in items {
            let t_s = time(item);
            let mut crossed = false;
            while gaps.next_if(|g| g.end_s <= t_s + 1e-6).is_some() {
                crossed = true;
            }
            if crossed && !out.is_empty() {
                out.push((f64::NAN, f64::NAN));
            }
            // What the estimate says inside a gap rests on no data.
            if gaps.peek().is_some_and(|g| t_s > g.start_s + 1e-6) {
                continue;
            }
            out.push(pair(item));
        }
        out
    }

    /// Time of day of the epoch in the zone of display, seconds after midnight.
    pub fn midnight_s(&self) -> f64 {
        let epoch = self.units.zone.here(self.analysis.track.epoch);
        f64::from(epoch.num_seconds_from_midnight()) + f64::from(epoch.nanosecond().min(999_999_999)) * 1e-9
    }

    /// Lengths of the path over the ground and through the air, m.
    pub fn path_lengths_m(&self) -> (f64, Option<f64>) {
        let ground = self
            .analysis
            .track
            .points
            .windows(2)
            .map(|pair| match pair {
                [a, b] => (b.position.east_m - a.position.east_m).hypot(b.position.north_m - a.position.north_m),
                _ => 0.0,
            })
            .filter(|d| d.is_finite())
            .sum();
        let air = self.estimate().map(|e| {
            e.nodes
                .windows(2)
                .map(|pair| match pair {
                    [a, b] => (b.air_position.east_m - a.air_position.east_m)
                        .hypot(b.air_position.north_m - a.air_position.north_m),
                    _ => 0.0,
                })
                .filter(|d| d.is_finite())
                .sum()
        });
        (ground, air)
    }

    /// How far the air carried the aircraft while it flew: metres east and north.
    pub fn drift_m(&self) -> Option<(f64, f64)> {
        let nodes = &self.estimate()?.nodes;
        let (first, last) = (nodes.first()?, nodes.last()?);
        let points = self.points_between(first.t_s, last.t_s);
        let (from, to) = (points.first()?.position, points.last()?.position);
        let east = (to.east_m - from.east_m) - (last.air_position.east_m - first.air_position.east_m);
        let north = (to.north_m - from.north_m) - (last.air_position.north_m - first.air_position.north_m);
        (east.is_finite() && north.is_finite()).then_some((east, north))
    }

    /// Layers of air flown through, lowest first, with their mean wind. At most a dozen or so.
    pub fn height_bins(&self) -> Vec<HeightBin> {
        let Some(estimate) = self.estimate() else { return Vec::new() };
        let airborne = self.airborne();
        let nodes: Vec<(&Node, f64)> = estimate
            .nodes
            .iter()
            .filter(|n| n.t_s >= airborne.0 && n.t_s <= airborne.1)
            .filter(|n| n.wind.speed_mps().is_finite())
            .filter_map(|n| Some((n, n.altitude_m.filter(|m| m.is_finite())?)))
            .collect();
        let Some((low, high)) = super::ticks::extent(nodes.iter().map(|(_, altitude_m)| *altitude_m)) else {
            return Vec::new();
        };
        let per_m = self.units.height.per_m();
        let step_m = decimal_step(((high - low) * per_m / 9.0).max(10.0)) / per_m;
        let mut bins: Vec<(i64, Sums)> = Vec::new();
        for pair in nodes.windows(2) {
            let [(node, altitude_m), (next, _)] = pair else { continue };
            let layer = (altitude_m / step_m).floor() as i64;
            let index = bins.iter().position(|(l, _)| *l == layer).unwrap_or_else(|| {
                bins.push((layer, Sums::default()));
                bins.len() - 1
            });
            if let Some((_, sums)) = bins.get_mut(index) {
                sums.add(node, (next.t_s - node.t_s).clamp(0.0, 10.0));
            }
        }
        bins.sort_by_key(|(layer, _)| *layer);
        // A layer only touched says nothing about its wind.
        bins.into_iter()
            .filter(|(_, sums)| sums.time_s >= 5.0)
            .map(|(layer, sums)| HeightBin {
                low_m: layer as f64 * step_m,
                high_m: (layer + 1) as f64 * step_m,
                wind: Wind::new(sums.east / sums.time_s, sums.north / sums.time_s),
                std_u_mps: sums.std_u / sums.time_s,
                time_s: sums.time_s,
            })
            .collect()
    }

    /// Mean wind over the flight, from the estimate.
    pub fn mean_wind(&self) -> Option<(Wind, f64)> {
        let bins = self.height_bins();
        let time: f64 = bins.iter().map(|b| b.time_s).sum();
        (time > 0.0).then(|| {
            let mean = |value: &dyn Fn(&HeightBin) -> f64| bins.iter().map(|b| value(b) * b.time_s).sum::<f64>() / time;
            (Wind::new(mean(&|b| b.wind.east_mps), mean(&|b| b.wind.north_mps)), mean(&|b| b.std_u_mps))
        })
    }

    /// From take-off to landing, as far as the log holds them; seconds.
    pub fn airborne(&self) -> (f64, f64) {
        let track = &self.analysis.track;
        (track.takeoff_s.unwrap_or(f64::NEG_INFINITY), track.landing_s.unwrap_or(f64::INFINITY))
    }
}

/// Sums over the nodes of a layer, weighted by time.
#[derive(Default)]
struct Sums {
    east: f64,
    north: f64,
    std_u: f64,
    time_s: f64,
}

impl Sums {
    fn add(&mut self, node: &Node, dt_s: f64) {
        let [east, _, north] = node.wind_cov;
        let std_u = (0.5 * (east + north)).max(0.0).sqrt();
        self.east += dt_s * node.wind.east_mps;
        self.north += dt_s * node.wind.north_mps;
        self.std_u += dt_s * if std_u.is_finite() { std_u } else { 0.0 };
        self.time_s += dt_s;
    }
}

/// Courses in degrees, made continuous: each stays within half a turn of the one before; the first is moved by whole
/// turns next to `near_deg`.
pub(super) fn unwrap_deg(bearings: impl IntoIterator<Item = f64>, near_deg: f64) -> Vec<f64> {
    let mut last = near_deg;
    bearings
        .into_iter()
        .map(|deg| {
            if !deg.is_finite() {
                return f64::NAN;
            }
            last += wrap_180_deg(deg - last);
            last
        })
        .collect()
}

/// "Window 2, trim level" for headlines.
pub(super) fn window_name(measured: &WindowMeasurement) -> String {
    format!("Window {}, {}", measured.window.id, driftless_display::window_scenario_words(&measured.window))
}
