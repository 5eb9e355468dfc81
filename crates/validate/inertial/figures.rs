//! Scores to figures. A flight is the unit of every standard error: its windows share wind, sensor and alignment.

use super::InertialStudyScore;
use super::score::{CompassScore, InertialScore, WindowPair};
use super::study::Kind;
use crate::score::Judged;
use crate::statistics::{Figure, paired_rms_ratio, rms, share};
use driftless_sim::reference::AirClass;

/// A window's rate by one of the roads.
pub(crate) type Pick = fn(&WindowPair) -> Option<Judged>;

/// With the gyro.
pub(crate) const WITH_GYRO: Pick = |w| w.with_sensor.turn;
/// GPS alone, the same windows.
pub(crate) const GPS_ALONE: Pick = |w| w.alone.turn;
/// The gyro's own heading change.
pub(crate) const OWN: Pick = |w| w.own;

/// The flights of one kind in one class of air; empty when they were not flown.
pub(crate) fn flights(scores: &[InertialStudyScore], class: AirClass, kind: Kind) -> &[InertialScore] {
    let found = scores.iter().find(|s| s.study.class == class && s.study.kind == kind);
    found.map_or(&[], |s| &s.flights)
}

/// Rates of the windows that count, flight by flight: accepted, on flights with the gyro in the estimate. GPS alone is
/// taken of the same windows, whether or not it would have accepted them.
pub(crate) fn rates(flights: &[InertialScore], pick: Pick) -> Vec<Vec<Judged>> {
    let used = flights.iter().filter(|f| f.refused.is_none());
    used.map(|f| f.windows.iter().filter(|w| w.with_sensor.accepted).filter_map(pick).collect()).collect()
}

/// Root-mean-square error.
pub(crate) fn error(judged: &[Vec<Judged>]) -> Figure {
    rms(&map(judged, |j| j.error))
}

/// Root-mean-square of what was stated.
pub(crate) fn stated(judged: &[Vec<Judged>]) -> Figure {
    rms(&map(judged, |j| j.std_u))
}

/// Share of intervals of this probability that hold the truth, %.
pub(crate) fn covered(judged: &[Vec<Judged>], probability: f64) -> Figure {
    percent(share(&map(judged, |j| j.covered(probability))))
}

/// Values of the flights that have them, each flight for itself.
pub(crate) fn per_flight(
    flights: &[InertialScore],
    pick: impl Fn(&InertialScore) -> Option<Judged>,
) -> Vec<Vec<Judged>> {
    flights.iter().filter_map(pick).map(|j| vec![j]).collect()
}

/// Root-mean-square error of some flights over that of others of the same seeds, on those whose gyro was used in both.
pub(crate) fn error_ratio(above: &[InertialScore], below: &[InertialScore], pick: Pick) -> Figure {
    let pairs = above.iter().zip(below).filter(|(a, b)| a.seed == b.seed && a.refused.is_none() && b.refused.is_none());
    let (above, below): (Vec<_>, Vec<_>) = pairs.map(|(a, b)| (a.clone(), b.clone())).unzip();
    let errors = |flights: &[InertialScore]| map(&rates(flights, pick), |j| j.error);
    paired_rms_ratio(&errors(&above), &errors(&below))
}

/// Compasses of the flights that have one.
pub(crate) fn compasses(flights: &[InertialScore]) -> impl Iterator<Item = &CompassScore> {
    flights.iter().filter_map(|f| f.compass.as_ref())
}

/// Share of flights, %.
pub(crate) fn share_of<T>(items: impl IntoIterator<Item = T>, holds: impl Fn(T) -> bool) -> Figure {
    percent(share(&items.into_iter().map(|item| vec![holds(item)]).collect::<Vec<_>>()))
}

/// The same in percent.
pub(crate) fn percent(figure: Figure) -> Figure {
    Figure { value: 100.0 * figure.value, std_error: 100.0 * figure.std_error, ..figure }
}

fn map<T>(judged: &[Vec<Judged>], value: impl Fn(&Judged) -> T) -> Vec<Vec<T>> {
    judged.iter().map(|f| f.iter().map(&value).collect()).collect()
}
