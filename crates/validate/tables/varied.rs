//! What is varied about the reference flights, and what it costs.

use super::{Table, by_flight, covered, error_rms, over_bound, percent, strings, with_error};
use crate::run::StudyScore;
use crate::statistics::{paired_rms_ratio, rms};
use crate::study::Variant;
use driftless_sim::reference::AirClass;

/// One row for each variant and class.
pub(super) fn variants(scores: &[StudyScore]) -> Table {
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

/// What rounding and missing orbits cost: rms errors over those of the same flights without.
pub(super) fn compared(scores: &[StudyScore]) -> Table {
    let head = strings(["rms error of `turn_rate`", "wanted", "still", "light", "moderate"]);
    let errors = |variant, class| {
        let study = scores.iter().find(|s| s.study.variant == variant && s.study.class == class)?;
        Some(by_flight(&study.flights, |w| w.turn.map(|j| j.error)))
    };
    let pairs = [
        ("IGC 0.001' over GPX, both 1 Hz", "≤ 1.3", Variant::Igc1Hz, Variant::Gpx1Hz),
        ("no orbits over reference", "≤ 2", Variant::NoOrbits, Variant::Reference),
        ("wind above airspeed over reference", "", Variant::StrongWind, Variant::Reference),
    ];
    let rows = pairs
        .into_iter()
        .filter_map(|(name, wanted, above, below)| {
            let ratios = AirClass::ALL.map(|class| {
                let (above, below) = (errors(above, class)?, errors(below, class)?);
                // The same seeds: as many flights of the one as there are of the other.
                let flights = above.len().min(below.len());
                Some(paired_rms_ratio(&above[..flights], &below[..flights]))
            });
            ratios.iter().any(Option::is_some).then(|| {
                let mut row = strings([name, wanted]);
                row.extend(ratios.map(|r| r.map_or("-".to_owned(), |r| with_error(r, 2))));
                row
            })
        })
        .collect();
    Table { name: "compared", title: "What rounding and missing orbits cost".to_owned(), head, rows }
}

/// Error against window length.
pub(super) fn lengths(scores: &[StudyScore]) -> Table {
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
