use super::*;
use crate::Origin;
use crate::testing::{signals, wiggle};
use proptest::prelude::*;

fn span(let_go_s: f64, take_over_s: f64) -> HandsOffSpan {
    HandsOffSpan { let_go_s, take_over_s, origin: Origin::Marked, scenario: None, setup: None, note: None }
}

#[test]
fn derived_a_clear_decay_gives_its_time_constant() {
    for tau_s in [1.5, 2.5, 4.0] {
        let signals = signals(300, |t_s| {
            let decay = if t_s < 100.0 { 1.0 } else { (-(t_s - 100.0) / tau_s).exp() };
            [5.0 - 8.0 * decay + 0.1 * wiggle(t_s), 10.5, 0.0]
        });
        let found_s = time_constant_s(&signals, &[span(100.0, 160.0)], &Limits::default());
        // Half a second is two steps of the list tried; the wiggle moves the best one that far.
        assert!((found_s - tau_s).abs() <= 0.5, "{found_s} for {tau_s}");
    }
}

#[test]
fn without_a_clear_decay_the_default_holds() {
    let limits = Limits::default();
    let flat = signals(300, |t_s| [3.0 + 0.3 * wiggle(t_s), 10.5, 0.0]);
    assert_eq!(time_constant_s(&flat, &[span(100.0, 160.0)], &limits), limits.default_time_constant_s);
    assert_eq!(time_constant_s(&flat, &[], &limits), limits.default_time_constant_s);
}

#[test]
fn derived_three_time_constants_and_a_margin_are_cut() {
    assert_eq!(steady_span(100.0, 160.0, 2.5, &Limits::default()), (107.5, 159.0));
}

proptest! {
    #[test]
    fn never_more_than_half_of_a_span_is_cut(start_s in 0.0..1e4f64, length_s in 0.5..200.0f64, tau_s in 0.5..8.0f64) {
        let (from_s, to_s) = steady_span(start_s, start_s + length_s, tau_s, &Limits::default());
        prop_assert!(from_s >= start_s && to_s <= start_s + length_s);
        prop_assert!(to_s - from_s >= 0.5 * length_s - 1e-9);
    }
}
