//! The figures as tables.

use super::OrdinaryStudy;
use super::score::OrdinaryWindow;
use crate::score::Judged;
use crate::statistics::{Figure, rms, share};
use crate::tables::{Table, percent, strings, with_error};
use driftless_units::Scenario;

/// A stated wind should lie within so many stated uncertainties of the truth (95.6 % of a normal error of two axes do).
const WIND_WITHIN: f64 = 2.5;

/// All tables of a run; none without flights.
pub fn tables(studies: &[OrdinaryStudy]) -> Vec<Table> {
    if studies.is_empty() { Vec::new() } else { vec![by_condition(studies), by_scenario(studies)] }
}

/// Values of accepted windows that lie in hands-off windows of the truth, flight by flight.
fn values<T>(study: &OrdinaryStudy, value: impl Fn(&OrdinaryWindow) -> Option<T>) -> Vec<Vec<T>> {
    study.flights.iter().map(|f| f.accepted().filter(|w| w.flown.is_some()).filter_map(&value).collect()).collect()
}

fn covered(study: &OrdinaryStudy, level: f64, pick: impl Fn(&OrdinaryWindow) -> Option<Judged>) -> Figure {
    share(&values(study, |w| pick(w).map(|j| j.covered(level))))
}

fn percent_of(figure: Figure) -> String {
    if figure.count == 0 { "-".to_owned() } else { percent(figure) }
}

fn by_condition(studies: &[OrdinaryStudy]) -> Table {
    let head = strings([
        "condition",
        "flights",
        "logs refused",
        "windows",
        "refused",
        "on the ground",
        "rms error, °/s",
        "in 95 %, %",
        "in 68 %, %",
        "`steady_rate` in 95 %, %",
        "airspeed in 95 %, %",
        "wind within 2.5 u, %",
        "trim named right, %",
    ]);
    let rows = studies.iter().map(|study| {
        let windows = || study.flights.iter().flat_map(|f| &f.windows);
        let accepted = || study.flights.iter().flat_map(|f| f.accepted());
        let turn = |w: &OrdinaryWindow| w.score.turn;
        let winds: Vec<Vec<bool>> = study
            .flights
            .iter()
            .filter(|f| f.wind_stated)
            .map(|f| {
                let of = f.windows.iter().filter(|w| !w.on_ground).filter_map(|w| w.score.wind);
                of.map(|wind| (2.0 * wind.normalised_square).sqrt() <= WIND_WITHIN).collect()
            })
            .collect();
        // Where the airspeed is not known, trim is not named.
        let at_trim = |w: &OrdinaryWindow| w.flown == Some(Scenario::TrimLevel) && w.score.airspeed.is_some();
        let trim = values(study, |w| at_trim(w).then_some(w.named == Scenario::TrimLevel));
        vec![
            study.condition.name().to_owned(),
            study.flights.len().to_string(),
            study.flights.iter().filter(|f| f.refused.is_some()).count().to_string(),
            accepted().count().to_string(),
            windows().filter(|w| !w.score.accepted).count().to_string(),
            accepted().filter(|w| w.on_ground).count().to_string(),
            with_error(rms(&values(study, |w| turn(w).map(|j| j.error))), 3),
            percent_of(covered(study, 0.95, turn)),
            percent_of(covered(study, 0.68, turn)),
            percent_of(covered(study, 0.95, |w| w.score.steady)),
            percent_of(covered(study, 0.95, |w| w.score.airspeed)),
            percent_of(share(&winds)),
            percent_of(share(&trim)),
        ]
    });
    Table { name: "ordinary", title: "Ordinary logs".to_owned(), head, rows: rows.collect() }
}

fn by_scenario(studies: &[OrdinaryStudy]) -> Table {
    let head = strings([
        "condition",
        "scenario flown",
        "windows",
        "rms error, °/s",
        "in 95 %, %",
        "in 68 %, %",
        "airspeed in 95 %, %",
    ]);
    let rows = studies.iter().flat_map(|study| {
        Scenario::ALL.into_iter().filter_map(move |scenario| {
            let here = move |w: &OrdinaryWindow| w.flown == Some(scenario);
            let turn = move |w: &OrdinaryWindow| here(w).then_some(w.score.turn).flatten();
            let count = values(study, turn).iter().map(Vec::len).sum::<usize>();
            (count > 0).then(|| {
                vec![
                    study.condition.name().to_owned(),
                    scenario.name().to_owned(),
                    count.to_string(),
                    with_error(rms(&values(study, |w| turn(w).map(|j| j.error))), 3),
                    percent_of(covered(study, 0.95, turn)),
                    percent_of(covered(study, 0.68, turn)),
                    percent_of(covered(study, 0.95, |w| here(w).then_some(w.score.airspeed).flatten())),
                ]
            })
        })
    });
    Table { name: "ordinary-scenarios", title: "Ordinary logs by scenario".to_owned(), head, rows: rows.collect() }
}
