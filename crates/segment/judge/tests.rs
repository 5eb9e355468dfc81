use super::*;
use crate::testing::{nodes, signals, span, track, wiggle, window};
use crate::{HandsOff, Measured, looks_steady};
use driftless_wind::flight::UnclearWind;

fn steady(t_s: f64) -> [f64; 3] {
    [3.0 + 0.3 * wiggle(t_s), 10.5, 0.1]
}

fn good_rate() -> Option<Estimate<TurnRate>> {
    Some(Estimate::new(TurnRate::from_deg_s(3.0), TurnRate::from_deg_s(0.05)))
}

/// The verdict on a window of a flight that is `state` over time, on a track, with evidence changed by `change`.
fn verdict(
    window: &Window,
    track: &Track,
    state: impl Fn(f64) -> [f64; 3],
    change: impl Fn(&mut Evidence<'_>),
) -> Verdict {
    let signals = Signals::new(track, &nodes(300, state));
    let mut evidence = Evidence {
        track,
        free: &signals,
        with_windows: &signals,
        turn_rate: good_rate(),
        wind_std_u_mps: Some(0.2),
        wind_unknown: None,
        airspeeds_mps: None,
        wind_changes_s: &[],
        height_above_takeoff_m: Some(300.0),
    };
    change(&mut evidence);
    judge(window, &evidence, &Limits::default())
}

/// The only finding, which refuses the window.
fn refused_for(judged: &Verdict, code: &str) -> Measured {
    assert!(!judged.accepted(), "{:?}", judged.findings);
    let [finding] = judged.findings.as_slice() else { panic!("{:?}", judged.findings) };
    assert!(finding.refuses(), "{finding:?}");
    assert_eq!(finding.code(), code, "{finding:?}");
    finding.measured()
}

/// The figure of a finding, to within `tolerance`, and its limit to the bit.
fn assert_measured(measured: Measured, value: f64, tolerance: f64, limit: f64, unit: &str) {
    assert!(measured.value.is_some_and(|v| (v - value).abs() <= tolerance), "{measured:?}, expected {value}");
    assert_eq!((measured.limit, measured.unit), (Some(limit), Some(unit)));
}

#[test]
fn a_good_window_is_accepted_without_a_finding() {
    let judged = verdict(&window(100.0, 150.0), &track(300), steady, |_| {});
    assert!(judged.accepted());
    assert!(judged.findings.is_empty(), "{:?}", judged.findings);
    assert!(looks_steady(
        &span(100.0, 150.0),
        &track(300),
        &signals(300, steady),
        &signals(300, steady),
        &Limits::default()
    ));
}

#[test]
fn derived_a_short_window_is_refused_with_its_length() {
    let judged = verdict(&window(100.0, 114.0), &track(300), steady, |_| {});
    assert_measured(refused_for(&judged, "too-short"), 14.0, 1e-9, 20.0, "s");
}

#[test]
fn regression_a_window_that_does_not_move_is_refused_as_on_the_ground() {
    let mut standing = track(300);
    for p in &mut standing.points {
        // A receiver that lies still, wandering by 3 m.
        (p.position.east_m, p.position.north_m) = (3.0 * wiggle(0.1 * p.t_s), 3.0 * wiggle(0.1 * p.t_s + 9.0));
    }
    let judged = verdict(&window(100.0, 150.0), &standing, steady, |_| {});
    // 50 s at the least speed over the ground, 0.5 m/s; nothing lies farther than twice 3 √2 m from the first fix.
    assert_measured(refused_for(&judged, "stays-put"), 4.5, 4.5, 25.0, "m");
    assert!(!looks_steady(
        &span(100.0, 150.0),
        &standing,
        &signals(300, steady),
        &signals(300, steady),
        &Limits::default()
    ));
    // Climbing on the spot, in a wind as fast as the wing, is flight.
    let climbing = |t_s: f64| [steady(t_s)[0], 10.5, 1.5];
    assert!(verdict(&window(100.0, 150.0), &standing, climbing, |_| {}).accepted());
}

#[test]
fn derived_a_gap_is_refused_with_its_length() {
    let mut torn = track(300);
    torn.points.retain(|p| p.t_s < 120.0 || p.t_s > 131.0);
    let judged = verdict(&window(100.0, 150.0), &torn, steady, |_| {});
    assert_measured(refused_for(&judged, "gap-in-log"), 13.0, 1e-9, 5.0, "s");
    assert!(!looks_steady(
        &span(100.0, 150.0),
        &torn,
        &signals(300, steady),
        &signals(300, steady),
        &Limits::default()
    ));
}

#[test]
fn a_window_over_the_ground_is_refused() {
    let flown = Track { takeoff_s: Some(110.0), landing_s: Some(240.0), ..track(300) };
    let early = refused_for(&verdict(&window(100.0, 150.0), &flown, steady, |_| {}), "before-take-off");
    let late = refused_for(&verdict(&window(200.0, 250.0), &flown, steady, |_| {}), "after-landing");
    assert_eq!([early.value, late.value], [Some(10.0); 2]);
}

#[test]
fn derived_a_changing_turn_rate_is_refused_with_the_change() {
    let winding_up = |t_s: f64| [3.0 + 0.06 * (t_s - 125.0) + 0.3 * wiggle(t_s), 10.5, 0.1];
    let judged = verdict(&window(100.0, 150.0), &track(300), winding_up, |_| {});
    // 0.06 °/s² over 50 s; the wiggle of ±0.3 °/s moves the trend by less than a tenth.
    assert_measured(refused_for(&judged, "turn-rate-changing"), 3.0, 0.1, 1.5, "°/s");
}

#[test]
fn derived_an_unsteady_airspeed_or_climb_is_refused_with_the_figure() {
    let faster = |t_s: f64| [3.0, 10.5 + 0.05 * (t_s - 100.0), 0.1];
    let changed = refused_for(&verdict(&window(100.0, 150.0), &track(300), faster, |_| {}), "airspeed-changing");
    assert_measured(changed, 2.5, 0.05, 1.5, "m/s");
    let climbing = |t_s: f64| [3.0, 10.5, 0.04 * (t_s - 100.0)];
    let changed = refused_for(&verdict(&window(100.0, 150.0), &track(300), climbing, |_| {}), "climb-changing");
    assert_measured(changed, 2.0, 0.05, 1.2, "m/s");
    let porpoising = |t_s: f64| [3.0, 10.5, 2.0 * (0.8 * t_s).sin()];
    // The standard deviation of a sine of amplitude 2 is √2.
    let scattered = refused_for(&verdict(&window(100.0, 150.0), &track(300), porpoising, |_| {}), "climb-scatters");
    assert_measured(scattered, 2f64.sqrt(), 0.05, 1.0, "m/s");
}

#[test]
fn a_drift_that_may_be_chance_is_not_held_against_a_window() {
    // The estimate knows airspeed to 0.1 m/s only at each end, and a change of 1.6 m/s over a wild scatter may be none.
    let gusty = |t_s: f64| [3.0, 10.5 + 0.032 * (t_s - 125.0) + 1.1 * (0.2 * t_s).cos(), 0.1];
    let judged = verdict(&window(100.0, 150.0), &track(300), gusty, |_| {});
    assert!(judged.accepted(), "{:?}", judged.findings);
}

#[test]
fn derived_a_turn_inside_is_put_down_to_the_pilot() {
    let steered = |t_s: f64| [if (122.0..128.0).contains(&t_s) { 12.0 } else { 3.0 } + 0.2 * wiggle(t_s), 10.5, 0.1];
    let judged = verdict(&window(100.0, 150.0), &track(300), steered, |_| {});
    let mean = (44.0 * 3.0 + 6.0 * 12.0) / 50.0;
    assert_measured(refused_for(&judged, "pilot-input"), 12.0 - mean, 0.3, 6.0, "°/s");
}

#[test]
fn a_fast_steady_turn_is_flown_unless_somebody_vouches_for_it() {
    let orbit = |t_s: f64| [11.0 + 0.3 * wiggle(t_s), 10.5, 0.1];
    assert!(verdict(&window(100.0, 150.0), &track(300), orbit, |_| {}).accepted());
    let found = Window { hands_off: HandsOff::Candidate, origin: crate::Origin::Found, ..window(100.0, 150.0) };
    let fast = refused_for(&verdict(&found, &track(300), orbit, |_| {}), "candidate-turns-fast");
    assert_measured(fast, 11.0, 0.1, 7.5, "°/s");
}

#[test]
fn an_unknown_wind_is_refused_with_the_figure_or_the_reason() {
    let judge_with = |change: fn(&mut Evidence<'_>)| verdict(&window(100.0, 150.0), &track(300), steady, change);
    let uncertain = judge_with(|e| e.wind_std_u_mps = Some(1.4));
    assert_measured(refused_for(&uncertain, "wind-uncertain"), 1.4, 0.0, 1.0, "m/s");
    refused_for(&judge_with(|e| e.wind_std_u_mps = None), "wind-not-estimated");
    const ONE_HEADING: WindUnknown =
        WindUnknown::Unclear(UnclearWind::HeadingsTooAlike { wind_std_u_mps: 4.0, limit_mps: 1.5 });
    let why = |e: &mut Evidence<'_>| (e.wind_unknown, e.turn_rate, e.wind_std_u_mps) = (Some(&ONE_HEADING), None, None);
    assert_measured(refused_for(&judge_with(why), "wind-headings-too-alike"), 4.0, 0.0, 1.5, "m/s");
}

#[test]
fn a_rate_holds_without_the_wind_where_all_solutions_agree_and_nothing_else_speaks_against_it() {
    const ONE_HEADING: WindUnknown =
        WindUnknown::Unclear(UnclearWind::HeadingsTooAlike { wind_std_u_mps: 4.0, limit_mps: 1.5 });
    let rivals = |e: &mut Evidence<'_>, std_u_deg_s| {
        e.wind_unknown = Some(&ONE_HEADING);
        e.airspeeds_mps = Some((8.0, 13.0));
        e.turn_rate = Some(Estimate::new(TurnRate::from_deg_s(0.4), TurnRate::from_deg_s(std_u_deg_s)));
    };
    let judge_with = |span: &Window, std_u_deg_s| verdict(span, &track(300), steady, |e| rivals(e, std_u_deg_s));
    let agreed = judge_with(&window(100.0, 150.0), 0.1);
    assert!(agreed.accepted());
    assert_eq!(agreed.findings, [Finding::AirspeedOpen { slowest_mps: 8.0, fastest_mps: 13.0 }]);
    // 1.96 times 0.4 is more than 0.6: one solution turns right, another left.
    let open = judge_with(&window(100.0, 150.0), 0.4);
    let codes: Vec<&str> = open.findings.iter().map(Finding::code).collect();
    assert_eq!(codes, ["wind-headings-too-alike", "solutions-disagree"]);
    let Measured { value, limit, .. } = open.findings[1].measured();
    assert!((value.unwrap() - 0.784).abs() < 1e-3 && limit == Some(0.6));
    // Refused for its length, it does not say that its rate holds.
    let short = judge_with(&window(100.0, 112.0), 0.1);
    assert!(!short.accepted() && short.findings.iter().all(|f| f.code() != "airspeed-open"), "{short:?}");
}

#[test]
fn a_rate_that_is_not_known_is_refused_with_the_figure() {
    let judge_with = |change: fn(&mut Evidence<'_>)| verdict(&window(100.0, 150.0), &track(300), steady, change);
    let vague = |e: &mut Evidence<'_>| {
        e.turn_rate = Some(Estimate::new(TurnRate::from_deg_s(3.0), TurnRate::from_deg_s(0.8)));
    };
    assert_measured(refused_for(&judge_with(vague), "rate-uncertain"), 0.8, 1e-12, 0.5, "°/s");
    refused_for(&judge_with(|e| e.turn_rate = None), "rate-not-measured");
}

#[test]
fn a_change_of_the_wind_inside_a_window_is_a_caution_that_refuses_nothing() {
    let judged = |at_s: f64| {
        let changes_s = [at_s];
        let signals = Signals::new(&track(300), &nodes(300, steady));
        let evidence = Evidence {
            track: &track(300),
            free: &signals,
            with_windows: &signals,
            turn_rate: good_rate(),
            wind_std_u_mps: Some(0.2),
            wind_unknown: None,
            airspeeds_mps: None,
            wind_changes_s: &changes_s,
            height_above_takeoff_m: Some(300.0),
        };
        judge(&window(100.0, 150.0), &evidence, &Limits::default())
    };
    assert!(judged(120.0).accepted());
    assert_eq!(judged(120.0).findings, [Finding::WindChanged { after_s: 20.0 }]);
    assert!(judged(160.0).findings.is_empty());
}

#[test]
fn low_height_is_a_caution_that_refuses_nothing() {
    let judged = verdict(&window(100.0, 150.0), &track(300), steady, |e| e.height_above_takeoff_m = Some(80.0));
    assert!(judged.accepted());
    assert_eq!(judged.findings, [Finding::FlownLow { height_m: 80.0, limit_m: 150.0 }]);
}

#[test]
fn below_take_off_the_height_is_called_unknown() {
    let judged = verdict(&window(100.0, 150.0), &track(300), steady, |e| e.height_above_takeoff_m = Some(-30.0));
    assert!(judged.accepted());
    assert_eq!(judged.findings, [Finding::BelowTakeOff { height_m: -30.0 }]);
}
