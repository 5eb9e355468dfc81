//! The transient after let-go: how long the turn rate takes to settle, and what is cut for it.

use crate::constants::{
    FASTEST_TRANSIENT_S, FEWEST_TRANSIENT_SAMPLES, SLOWEST_TRANSIENT_S, TRANSIENT_LOOK_S, TRANSIENT_PRICE,
    TRANSIENT_STEP_S, WIDEST_TRANSIENT_STEP_S,
};
use crate::series::TURN;
use crate::{HandsOffSpan, Limits, Signals};
use driftless_units::median;

/// Time constants tried, seconds.
const TRIED_S: std::ops::RangeInclusive<f64> = FASTEST_TRANSIENT_S.value..=SLOWEST_TRANSIENT_S.value;
/// Time constant of the turn rate after let-go, seconds: the median over the windows that show one clearly, else the
/// default of the limits.
pub(crate) fn time_constant_s(signals: &Signals, spans: &[HandsOffSpan], limits: &Limits) -> f64 {
    let shown = spans.iter().filter_map(|s| {
        let until_s = s.take_over_s.min(s.let_go_s + TRANSIENT_LOOK_S.value) - limits.take_over_margin_s;
        decay_constant_s(signals, s.let_go_s, until_s)
    });
    median(shown).unwrap_or(limits.default_time_constant_s)
}

/// Fits level + amplitude · exp(-t/τ) and gives τ where the decay stands clearly above a constant level.
///
/// For each τ the model is linear in the other two; the best τ of a fixed list is taken.
fn decay_constant_s(signals: &Signals, let_go_s: f64, until_s: f64) -> Option<f64> {
    let samples = signals.between(TURN, let_go_s, until_s);
    let step_s = signals.runs.first()?.step_s;
    if samples.len() < FEWEST_TRANSIENT_SAMPLES.count() || step_s > WIDEST_TRANSIENT_STEP_S.value {
        return None;
    }
    let count = samples.len() as f64;
    let mean = samples.iter().sum::<f64>() / count;
    let constant: f64 = samples.iter().map(|v| (v - mean).powi(2)).sum();
    let tried =
        (0..).map(|k| TRIED_S.start() + f64::from(k) * TRANSIENT_STEP_S.value).take_while(|t| TRIED_S.contains(t));
    let (tau_s, left) =
        tried.map(|tau_s| (tau_s, decay_residual(samples, step_s / tau_s))).min_by(|a, b| a.1.total_cmp(&b.1))?;
    // Likelihood ratio of the two extra parameters against Schwarz' price for them, so many times over.
    let gain = (constant - left) / signals.wander[TURN];
    let inside = tau_s > *TRIED_S.start() && tau_s + TRANSIENT_STEP_S.value <= *TRIED_S.end();
    (inside && gain > TRANSIENT_PRICE.value * 2.0 * count.ln()).then_some(tau_s)
}

/// Sum of squares left by the best level and amplitude for a decay of `rate` per sample.
fn decay_residual(samples: &[f64], rate: f64) -> f64 {
    let count = samples.len() as f64;
    let decay: Vec<f64> = (0..samples.len()).map(|k| (-rate * k as f64).exp()).collect();
    let (mean_v, mean_d) = (samples.iter().sum::<f64>() / count, decay.iter().sum::<f64>() / count);
    let mut sums = (0.0, 0.0, 0.0);
    for (v, d) in samples.iter().zip(&decay) {
        let (v, d) = (v - mean_v, d - mean_d);
        sums = (sums.0 + v * v, sums.1 + v * d, sums.2 + d * d);
    }
    sums.0 - sums.1 * sums.1 / sums.2
}

/// The steady span of a marked span: a number of time constants after let-go, a little before take-over; never
/// more than half of the span goes to both.
pub(crate) fn steady_span(let_go_s: f64, take_over_s: f64, time_constant_s: f64, limits: &Limits) -> (f64, f64) {
    let half_s = 0.5 * (take_over_s - let_go_s);
    let end_cut_s = limits.take_over_margin_s.min(0.1 * half_s);
    let start_cut_s = (limits.time_constants * time_constant_s).min(half_s - end_cut_s);
    (let_go_s + start_cut_s, take_over_s - end_cut_s)
}

#[cfg(test)]
mod tests;
