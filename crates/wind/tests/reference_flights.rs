//! The whole-flight estimate against simulated flights whose truth is known.
//!
//! Seeds come from the tuning range: the judging range is kept for the validation run. Limits are the figures the
//! project wants for each class, with the margin that a few dozen windows need.

mod flown;

use driftless_sim::reference::{self, AirClass, Options};
use driftless_sim::{STEP_S, simulate};
use driftless_units::{GroundPath, Wind};
use driftless_wind::flight::{
    FlightEstimate, StartGuess, SteadySpan, estimate, estimate_with_windows, estimate_with_windows_after,
};
use flown::path_and_spans;

/// Errors of one class.
#[derive(Default)]
struct Score {
    windows: f64,
    square_deg_s: f64,
    covered: f64,
    steady_covered: f64,
    course_square_deg_s: f64,
    wind_square_mps: f64,
}

impl Score {
    fn rms(&self) -> f64 {
        (self.square_deg_s / self.windows).sqrt()
    }
}

/// A start that knows nothing but the mean ground speed.
fn still_air(path: &GroundPath) -> StartGuess {
    let speeds: f64 = path.points.iter().map(|p| p.velocity.speed_mps()).sum();
    StartGuess { wind: Wind::default(), airspeed_mps: speeds / path.points.len() as f64 }
}

fn score(class: AirClass, seeds: std::ops::Range<u64>, options: &Options) -> Score {
    let mut score = Score::default();
    for seed in seeds {
        let flight = simulate(&reference::flight(class, seed, options), seed).expect("a reference flight flies");
        let (path, spans, shift_s) = path_and_spans(&flight);
        let free = estimate(&path, &[still_air(&path)]).expect("a reference flight can be estimated");
        let got = estimate_with_windows(&path, &free, &spans).expect("and again with its windows");
        for (span, window) in spans.iter().zip(&flight.truth.windows) {
            let truth = flight.truth.realised_rate(span.start_s + shift_s, span.end_s + shift_s);
            add(&mut score, &got, *span, truth.deg_s(), window.steady_rate.deg_s());
            score.course_square_deg_s += (course_rate_deg_s(&path, *span) - truth.deg_s()).powi(2);
            let node = got.node_at(0.5 * (span.start_s + span.end_s)).expect("the window lies inside the flight");
            let off_s = |other: f64| (other - 0.5 * (span.start_s + span.end_s)).abs();
            assert!(got.nodes.iter().all(|other| off_s(other.t_s) >= off_s(node.t_s)), "the nearest");
            let air = &flight.truth.steps[((node.t_s + shift_s) / STEP_S).round() as usize];
            score.wind_square_mps +=
                (node.wind.east_mps - air.wind.east_mps).powi(2) + (node.wind.north_mps - air.wind.north_mps).powi(2);
        }
    }
    score
}

fn add(score: &mut Score, got: &FlightEstimate, span: SteadySpan, realised_deg_s: f64, steady_deg_s: f64) {
    let turn = got.window_turn(span).expect("estimated with this span");
    score.windows += 1.0;
    score.square_deg_s += (turn.turn_rate.value.deg_s() - realised_deg_s).powi(2);
    let inside = |e: driftless_units::Estimate<driftless_units::TurnRate>, truth_deg_s: f64| {
        let interval = e.interval(0.95);
        f64::from(u8::from(interval.low.deg_s() <= truth_deg_s && truth_deg_s <= interval.high.deg_s()))
    };
    score.covered += inside(turn.turn_rate, realised_deg_s);
    score.steady_covered += inside(turn.steady_rate, steady_deg_s);
}

fn course_rate_deg_s(path: &GroundPath, span: SteadySpan) -> f64 {
    let courses: Vec<f64> = path
        .points
        .iter()
        .filter(|p| p.t_s >= span.start_s && p.t_s <= span.end_s)
        .map(|p| p.velocity.direction().deg())
        .collect();
    let turned: f64 = courses.windows(2).map(|c| driftless_units::wrap_180_deg(c[1] - c[0])).sum();
    turned / (span.end_s - span.start_s)
}

fn show(class: AirClass, s: &Score) -> String {
    format!(
        "{}: rms {:.4} °/s, covered {:.3}, steady covered {:.3}, raw course rms {:.2} °/s, wind rms {:.2} m/s, {} windows",
        class.name(),
        s.rms(),
        s.covered / s.windows,
        s.steady_covered / s.windows,
        (s.course_square_deg_s / s.windows).sqrt(),
        (s.wind_square_mps / s.windows).sqrt(),
        s.windows
    )
}

/// The limits are the project's figures to reach. About 0.028, 0.051 and 0.082 °/s are reached over 1,000 windows; the
/// rms of 100 windows, four of which share a flight, scatters by about 10 %.
#[test]
fn simulated_reference_flights_are_measured_to_the_wished_figures() {
    for (class, limit_deg_s) in [(AirClass::Still, 0.040), (AirClass::Light, 0.070), (AirClass::Moderate, 0.110)] {
        let s = score(class, 0..25, &Options::default());
        let words = show(class, &s);
        assert!(s.rms() <= limit_deg_s, "{words}");
        assert!(
            s.course_square_deg_s / s.windows > 25.0 * s.square_deg_s / s.windows,
            "the raw course is far worse: {words}"
        );
    }
}

/// 95 % intervals must cover 95 %: of 200 windows (with the correlation inside a flight) three standard errors are
/// about 5 %. Too wide shows too.
#[test]
fn simulated_intervals_are_neither_too_narrow_nor_too_wide() {
    for class in [AirClass::Light, AirClass::Moderate] {
        let s = score(class, 100..150, &Options::default());
        let words = show(class, &s);
        for covered in [s.covered / s.windows, s.steady_covered / s.windows] {
            assert!((0.90..0.99).contains(&covered), "{words}");
        }
    }
}

/// Passes to settle, and rates against those of many passes more, in their own uncertainties. The study of 200 flights in
/// docs/validation.md ("Passes to settle") has its most at 37 passes, and nine rates in ten within 0.031.
fn settle(seeds: std::ops::Range<u64>, passes_more: usize) -> (Vec<usize>, Vec<f64>) {
    let (mut passes, mut shifts) = (Vec::new(), Vec::new());
    for (class, seed) in seeds.flat_map(|seed| AirClass::ALL.map(|class| (class, seed))) {
        let flight = simulate(&reference::flight(class, seed, &Options::default()), seed).expect("it flies");
        let (path, spans, _) = path_and_spans(&flight);
        let free = estimate(&path, &[still_air(&path)]).expect("it can be estimated");
        let known = estimate_with_windows(&path, &free, &spans).expect("and again with its windows");
        let long = estimate_with_windows_after(&path, &free, &spans, passes_more).expect("and for long");
        for estimate in [&free, &known] {
            assert!(estimate.settling.settled, "{} {seed}: {:?}", class.name(), estimate.settling);
            passes.push(estimate.settling.passes);
        }
        for ((_, a), (_, b)) in known.turns.iter().zip(&long.turns) {
            let (a, b) = (a.turn_rate, b.turn_rate);
            shifts.push((a.value.rad_s() - b.value.rad_s()).abs() / b.std_u.rad_s());
        }
    }
    passes.sort_unstable();
    shifts.sort_by(f64::total_cmp);
    (passes, shifts)
}

#[test]
fn simulated_estimates_settle_in_few_passes_where_they_would_end() {
    let (passes, shifts) = settle(0..2, 100);
    assert!(passes[passes.len() / 2] <= 20 && passes[passes.len() - 1] < 50, "{passes:?}");
    assert!(shifts[shifts.len() * 9 / 10] < 0.05, "{shifts:?}");
}

/// The same over 60 estimates, against 500 passes (minutes).
#[test]
#[ignore = "minutes; run by .ci/deep"]
fn simulated_sixty_estimates_settle_where_five_hundred_passes_end() {
    let (passes, shifts) = settle(0..10, 500);
    assert_eq!(passes.len(), 60);
    assert!(passes[passes.len() / 2] <= 18, "{passes:?}");
    assert!(shifts[shifts.len() / 2] < 0.01 && shifts[shifts.len() * 9 / 10] < 0.05, "{shifts:?}");
}
