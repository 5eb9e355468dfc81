//! The figures as tables.

use super::InertialStudyScore;
use super::criteria::criteria;
use super::figures::{
    GPS_ALONE, OWN, WITH_GYRO, compasses, covered, error, flights, per_flight, rates, share_of, stated,
};
use super::score::InertialScore;
use super::study::{COMPASS_WINDOW_S, CompassState, Kind, LENGTHS_S};
use crate::statistics::rms;
use crate::tables::{Table, strings, with_error};
use driftless_display::reasons::compass_doubt;
use driftless_sim::reference::AirClass;

/// All tables of a run; those without data are left out.
pub fn tables(scores: &[InertialStudyScore]) -> Vec<Table> {
    [wishes(scores), lengths(scores), sensor(scores), compass(scores), no_turns(scores), refusals(scores)]
        .into_iter()
        .filter(|t| !t.rows.is_empty())
        .collect()
}

fn wishes(scores: &[InertialStudyScore]) -> Table {
    let row = |c: super::criteria::Criterion| {
        vec![c.what.clone(), c.wanted.clone(), with_error(c.got, c.places), c.verdict().words().to_owned()]
    };
    Table {
        name: "inertial-criteria",
        title: "What is wanted of inertial data".to_owned(),
        head: strings(["figure", "wanted", "got", "verdict"]),
        rows: criteria(scores).into_iter().map(row).collect(),
    }
}

/// Every class in which a kind was flown.
fn flown(scores: &[InertialStudyScore], kind: Kind) -> impl Iterator<Item = (AirClass, &[InertialScore])> {
    AirClass::ALL.into_iter().map(move |class| (class, flights(scores, class, kind))).filter(|(_, f)| !f.is_empty())
}

fn lengths(scores: &[InertialStudyScore]) -> Table {
    let head = strings([
        "window, s",
        "air",
        "flights",
        "gyro refused",
        "windows",
        "windows refused, with gyro / alone",
        "rms with gyro, °/s",
        "stated, °/s",
        "rms GPS alone, °/s",
        "with gyro: in 95 %, %",
        "in 68 %, %",
        "GPS alone: in 95 %, %",
        "in 68 %, %",
        "gyro's own change: rms, °/s",
        "in 95 %, %",
    ]);
    let row = |seconds: u32, class: AirClass, f: &[InertialScore]| {
        let [gyro, alone, own] = [WITH_GYRO, GPS_ALONE, OWN].map(|pick| rates(f, pick));
        let used = || f.iter().filter(|f| f.refused.is_none()).flat_map(|f| &f.windows);
        let refused =
            [used().filter(|w| !w.with_sensor.accepted).count(), used().filter(|w| !w.alone.accepted).count()];
        vec![
            seconds.to_string(),
            class.name().to_owned(),
            f.len().to_string(),
            f.iter().filter(|f| f.refused.is_some()).count().to_string(),
            gyro.iter().map(Vec::len).sum::<usize>().to_string(),
            format!("{} / {}", refused[0], refused[1]),
            with_error(error(&gyro), 4),
            with_error(stated(&gyro), 4),
            with_error(error(&alone), 4),
            with_error(covered(&gyro, 0.95), 1),
            with_error(covered(&gyro, 0.68), 1),
            with_error(covered(&alone, 0.95), 1),
            with_error(covered(&alone, 0.68), 1),
            with_error(error(&own), 4),
            with_error(covered(&own, 0.95), 1),
        ]
    };
    let rows = LENGTHS_S
        .into_iter()
        .flat_map(|seconds| flown(scores, Kind::Windows(seconds)).map(move |(class, f)| row(seconds, class, f)))
        .collect();
    Table { name: "inertial-lengths", title: "Turn rates with a gyro and without".to_owned(), head, rows }
}

/// Clock, bias and scale: one column for each class of air.
fn sensor(scores: &[InertialStudyScore]) -> Table {
    let classes: Vec<_> = flown(scores, Kind::Windows(60)).collect();
    let mut head = strings(["figure"]);
    head.extend(classes.iter().map(|(class, _)| class.name().to_owned()));
    let mut table = Table { name: "inertial-sensor", title: "Clock, bias, scale".to_owned(), head, rows: Vec::new() };
    if classes.is_empty() {
        return table;
    }
    let mut row = |name: String, value: &dyn Fn(&[InertialScore]) -> String| {
        let cells = classes.iter().map(|(_, f)| value(f));
        table.rows.push(std::iter::once(name).chain(cells).collect());
    };
    row("flights".to_owned(), &|f| f.len().to_string());
    row("aligned".to_owned(), &|f| f.iter().filter(|f| f.not_aligned.is_none()).count().to_string());
    let within = |f: &[InertialScore]| share_of(f.iter().filter_map(|f| f.clock), |clock| clock.error.abs() <= 0.05);
    row("clock offset: within 0.05 s, %".to_owned(), &|f| with_error(within(f), 1));
    let least = |f: &[InertialScore]| {
        let all: Vec<f64> = f.iter().filter_map(|f| f.clock_bound_s).collect();
        (all.iter().map(|s| s * s).sum::<f64>() / all.len() as f64).sqrt()
    };
    row("clock offset: least possible, rms, s".to_owned(), &|f| format!("{:.3}", least(f)));
    type Value = fn(&InertialScore) -> Option<crate::score::Judged>;
    let values: [(&str, &str, Value, usize); 3] = [
        ("clock offset", "s", |f| f.clock, 3),
        ("bias about the vertical", "°/s", |f| f.bias, 4),
        ("scale", "1", |f| f.scale, 4),
    ];
    for (name, unit, pick, places) in values {
        let of = |f: &[InertialScore]| per_flight(f, pick);
        row(format!("{name}: rms error, {unit}"), &|f| with_error(error(&of(f)), places));
        row(format!("{name}: stated, rms, {unit}"), &|f| with_error(stated(&of(f)), places));
        row(format!("{name}: in the 95 % interval, %"), &|f| with_error(covered(&of(f), 0.95), 1));
        row(format!("{name}: in the 68 % interval, %"), &|f| with_error(covered(&of(f), 0.68), 1));
    }
    table
}

fn compass(scores: &[InertialStudyScore]) -> Table {
    let head = strings([
        "compass",
        "air",
        "flights",
        "found consistent, %",
        "in the estimate, %",
        "its headings: rms error, °",
        "largest of a flight, °",
        "hard iron, level: rms error, µT",
        "along down, µT",
        "turn rate, 60 s: rms error, °/s",
        "in 95 %, %",
        "without the magnetometer, °/s",
        "GPS alone, °/s",
    ]);
    let row = |state: CompassState, class: AirClass, f: &[InertialScore]| {
        let used = || compasses(f).filter(|c| c.consistent);
        let headings: Vec<Vec<f64>> = used().map(|c| c.heading_errors_deg.clone()).collect();
        let of_flight = headings.iter().map(|errors| rms(std::slice::from_ref(errors)).value);
        let largest = of_flight.fold(f64::NAN, f64::max);
        let iron = |value: fn(&super::score::CompassScore) -> f64| {
            with_error(rms(&used().map(|c| vec![value(c)]).collect::<Vec<_>>()), 2)
        };
        let rate = rates(f, WITH_GYRO);
        // The same seeds make the same flights, but for the magnetometer.
        let gyro_only = flights(scores, class, Kind::Windows(COMPASS_WINDOW_S));
        let without = &gyro_only[..f.len().min(gyro_only.len())];
        let consistent = share_of(f, |f| f.compass.as_ref().is_some_and(|c| c.consistent));
        vec![
            state.name().to_owned(),
            class.name().to_owned(),
            f.len().to_string(),
            with_error(consistent, 1),
            with_error(share_of(f, |f| f.compass.as_ref().is_some_and(|c| c.in_estimate)), 1),
            with_error(rms(&headings), 2),
            if largest.is_finite() { format!("{largest:.1}") } else { "-".to_owned() },
            iron(|c| c.iron_level_ut),
            iron(|c| c.iron_down_ut),
            with_error(error(&rate), 4),
            with_error(covered(&rate, 0.95), 1),
            with_error(error(&rates(without, WITH_GYRO)), 4),
            with_error(error(&rates(f, GPS_ALONE)), 4),
        ]
    };
    let rows = CompassState::ALL
        .into_iter()
        .flat_map(|state| flown(scores, Kind::Compass(state)).map(move |(class, f)| row(state, class, f)))
        .collect();
    Table { name: "inertial-compass", title: "Compass".to_owned(), head, rows }
}

/// What becomes of the clock offset on flights that do not tell it.
fn no_turns(scores: &[InertialStudyScore]) -> Table {
    let head = strings([
        "air",
        "flights",
        "offset unknown, %",
        "offsets given",
        "rms error, s",
        "stated, s",
        "in 95 %",
        "unknown or held, %",
        "gyro in the estimate",
    ]);
    let rows = flown(scores, Kind::NoTurns)
        .map(|(class, f)| {
            let clocks = per_flight(f, |f| f.clock);
            let held = clocks.iter().flatten().filter(|j| j.covered(0.95)).count();
            vec![
                class.name().to_owned(),
                f.len().to_string(),
                with_error(share_of(f, |f| f.clock.is_none()), 1),
                clocks.len().to_string(),
                with_error(error(&clocks), 3),
                with_error(stated(&clocks), 3),
                held.to_string(),
                with_error(share_of(f, |f| f.clock.is_none_or(|j| j.covered(0.95))), 1),
                f.iter().filter(|f| f.refused.is_none()).count().to_string(),
            ]
        })
        .collect();
    Table { name: "inertial-no-turns", title: "Flights without turns".to_owned(), head, rows }
}

/// Why the gyro has no part in the estimate, and why compasses were left out; most frequent first in each kind of flight.
fn refusals(scores: &[InertialStudyScore]) -> Table {
    let mut rows = Vec::new();
    for s in scores {
        let gyro = s.flights.iter().filter_map(|f| f.refused.clone()).map(|why| ("gyro", why));
        let compass = compasses(&s.flights).flat_map(|c| &c.doubts).map(|doubt| ("compass", compass_doubt(doubt)));
        let mut counts: Vec<(&str, String, usize)> = Vec::new();
        for (what, why) in gyro.chain(compass) {
            let reason = without_figures(&why);
            match counts.iter_mut().find(|c| c.0 == what && c.1 == reason) {
                Some(known) => known.2 += 1,
                None => counts.push((what, reason, 1)),
            }
        }
        counts.sort_by_key(|c| std::cmp::Reverse(c.2));
        rows.extend(counts.into_iter().map(|(what, reason, count)| {
            let flights = format!("{}, {}", s.study.kind.name(), s.study.class.name());
            vec![flights, what.to_owned(), reason, count.to_string(), s.flights.len().to_string()]
        }));
    }
    let head = strings(["flights", "what was left out", "why", "on flights", "of"]);
    Table { name: "inertial-refusals", title: "What was left out, and why".to_owned(), head, rows }
}

/// A message with its numbers taken out, so that like messages are counted together.
fn without_figures(message: &str) -> String {
    let mut out = String::new();
    for word in message.replace('\u{2212}', "-").split(' ') {
        let number = word.trim_matches(|c: char| !c.is_ascii_digit() && c != '-');
        let shown = if !number.is_empty() && number.parse::<f64>().is_ok() {
            word.replace(number, "…")
        } else {
            word.to_owned()
        };
        if !out.is_empty() {
            out.push(' ');
        }
        out.push_str(&shown);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::without_figures;

    #[test]
    fn like_messages_are_counted_together() {
        let said = "its uncertainty is 0.6 s and the turn rates correlate by 0.42";
        assert_eq!(without_figures(said), "its uncertainty is … s and the turn rates correlate by …");
        assert_eq!(without_figures("points within 90° only"), "points within …° only");
    }
}
