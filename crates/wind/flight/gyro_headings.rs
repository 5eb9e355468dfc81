//! A gyro's increments, summed to headings at the nodes of an estimate.

use super::constants::{LONGEST_SPLIT_S, SAME_TIME_S};
use super::gyro::GyroRates;
use super::nodes::NodeInput;

/// The gyro's heading at one node.
#[derive(Debug, Clone, Copy)]
pub(super) struct GyroReading {
    pub(super) heading_rad: f64,
    pub(super) variance_rad2: f64,
    /// Variance of the white noise summed since the run began.
    pub(super) summed_rad2: f64,
    /// Number of the run of increments without gaps that it belongs to.
    pub(super) run: usize,
}

/// The gyro's heading where increments meet.
struct Knot {
    t_s: f64,
    heading_rad: f64,
    end_rad2: f64,
    summed_rad2: f64,
    run: usize,
}

fn knots(rates: &GyroRates) -> Vec<Knot> {
    let mut knots: Vec<Knot> = Vec::with_capacity(rates.increments.len() + 1);
    for increment in &rates.increments {
        let end_rad2 = increment.end_std_u_rad.powi(2);
        let before_s = knots.last().map_or(f64::NEG_INFINITY, |k| k.t_s);
        if increment.end_s <= increment.start_s || increment.start_s < before_s - SAME_TIME_S.value {
            continue;
        }
        if increment.start_s > before_s + SAME_TIME_S.value {
            let run = knots.last().map_or(0, |k| k.run + 1);
            knots.push(Knot { t_s: increment.start_s, heading_rad: 0.0, end_rad2, summed_rad2: 0.0, run });
        }
        let Some(last) = knots.last() else { continue };
        knots.push(Knot {
            t_s: increment.end_s,
            heading_rad: last.heading_rad + increment.turn_rad,
            end_rad2,
            summed_rad2: last.summed_rad2 + increment.white_std_u_rad.powi(2),
            run: last.run,
        });
    }
    knots
}

/// The gyro's heading at each node; `headings_rad` are those of a trajectory, near which each run begins.
pub(super) fn readings(rates: &GyroRates, nodes: &[NodeInput], headings_rad: &[f64]) -> Vec<Option<GyroReading>> {
    let knots = knots(rates);
    let mut readings: Vec<Option<GyroReading>> = nodes.iter().map(|node| reading_at(&knots, node.t_s)).collect();
    let mut shift: Option<(usize, f64)> = None;
    for (reading, heading_rad) in readings.iter_mut().zip(headings_rad) {
        let Some(reading) = reading else { continue };
        let shift_rad = match shift {
            Some((run, shift_rad)) if run == reading.run => shift_rad,
            _ => heading_rad - reading.heading_rad,
        };
        shift = Some((reading.run, shift_rad));
        reading.heading_rad += shift_rad;
    }
    readings
}

fn reading_at(knots: &[Knot], t_s: f64) -> Option<GyroReading> {
    let i = knots.partition_point(|k| k.t_s < t_s - SAME_TIME_S.value);
    let after = knots.get(i)?;
    let joined = |a: Option<&Knot>| a.is_some_and(|a| a.run == after.run);
    let before = i.checked_sub(1).and_then(|i| knots.get(i)).filter(|b| joined(Some(b)));
    if after.t_s <= t_s + SAME_TIME_S.value {
        return Some(GyroReading {
            heading_rad: after.heading_rad,
            variance_rad2: after.end_rad2,
            summed_rad2: after.summed_rad2,
            run: after.run,
        });
    }
    let before = before.filter(|b| after.t_s - b.t_s <= LONGEST_SPLIT_S.value)?;
    let share = (t_s - before.t_s) / (after.t_s - before.t_s);
    let mix = |of: fn(&Knot) -> f64| of(before) + share * (of(after) - of(before));
    Some(GyroReading {
        heading_rad: mix(|k| k.heading_rad),
        variance_rad2: mix(|k| k.end_rad2),
        summed_rad2: mix(|k| k.summed_rad2),
        run: after.run,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn knot(t_s: f64, heading_rad: f64, run: usize) -> Knot {
        Knot { t_s, heading_rad, end_rad2: 0.1 * heading_rad, summed_rad2: 0.01 * heading_rad, run }
    }

    #[test]
    fn between_two_knots_of_a_run_the_heading_is_in_proportion() {
        let knots = [knot(10.0, 1.0, 0), knot(11.0, 2.0, 0), knot(20.0, 5.0, 1), knot(22.0, 9.0, 1)];
        let at = |t_s: f64| reading_at(&knots, t_s).map(|reading| (reading.heading_rad, reading.run));
        assert_eq!((at(10.0), at(11.0), at(20.0)), (Some((1.0, 0)), Some((2.0, 0)), Some((5.0, 1))));
        let reading = reading_at(&knots, 10.25).expect("between");
        for (got, expected) in
            [(reading.heading_rad, 1.25), (reading.variance_rad2, 0.125), (reading.summed_rad2, 0.0125)]
        {
            assert!((got - expected).abs() < 1e-12, "{reading:?}");
        }
        assert_eq!(at(15.0), None, "between two runs");
        assert_eq!(at(21.0), None, "too long to be split");
        assert_eq!((at(9.0), at(23.0)), (None, None), "before and after");
    }
}
