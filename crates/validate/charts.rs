//! The figures as charts.

use crate::run::StudyScore;
use crate::score::{FlightScore, Judged, LEVELS, WindowScore};
use crate::statistics::{mean, rms, share};
use crate::study::Variant;
use crate::tables::{by_flight, error_rms, over_bound};
use driftless_charts::{Axis, Chart, Figure, Series, SeriesStyle, figure};
use driftless_sim::reference::AirClass;

/// All charts of a run; those without data are left out.
pub fn charts(scores: &[StudyScore]) -> Vec<Chart> {
    let turn = |w: &WindowScore| w.turn;
    let steady = |w: &WindowScore| w.steady;
    [
        lengths(scores),
        coverage(scores, "turn_rate", "validation-coverage-turn", turn),
        coverage(scores, "steady_rate", "validation-coverage-steady", steady),
        errors(scores),
    ]
    .into_iter()
    .flatten()
    .collect()
}

pub(crate) fn style(class: AirClass) -> SeriesStyle {
    match class {
        AirClass::Still => SeriesStyle::First,
        AirClass::Light => SeriesStyle::Second,
        AirClass::Moderate => SeriesStyle::Third,
    }
}

pub(crate) fn axis(name: &str) -> Axis {
    Axis { name: name.to_owned(), log: false, range: None, ticks: Vec::new() }
}

fn of_reference(scores: &[StudyScore]) -> impl Iterator<Item = (AirClass, &[FlightScore])> {
    let reference = scores.iter().filter(|s| s.study.variant == Variant::Reference);
    reference.map(|s| (s.study.class, s.flights.as_slice()))
}

/// Error against window length, beside the bound.
fn lengths(scores: &[StudyScore]) -> Option<Chart> {
    let turn_bound = |w: &WindowScore| Some(w.bound?.turn_deg_s);
    let mut series = Vec::new();
    let mut ratios = Vec::new();
    for class in AirClass::ALL {
        let of_class: Vec<(f64, &[FlightScore])> = scores
            .iter()
            .filter(|s| s.study.class == class)
            .filter_map(|s| match s.study.variant {
                Variant::Length(seconds) => Some((f64::from(seconds), s.flights.as_slice())),
                _ => None,
            })
            .collect();
        if of_class.is_empty() {
            continue;
        }
        let line = |value: &dyn Fn(&[FlightScore]) -> crate::statistics::Figure| {
            of_class
                .iter()
                .map(|(seconds, flights)| {
                    let got = value(flights);
                    (*seconds, got.value, got.std_error)
                })
                .collect()
        };
        ratios.extend(of_class.iter().map(|(_, f)| over_bound(f, |w| w.turn, turn_bound).value));
        let bound = line(&|f| crate::statistics::Figure { std_error: 0.0, ..rms(&by_flight(f, turn_bound)) });
        series.push(Series {
            label: class.name().to_owned(),
            style: style(class),
            points: line(&|f| error_rms(f, |w| w.turn)),
        });
        series.push(Series { label: format!("bound, {}", class.name()), style: SeriesStyle::Reference, points: bound });
    }
    let (low, high) =
        (ratios.iter().copied().fold(f64::INFINITY, f64::min), ratios.iter().copied().fold(0.0, f64::max));
    (!series.is_empty()).then(|| {
        figure(&Figure {
            id: "validation-lengths".to_owned(),
            headline: format!(
                "The longer the window the surer the turn rate; errors are {low:.2} to {high:.2} times the least possible"
            ),
            subtitle: "Root mean square error of turn_rate by length of the window and air, with standard errors; dotted: \
                       the least possible (posterior Cramér-Rao bound)."
                .to_owned(),
            description: "One fix a second. The figures are in the table of window lengths.".to_owned(),
            x: Axis { log: true, range: Some((9.0, 100.0)), ticks: vec![10.0, 20.0, 30.0, 60.0, 90.0], ..axis("window, s") },
            y: Axis { log: true, ticks: vec![0.01, 0.02, 0.05, 0.1, 0.2, 0.5], ..axis("rms error, °/s") },
            series,
        })
    })
}

/// Observed minus nominal coverage.
fn coverage(
    scores: &[StudyScore],
    rate: &str,
    id: &str,
    pick: impl Fn(&WindowScore) -> Option<Judged>,
) -> Option<Chart> {
    let (mut farthest, mut reach): (f64, f64) = (0.0, 10.0);
    let mut series: Vec<Series> = Vec::new();
    for (class, flights) in of_reference(scores) {
        let points = LEVELS
            .iter()
            .map(|level| {
                let held = share(&by_flight(flights, |w| pick(w).map(|j| j.covered(*level))));
                farthest = farthest.max((100.0 * (held.value - level)).abs());
                reach = reach.max(105.0 * ((held.value - level).abs() + held.std_error));
                (100.0 * level, 100.0 * (held.value - level), 100.0 * held.std_error)
            })
            .collect();
        series.push(Series { label: class.name().to_owned(), style: style(class), points });
    }
    if series.is_empty() {
        return None;
    }
    let exact = vec![(0.0, 0.0, 0.0), (100.0, 0.0, 0.0)];
    series.insert(0, Series { label: "as stated".to_owned(), style: SeriesStyle::Reference, points: exact });
    Some(figure(&Figure {
        id: id.to_owned(),
        headline: format!("Intervals of {rate} cover within {farthest:.0} percentage points of what they state"),
        subtitle: format!(
            "How much more (above the line) or less often than stated the interval of {rate} holds the truth, with \
             standard errors."
        ),
        description: "Reference flights. Above the line intervals are too wide, below too narrow.".to_owned(),
        x: Axis { range: Some((0.0, 100.0)), ..axis("stated probability, %") },
        y: Axis { range: Some((-reach, reach)), ..axis("observed minus stated, percentage points") },
        series,
    }))
}

/// Width of a bin of errors over their uncertainty.
const BIN: f64 = 0.5;
/// Farthest bin's middle.
const FARTHEST_BIN: i32 = 8;

/// How errors over their stated uncertainty are distributed.
fn errors(scores: &[StudyScore]) -> Option<Chart> {
    let mut series: Vec<Series> = Vec::new();
    let mut beyond = Vec::new();
    for (class, flights) in of_reference(scores) {
        let normalised = by_flight(flights, |w| w.turn.map(|j| j.error / j.std_u));
        let points = (-FARTHEST_BIN..=FARTHEST_BIN)
            .map(|bin| {
                let middle = BIN * f64::from(bin);
                let inside = |z: &f64| f64::from(u8::from((z - middle).abs() <= 0.5 * BIN)) / BIN;
                let counts: Vec<Vec<f64>> = normalised.iter().map(|f| f.iter().map(inside).collect()).collect();
                let density = mean(&counts);
                (middle, density.value, density.std_error)
            })
            .collect();
        beyond.push(
            share(&normalised.iter().map(|f| f.iter().map(|z| z.abs() > 3.0).collect()).collect::<Vec<_>>()).value,
        );
        series.push(Series { label: class.name().to_owned(), style: style(class), points });
    }
    if series.is_empty() {
        return None;
    }
    let normal = (-160..=160)
        .map(|k| {
            let z = 0.025 * f64::from(k);
            (z, (-0.5 * z * z).exp() / std::f64::consts::TAU.sqrt(), 0.0)
        })
        .collect();
    series.push(Series { label: "normal".to_owned(), style: SeriesStyle::Reference, points: normal });
    let most = 100.0 * beyond.iter().copied().fold(0.0, f64::max);
    Some(figure(&Figure {
        id: "validation-errors".to_owned(),
        headline: format!("At most {most:.1} % of the errors are beyond three standard uncertainties"),
        subtitle:
            "Distribution of the error of turn_rate over its standard uncertainty, with standard errors; dotted: \
                   the normal distribution."
                .to_owned(),
        description: "Reference flights, bins of half a standard uncertainty.".to_owned(),
        x: axis("error over standard uncertainty"),
        y: axis("density"),
        series,
    }))
}
