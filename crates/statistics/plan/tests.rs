use super::*;
use crate::shared_spread::{CellOfRuns, RunOfCell, SharedSpread, SpreadPrior, share_spread};
use crate::testing::Draws;
use driftless_units::Estimate;

fn cell(values: &[f64], std_u: f64) -> CellOfRuns {
    let run = |value: &f64| RunOfCell { rate: Estimate::new(*value, std_u), by_hand: false };
    CellOfRuns { group: 0, runs: values.iter().map(run).collect() }
}

fn shared(device: &[f64], baseline: &[f64]) -> SharedSpread {
    share_spread(&[cell(device, 0.1), cell(baseline, 0.1)], &[], &SpreadPrior::default()).unwrap()
}

fn known(spread: f64, device: f64, baseline: f64) -> PairMixture {
    let prior = SpreadPrior { absolute: spread, share: 0.0, ..SpreadPrior::default() };
    share_spread(&[cell(&[device], 0.1), cell(&[baseline], 0.1)], &[], &prior).unwrap().pair(0, 1)
}

#[test]
fn the_plan_is_the_smallest_that_meets_the_wish() {
    let pair = shared(&[1.3, 1.7], &[5.2, 4.7]).pair(0, 1);
    let plan = plan_compensation(&pair, 0.1, 0.1, 4.0).unwrap();
    assert!(plan.within_reach && plan.expected_half_width.unwrap() <= 4.0);
    assert!(plan.half_width_so_far.is_some_and(|half| half > 4.0));
    let added = plan.more_with_device + plan.more_of_baseline;
    let with = |runs| Added { runs, std_u: 0.1 };
    for to_device in 0..added {
        let half = expected_half_width(&pair, with(to_device), with(added - 1 - to_device));
        assert!(half.is_none_or(|half| half > 4.0), "one run fewer would have done: {to_device} of {added}");
    }
}

/// For many runs the best ratio of runs is that of the standard deviations of both parts of the contrast, residual to ratio
/// times baseline (Neyman 1934); the spreads are alike here, so it is the ratio of the turns.
#[test]
fn derived_optimal_allocation() {
    let plan = plan_compensation(&known(0.3, 2.5, 5.0), 0.05, 0.05, 1.5).unwrap();
    let ratio = (plan.more_with_device as f64 + 1.0) / (plan.more_of_baseline as f64 + 1.0);
    assert!((ratio - 2.0).abs() < 0.25, "{plan:?}");
}

/// The spread known: Fieller's interval with variances (τ² + s²)/n in closed form, by hand.
#[test]
fn derived_half_width_is_that_of_the_interval() {
    let with = |runs| Added { runs, std_u: 0.1 };
    let half = expected_half_width(&known(0.3, 1.5, 5.0), with(19), with(19)).unwrap();
    // Each mean of twenty runs: √((0.09 + 0.01)/20) = 0.0707; θ = 0.3, g = (1.96 · 0.0707/5)² = 0.000768;
    // 100 (1.96/5) √(0.005 + 0.09 · 0.005 - g · 0.005)/(1 - g) = 2.8953.
    assert!((half - 2.8953).abs() < 2e-3, "{half}");
}

#[test]
fn a_wish_met_already_or_out_of_reach_is_said() {
    let met = plan_compensation(&shared(&[1.5, 1.6, 1.4], &[5.0, 5.1, 4.9]).pair(0, 1), 0.1, 0.1, 20.0).unwrap();
    assert_eq!((met.more_with_device, met.more_of_baseline, met.within_reach), (0, 0, true));
    assert_eq!(met.expected_half_width, met.half_width_so_far);
    let never = plan_compensation(&known(0.3, 0.1, 0.05), 0.1, 0.1, 5.0).unwrap();
    assert!(!never.within_reach, "power off: the baseline does not turn");
    assert!(plan_compensation(&known(0.3, 1.0, 2.0), 0.0, 0.1, 5.0).is_err());
}

#[test]
fn a_stopwatch_needs_more_runs_than_a_log() {
    let unflown = shared(&[1.4, 1.6], &[5.0, 5.2]).pair(0, 1).unflown();
    let total = |std_u: f64| {
        let plan = plan_compensation(&unflown, std_u, std_u, 5.0).unwrap();
        assert!(plan.within_reach && plan.half_width_so_far.is_none(), "{plan:?}");
        plan.more_with_device + plan.more_of_baseline
    };
    assert!(total(0.4) > total(0.06), "{} {}", total(0.4), total(0.06));
}

/// What the plan promises is what simulated campaigns of that size get in the median, where the spread is typical: 15 %.
#[test]
fn simulated_campaigns_reach_the_planned_half_width() {
    let mut draws = Draws::new(61);
    let mut fly = |turn: f64, runs: usize| -> Vec<f64> {
        let sd = 0.10_f64.hypot(0.04 * turn).hypot(0.1);
        (0..runs).map(|_| draws.normal(turn, sd)).collect()
    };
    let mut shares: Vec<f64> = (0..200)
        .map(|_| {
            let (mut device, mut baseline) = (fly(1.5, 2), fly(5.0, 2));
            let plan = plan_compensation(&shared(&device, &baseline).pair(0, 1), 0.1, 0.1, 5.0).unwrap();
            device.extend(fly(1.5, plan.more_with_device));
            baseline.extend(fly(5.0, plan.more_of_baseline));
            let reached = shared(&device, &baseline).pair(0, 1).compensation().half_width().unwrap();
            reached / plan.expected_half_width.unwrap()
        })
        .collect();
    shares.sort_by(f64::total_cmp);
    assert!((shares[100] - 1.0).abs() < 0.15, "{}", shares[100]);
}
