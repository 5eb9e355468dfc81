//! Attitude on an even grid.

use crate::constants::{STEEP_COS, STEEP_LOOK_S};
use nalgebra::{UnitQuaternion, Vector3};

/// Attitude of the pilot on an even time grid.
#[derive(Debug, Clone, PartialEq)]
pub struct AttitudePath {
    /// Time of the first grid point, seconds on the log's clock.
    pub start_s: f64,
    /// Grid step, seconds.
    pub step_s: f64,
    /// Heading, rad, unwrapped, from an unknown zero; within one unbroken run only differences mean something.
    pub heading_rad: Vec<f64>,
    /// Pilot's axes (forward, right, down) to level axes whose north is the unknown zero of the heading.
    pub attitude: Vec<UnitQuaternion<f64>>,
    /// Number of the unbroken run that each grid point is in; 0 is in none (a gap).
    pub run: Vec<u32>,
    /// Running sum of the heading, for means over any span.
    sums: Vec<f64>,
}

impl AttitudePath {
    pub(crate) fn new(
        start_s: f64,
        step_s: f64,
        heading_rad: Vec<f64>,
        attitude: Vec<UnitQuaternion<f64>>,
        run: Vec<u32>,
    ) -> Self {
        let mut sum = 0.0;
        let sums = std::iter::once(0.0)
            .chain(heading_rad.iter().map(|h| {
                sum += h;
                sum
            }))
            .collect();
        Self { start_s, step_s, heading_rad, attitude, run, sums }
    }

    /// Time of a grid point.
    pub fn t_s(&self, i: usize) -> f64 {
        self.start_s + i as f64 * self.step_s
    }

    /// Number of grid points.
    pub fn len(&self) -> usize {
        self.heading_rad.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.heading_rad.is_empty()
    }

    /// The unbroken run at a time; `None` in gaps and outside.
    pub fn run_at(&self, t_s: f64) -> Option<u32> {
        let at = ((t_s - self.start_s) / self.step_s).round();
        let run = (at >= 0.0).then(|| self.run.get(at as usize)).flatten()?;
        (*run > 0).then_some(*run)
    }

    /// Attitude at the grid point nearest to a time.
    pub fn attitude_at(&self, t_s: f64) -> Option<UnitQuaternion<f64>> {
        self.run_at(t_s)?;
        self.attitude.get(((t_s - self.start_s) / self.step_s).round() as usize).copied()
    }

    /// Cosine of the tilt: 1 upright, 0 lying, -1 upside down.
    pub fn upright_at(&self, t_s: f64) -> Option<f64> {
        self.attitude_at(t_s).map(|attitude| (attitude * Vector3::z()).z)
    }

    /// Whether the pilot is far from upright within a span of the log's clock: there, heading is no direction of flight
    /// (aerobatics).
    pub fn is_steep(&self, [from_s, to_s]: [f64; 2]) -> bool {
        let steps = ((to_s - from_s) / STEEP_LOOK_S.value) as usize;
        (0..=steps)
            .any(|k| self.upright_at(from_s + STEEP_LOOK_S.value * k as f64).is_some_and(|cos| cos < STEEP_COS.value))
    }

    /// Mean heading over a span `width_s` about a time: a box filter. `None` where the span is not within one run.
    pub fn mean_heading(&self, t_s: f64, width_s: f64) -> Option<f64> {
        let half = 0.5 * width_s.max(self.step_s) / self.step_s;
        let middle = (t_s - self.start_s) / self.step_s + 0.5;
        let (low, high) = (middle - half, middle + half);
        if low < 0.0 || high > self.len() as f64 {
            return None;
        }
        let (first, last) = (low as usize, (high.ceil() as usize).min(self.len()) - 1);
        let run = *self.run.get(first)?;
        if run == 0 || self.run.get(last) != Some(&run) {
            return None;
        }
        Some((self.sum_to(high) - self.sum_to(low)) / (high - low))
    }

    /// Heading about a time without the swing: with B the mean over one period, 2B - B², which has B's zeros at the swing
    /// and its multiples and passes slow motion to the fourth order. The plain mean where a gap is near.
    pub fn smooth_heading(&self, t_s: f64, period_s: f64) -> Option<f64> {
        const PARTS: u32 = 8;
        let once = self.mean_heading(t_s, period_s)?;
        let twice: Option<f64> = (0..PARTS)
            .map(|k| self.mean_heading(t_s + ((f64::from(k) + 0.5) / f64::from(PARTS) - 0.5) * period_s, period_s))
            .sum();
        Some(twice.map_or(once, |sum| 2.0 * once - sum / f64::from(PARTS)))
    }

    /// Integral of the heading, in grid steps, up to a fractional place.
    fn sum_to(&self, place: f64) -> f64 {
        let whole = (place.floor() as usize).min(self.len());
        let rest = place - whole as f64;
        self.sums[whole] + self.heading_rad.get(whole).map_or(0.0, |h| rest * h)
    }
}
