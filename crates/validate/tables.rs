//! The figures as tables: Markdown that reads well as plain text too.

use crate::bound::Bound;
use crate::run::StudyScore;
use crate::score::{FlightScore, Judged, WindowScore};
use crate::statistics::{Figure, mean, median, rms, rms_ratio, share};
use crate::study::Variant;
use crate::unmarked::Candidate;
use driftless_sim::reference::AirClass;
use std::fmt::Write;

/// A table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// Name of its place on the page.
    pub name: &'static str,
    /// What it shows.
    pub title: String,
    /// Column heads.
    pub head: Vec<String>,
    /// Rows, as wide as the head.
    pub rows: Vec<Vec<String>>,
}

impl Table {
    /// As Markdown, columns aligned.
    pub fn markdown(&self) -> String {
        let widths: Vec<usize> = (0..self.head.len())
            .map(|c| std::iter::once(&self.head).chain(&self.rows).map(|r| r[c].chars().count()).max().unwrap_or(0))
            .collect();
        let mut out = String::new();
        let mut line = |cells: &[String]| {
            let padded = cells.iter().zip(&widths).map(|(cell, width)| format!("{cell:<width$}"));
            // Writing into a String cannot fail.
            let _ = writeln!(out, "| {} |", padded.collect::<Vec<_>>().join(" | "));
        };
        line(&self.head);
        line(&widths.iter().map(|w| "-".repeat(*w)).collect::<Vec<_>>());
        for row in &self.rows {
            line(row);
        }
        out
    }
}

/// All tables of a run; those without data are left out.
pub fn tables(scores: &[StudyScore]) -> Vec<Table> {
    [reference(scores), variants(scores), lengths(scores), unmarked(scores), refusals(scores)]
        .into_iter()
        .filter(|t| !t.rows.is_empty())
        .collect()
}

/// Values of the accepted windows, flight by flight.
pub(crate) fn by_flight<T>(flights: &[FlightScore], value: impl Fn(&WindowScore) -> Option<T>) -> Vec<Vec<T>> {
    flights.iter().map(|f| f.accepted().filter_map(&value).collect()).collect()
}

/// Errors of an estimate over the accepted windows.
pub(crate) fn error_rms(flights: &[FlightScore], pick: impl Fn(&WindowScore) -> Option<Judged>) -> Figure {
    rms(&by_flight(flights, |w| pick(w).map(|j| j.error)))
}

/// The rms error of a rate over the rms of its bound.
pub(crate) fn over_bound(
    flights: &[FlightScore],
    pick: impl Fn(&WindowScore) -> Option<Judged>,
    bound: impl Fn(&WindowScore) -> Option<f64>,
) -> Figure {
    rms_ratio(&by_flight(flights, |w| Some((pick(w)?.error, bound(w)?))))
}

fn covered(flights: &[FlightScore], pick: fn(&WindowScore) -> Option<Judged>) -> [Figure; 2] {
    [0.95, 0.68].map(|level| share(&by_flight(flights, |w| pick(w).map(|j| j.covered(level)))))
}

/// Mean square of errors over stated uncertainties: 1 when those are honest.
fn normalised(flights: &[FlightScore], pick: impl Fn(&WindowScore) -> Option<Judged>) -> Figure {
    mean(&by_flight(flights, |w| pick(w).map(|j| (j.error / j.std_u).powi(2))))
}

/// A figure with its standard error, to so many places.
pub(crate) fn with_error(figure: Figure, places: usize) -> String {
    if figure.value.is_finite() {
        format!("{:.places$} ± {:.places$}", figure.value, figure.std_error)
    } else {
        "-".to_owned()
    }
}

fn percent(figure: Figure) -> String {
    with_error(Figure { value: 100.0 * figure.value, std_error: 100.0 * figure.std_error, ..figure }, 1)
}

/// The rms error of `turn_rate` that the project wants, °/s.
pub const fn wanted_rms_deg_s(class: AirClass) -> f64 {
    match class {
        AirClass::Still => 0.040,
        AirClass::Light => 0.070,
        AirClass::Moderate => 0.110,
    }
}

fn of_variant(scores: &[StudyScore], variant: Variant) -> Vec<&StudyScore> {
    scores.iter().filter(|s| s.study.variant == variant).collect()
}

fn strings<const N: usize>(cells: [&str; N]) -> Vec<String> {
    cells.map(str::to_owned).to_vec()
}

/// The reference flights: one column for each class of air.
fn reference(scores: &[StudyScore]) -> Table {
    let studies = of_variant(scores, Variant::Reference);
    let flights: Vec<&[FlightScore]> = studies.iter().map(|s| s.flights.as_slice()).collect();
    let mut head = strings(["figure", "wanted"]);
    head.extend(studies.iter().map(|s| s.study.class.name().to_owned()));
    let mut table = Table { name: "reference", title: "Reference flights".to_owned(), head, rows: Vec::new() };
    if studies.is_empty() {
        return table;
    }
    let mut row = |name: &str, wanted: &str, value: &dyn Fn(&[FlightScore]) -> String| {
        let mut cells = strings([name, wanted]);
        cells.extend(flights.iter().map(|f| value(f)));
        table.rows.push(cells);
    };
    let turn = |w: &WindowScore| w.turn;
    let steady = |w: &WindowScore| w.steady;
    let second = |w: &WindowScore| w.second;
    let airspeed = |w: &WindowScore| w.airspeed;
    let turn_of = |b: Bound| b.turn_deg_s;
    let wanted = AirClass::ALL.map(|c| format!("{:.3}", wanted_rms_deg_s(c))).join(" / ");
    row("windows measured", "", &|f| f.iter().map(|f| f.accepted().count()).sum::<usize>().to_string());
    row("windows refused", "", &|f| {
        f.iter().map(|f| f.windows.len() - f.accepted().count()).sum::<usize>().to_string()
    });
    row("`turn_rate`: rms error, °/s", &format!("≤ {wanted}"), &|f| with_error(error_rms(f, turn), 4));
    row("`turn_rate`: stated uncertainty, rms, °/s", "", &|f| {
        with_error(rms(&by_flight(f, |w| Some(w.turn?.std_u))), 4)
    });
    row("`turn_rate`: bound, °/s", "", &|f| with_error(rms(&by_flight(f, |w| w.bound.map(turn_of))), 4));
    row("`turn_rate`: rms error over bound", "≤ 1.15", &|f| {
        with_error(over_bound(f, turn, |w| w.bound.map(turn_of)), 3)
    });
    row("`turn_rate`: rms error over bound with lags known", "", &|f| {
        with_error(over_bound(f, turn, |w| w.bound_with_lags.map(turn_of)), 3)
    });
    row("`turn_rate`: in the 95 % interval, %", "94 to 96", &|f| percent(covered(f, turn)[0]));
    row("`turn_rate`: in the 68 % interval, %", "66 to 70", &|f| percent(covered(f, turn)[1]));
    row("`turn_rate`: mean error, °/s", "0", &|f| with_error(mean(&by_flight(f, |w| w.turn.map(|j| j.error))), 4));
    row("`turn_rate`: normalised squared error", "1", &|f| with_error(normalised(f, turn), 2));
    row("`steady_rate`: rms error, °/s", "", &|f| with_error(error_rms(f, steady), 4));
    row("`steady_rate`: rms error over bound", "", &|f| {
        with_error(over_bound(f, steady, |w| w.bound.map(|b| b.steady_deg_s)), 3)
    });
    row("`steady_rate`: in the 95 % interval, %", "94 to 96", &|f| percent(covered(f, steady)[0]));
    row("`steady_rate`: in the 68 % interval, %", "66 to 70", &|f| percent(covered(f, steady)[1]));
    row("wind of a window: rms vector error, m/s", "≤ 0.35 in light air", &|f| {
        with_error(rms(&by_flight(f, |w| w.wind.map(|j| j.error_mps))), 3)
    });
    row("wind of a window: bound, m/s", "", &|f| with_error(rms(&by_flight(f, |w| Some(w.bound?.wind_mps))), 3));
    row("wind of a window: normalised squared error", "0.8 to 1.25", &|f| {
        with_error(mean(&by_flight(f, |w| w.wind.map(|j| j.normalised_square))), 2)
    });
    row("wind profile: rms vector error, m/s", "≤ 0.35 in light air", &|f| {
        with_error(rms(&profile(f, |j| j.error_mps)), 3)
    });
    row("wind profile: normalised squared error", "0.8 to 1.25", &|f| {
        with_error(mean(&profile(f, |j| j.normalised_square)), 2)
    });
    row("airspeed of a window: rms error, m/s", "", &|f| with_error(error_rms(f, airspeed), 3));
    row("airspeed of a window: normalised squared error", "1", &|f| with_error(normalised(f, airspeed), 2));
    row("second opinion: rms error, °/s", "", &|f| with_error(error_rms(f, second), 3));
    row("second opinion: in the 95 % interval, %", "94 to 96", &|f| percent(covered(f, second)[0]));
    row("raw course rate: rms error, °/s", "", &|f| with_error(rms(&by_flight(f, |w| w.course_error)), 2));
    table
}

fn profile(flights: &[FlightScore], value: fn(&crate::score::WindJudged) -> f64) -> Vec<Vec<f64>> {
    flights.iter().map(|f| f.profile.iter().map(value).collect()).collect()
}

/// One row for each variant and class.
fn variants(scores: &[StudyScore]) -> Table {
    let head = strings([
        "flights",
        "air",
        "windows",
        "refused",
        "rms error, °/s",
        "over bound",
        "in 95 %, %",
        "in 68 %, %",
        "steady in 95 %, %",
        "wind rms, m/s",
        "raw course rms, °/s",
    ]);
    let shown = |v: Variant| !matches!(v, Variant::Length(_) | Variant::Unmarked);
    let rows = scores
        .iter()
        .filter(|s| shown(s.study.variant))
        .map(|s| {
            let f = s.flights.as_slice();
            let [in95, in68] = covered(f, |w| w.turn);
            vec![
                s.study.variant.name(),
                s.study.class.name().to_owned(),
                f.iter().map(|f| f.accepted().count()).sum::<usize>().to_string(),
                f.iter().map(|f| f.windows.len() - f.accepted().count()).sum::<usize>().to_string(),
                with_error(error_rms(f, |w| w.turn), 4),
                with_error(over_bound(f, |w| w.turn, |w| w.bound.map(|b| b.turn_deg_s)), 2),
                percent(in95),
                percent(in68),
                percent(covered(f, |w| w.steady)[0]),
                with_error(rms(&by_flight(f, |w| w.wind.map(|j| j.error_mps))), 3),
                with_error(rms(&by_flight(f, |w| w.course_error)), 2),
            ]
        })
        .collect();
    Table { name: "variants", title: "What is varied".to_owned(), head, rows }
}

/// Error against window length.
fn lengths(scores: &[StudyScore]) -> Table {
    let head = strings([
        "window, s",
        "air",
        "windows",
        "refused",
        "rms error, °/s",
        "stated, °/s",
        "bound, °/s",
        "error over bound",
        "in 95 %, %",
        "in 68 %, %",
    ]);
    let rows = scores
        .iter()
        .filter_map(|s| match s.study.variant {
            Variant::Length(seconds) => Some((seconds, s)),
            _ => None,
        })
        .map(|(seconds, s)| {
            let f = s.flights.as_slice();
            let [in95, in68] = covered(f, |w| w.turn);
            vec![
                seconds.to_string(),
                s.study.class.name().to_owned(),
                f.iter().map(|f| f.accepted().count()).sum::<usize>().to_string(),
                f.iter().map(|f| f.windows.len() - f.accepted().count()).sum::<usize>().to_string(),
                with_error(error_rms(f, |w| w.turn), 4),
                with_error(rms(&by_flight(f, |w| w.turn.map(|j| j.std_u))), 4),
                with_error(rms(&by_flight(f, |w| w.bound.map(|b| b.turn_deg_s))), 4),
                with_error(over_bound(f, |w| w.turn, |w| w.bound.map(|b| b.turn_deg_s)), 2),
                percent(in95),
                percent(in68),
            ]
        })
        .collect();
    Table { name: "lengths", title: "Length of the window".to_owned(), head, rows }
}

/// Flights without marks.
fn unmarked(scores: &[StudyScore]) -> Table {
    let head = strings([
        "air",
        "windows of 40 s and more",
        "found, %",
        "let-go edge: median distance, s",
        "signed, s",
        "take-over edge: median distance, s",
        "signed, s",
        "candidates accepted",
        "hands off",
        "straight flight, hands on",
        "with a piloted turn",
        "rms error, °/s",
        "in 95 %, %",
    ]);
    let rows = of_variant(scores, Variant::Unmarked)
        .iter()
        .map(|s| {
            let f = s.flights.as_slice();
            let unmarked = || f.iter().filter_map(|f| f.unmarked.as_ref());
            let found: Vec<Vec<bool>> = unmarked().map(|u| u.windows.iter().map(Option::is_some).collect()).collect();
            let edges = || unmarked().flat_map(|u| u.windows.iter().flatten());
            let accepted = |kind| unmarked().flat_map(|u| &u.accepted).filter(|c| **c == kind).count();
            let found = share(&found);
            vec![
                s.study.class.name().to_owned(),
                found.count.to_string(),
                percent(found),
                with_error(median(edges().map(|e| e.let_go_s.abs())), 1),
                with_error(median(edges().map(|e| e.let_go_s)), 1),
                with_error(median(edges().map(|e| e.take_over_s.abs())), 1),
                with_error(median(edges().map(|e| e.take_over_s)), 1),
                unmarked().map(|u| u.accepted.len()).sum::<usize>().to_string(),
                accepted(Candidate::HandsOff).to_string(),
                accepted(Candidate::Straight).to_string(),
                accepted(Candidate::PilotedTurn).to_string(),
                with_error(error_rms(f, |w| w.turn), 4),
                percent(covered(f, |w| w.turn)[0]),
            ]
        })
        .collect();
    Table { name: "unmarked", title: "Flights without marks".to_owned(), head, rows }
}

/// Why windows were refused, most frequent first.
fn refusals(scores: &[StudyScore]) -> Table {
    let mut counts: Vec<(String, String, usize)> = Vec::new();
    for s in scores.iter().filter(|s| s.study.variant != Variant::Unmarked) {
        let refused = s.flights.iter().flat_map(|f| &f.windows).filter(|w| !w.accepted);
        for window in refused {
            // Reasons read "what: figures"; only the first is counted.
            let reason = window.reasons.first().map_or("", |r| r.split(':').next().unwrap_or(r)).to_owned();
            let flights = format!("{}, {}", s.study.variant.name(), s.study.class.name());
            match counts.iter_mut().find(|c| c.0 == flights && c.1 == reason) {
                Some(known) => known.2 += 1,
                None => counts.push((flights, reason, 1)),
            }
        }
    }
    let rows = counts.into_iter().map(|(flights, reason, count)| vec![flights, reason, count.to_string()]).collect();
    let head = strings(["flights", "first reason", "windows refused"]);
    Table { name: "refusals", title: "Why windows were refused".to_owned(), head, rows }
}
