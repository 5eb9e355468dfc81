//! The reference flights.

use super::{
    Table, by_flight, covered, error_rms, normalised, of_variant, over_bound, percent, strings, wanted_rms_deg_s,
    with_error,
};
use crate::bound::Bound;
use crate::run::StudyScore;
use crate::score::{FlightScore, WindJudged, WindowScore};
use crate::statistics::{mean, rms, share};
use crate::study::Variant;
use driftless_analysis::Favoured;
use driftless_sim::reference::AirClass;

/// The reference flights: one column for each class of air.
pub(super) fn reference(scores: &[StudyScore]) -> Table {
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
    row("`turn_rate`: rms error over bound with a freer pilot", "", &|f| {
        with_error(over_bound(f, turn, |w| w.bound_with_freer_pilot.map(turn_of)), 3)
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
    row("second opinion: flights with a difference told, %", "5 or less", &|f| {
        percent(share(&f.iter().map(|f| vec![f.accepted().any(|w| w.told_apart.is_some())]).collect::<Vec<_>>()))
    });
    row("differences told, the log speaks for `turn_rate` in, it is the nearer to the truth in", "", &differences);
    row("raw course rate: rms error, °/s", "", &|f| with_error(rms(&by_flight(f, |w| w.course_error)), 2));
    table
}

/// Differences told, in how many the log is said to speak for the main figure, and in how many of those it is the nearer one.
fn differences(flights: &[FlightScore]) -> String {
    let told: Vec<_> = flights.iter().flat_map(FlightScore::accepted).filter(|w| w.told_apart.is_some()).collect();
    let spoken_for = told.iter().filter(|w| w.told_apart.is_some_and(|favoured| favoured != Favoured::Neither));
    let nearer = spoken_for
        .clone()
        .filter(|w| w.turn.zip(w.second).is_some_and(|(turn, second)| turn.error.abs() < second.error.abs()));
    format!("{}, {}, {}", told.len(), spoken_for.count(), nearer.count())
}

fn profile(flights: &[FlightScore], value: fn(&WindJudged) -> f64) -> Vec<Vec<f64>> {
    flights.iter().map(|f| f.profile.iter().map(value).collect()).collect()
}
