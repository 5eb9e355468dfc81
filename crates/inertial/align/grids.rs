//! Turn rates on an even grid, for the coarse lag.

use super::FlightNodes;
use super::coarse::Series;
use crate::constants::{GRID_MEAN_S, GRID_S};
use crate::log::Stream;
use nalgebra::Vector3;

/// Rate about down, mean over [`GRID_MEAN_S`], each [`GRID_S`]; and the time of the first.
pub(super) fn gyro_grid(gyro: &Stream, down: [f64; 3], bias_rad_s: [f64; 3]) -> (Series, f64) {
    let (down, bias) = (Vector3::from(down), Vector3::from(bias_rad_s));
    let [from_s, to_s] = gyro.span_s().unwrap_or_default();
    let cells = ((to_s - from_s) / GRID_S.value) as usize + 1;
    let mut sums = vec![(0.0, 0_u32); cells];
    for (i, &t_s) in gyro.t_s.iter().enumerate() {
        let cell = &mut sums[((t_s - from_s) / GRID_S.value) as usize];
        cell.0 += (Vector3::from(gyro.at(i)) - bias).dot(&down);
        cell.1 += 1;
    }
    let half = (0.5 * GRID_MEAN_S.value / GRID_S.value) as usize;
    let series = (0..cells)
        .map(|k| {
            let span = sums.get(k.checked_sub(half)?..=k + half)?;
            // A gap in the span leaves the mean unknown.
            span.iter().all(|c| c.1 > 0).then(|| {
                let (sum, n) = span.iter().fold((0.0, 0.0), |(sum, n), c| (sum + c.0, n + f64::from(c.1)));
                sum / n
            })
        })
        .collect();
    // A cell is known by its middle.
    (series, from_s + 0.5 * GRID_S.value)
}

/// The estimate's turn rate each [`GRID_S`], and the time of the first.
pub(super) fn flight_grid(nodes: &FlightNodes<'_>) -> (Series, f64) {
    let [from_s, to_s] = nodes.span_s().unwrap_or_default();
    let cells = ((to_s - from_s) / GRID_S.value) as usize + 1;
    ((0..cells).map(|k| Some(nodes.turn_at(from_s + k as f64 * GRID_S.value)?.rate_rad_s)).collect(), from_s)
}
