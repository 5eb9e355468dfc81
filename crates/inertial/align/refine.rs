//! Clock offset, drift, bias and scale together, by least squares on heading changes.
//!
//! Both sides are heading changes over the same few seconds, so both are smoothed alike and a steady bias is a
//! constant: change of the estimate = scale (change of the gyro - bias · length). The gyro's heading is taken at the
//! time of the estimate's node less the offset. Errors of neighbouring seconds go together and turns are few, so the
//! covariance comes from the data: the delete-one jackknife over blocks (B. Efron & C. Stein, *The jackknife estimate
//! of variance*, Annals of Statistics 9 (1981) 586-596), in one linear step each.

use super::FlightNodes;
use crate::attitude::AttitudePath;
use crate::constants::{ALIGN_MOST_STEPS, BLOCK_S, CHANGE_S, FEWEST_CHANGES, SLOWEST_AIR_MPS};
use crate::robust::{huber, spread};
use driftless_units::Estimate;
use nalgebra::{SMatrix, SVector};

/// Offset, drift over the half length, bias, scale - 1, error of the estimate's wind (east, north).
type Vector = SVector<f64, 6>;
type Matrix = SMatrix<f64, 6, 6>;

/// What is known beforehand, as standard deviations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Priors {
    /// Drift of the clocks against each other (crystals: 20 to 50 parts in a million; common practice, no source).
    pub(super) drift: f64,
    /// Remaining bias about the vertical, rad/s.
    pub(super) bias_rad_s: f64,
    /// Scale error (1 to 3 % on data sheets of such sensors; common practice, no source).
    pub(super) scale: f64,
}

/// The result, with standard uncertainties.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Refined {
    pub(super) offset_s: Estimate<f64>,
    pub(super) drift: Estimate<f64>,
    pub(super) bias_rad_s: Estimate<f64>,
    pub(super) scale: Estimate<f64>,
    /// Moment (track time) at which the offset holds.
    pub(super) at_s: f64,
    /// Correlation of the turn rates over [`CHANGE_S`] at the result.
    pub(super) correlation: f64,
    /// Spread of the differences of those turn rates, rad/s.
    pub(super) residual_rad_s: f64,
}

/// One comparison.
struct Row {
    /// Track time of the middle, from the middle of the flight, over the half length.
    u: f64,
    t_s: [f64; 2],
    change_rad: f64,
    length_s: f64,
    /// Change of the heading by a metre per second more wind from the estimate, east and north.
    by_wind: [f64; 2],
}

/// Refines `offset_s` (track time = sensor time + offset) and the rest. `None` when too little is left to compare.
pub(super) fn refine(
    nodes: &FlightNodes<'_>,
    path: &AttitudePath,
    width_s: f64,
    offset_s: f64,
    priors: &Priors,
) -> Option<Refined> {
    let rows = rows(nodes)?;
    let [from_s, to_s] = nodes.span_s()?;
    let (at_s, half_s) = (0.5 * (from_s + to_s), 0.5 * (to_s - from_s));
    let mut x = Vector::new(offset_s, 0.0, 0.0, 0.0, 0.0, 0.0);
    let prior_std_u = Vector::new(
        f64::INFINITY,
        priors.drift * half_s,
        priors.bias_rad_s,
        priors.scale,
        nodes.wind_std_u_mps,
        nodes.wind_std_u_mps,
    );
    let mut solved = None;
    for _ in 0..ALIGN_MOST_STEPS.count() {
        let step = Step::new(&rows, path, width_s, &x)?;
        let Solved { covariance, dof, change } = step.solve(&x, &prior_std_u)?;
        x += change;
        solved = Some((covariance, dof, step.correlation, step.spread));
        if change[0].abs() < 1e-4 {
            break;
        }
    }
    let (covariance, dof, correlation, residual) = solved?;
    let estimate =
        |i: usize, value: f64, unit: f64| Estimate::with_dof(value, covariance[(i, i)].max(0.0).sqrt() / unit, dof);
    Some(Refined {
        offset_s: estimate(0, x[0], 1.0),
        drift: estimate(1, x[1] / half_s, half_s),
        bias_rad_s: estimate(2, x[2], 1.0),
        scale: estimate(3, 1.0 + x[3], 1.0),
        at_s,
        correlation,
        residual_rad_s: residual / CHANGE_S.value,
    })
}

/// Slope of the estimate's heading changes over the gyro's, without any prior, and their correlation: a unit mistake
/// shows as a slope of 57.3 or its inverse. `None` when too little is left to compare.
pub(super) fn slope(nodes: &FlightNodes<'_>, path: &AttitudePath, width_s: f64, offset_s: f64) -> Option<(f64, f64)> {
    let rows = rows(nodes)?;
    let pairs: Vec<(f64, f64)> = rows
        .iter()
        .filter_map(|row| {
            let sensor_s = row.t_s.map(|t| t - offset_s);
            if path.is_steep(sensor_s) {
                return None;
            }
            let [a, b] = sensor_s.map(|t| path.mean_heading(t, width_s));
            Some((b? - a?, row.change_rad))
        })
        .collect();
    if pairs.len() < FEWEST_CHANGES.count() {
        return None;
    }
    let n = pairs.len() as f64;
    let (mx, my) = pairs.iter().fold((0.0, 0.0), |s, p| (s.0 + p.0 / n, s.1 + p.1 / n));
    let (xx, xy, yy) = pairs.iter().fold((0.0, 0.0, 0.0), |s, p| {
        let (dx, dy) = (p.0 - mx, p.1 - my);
        (s.0 + dx * dx, s.1 + dx * dy, s.2 + dy * dy)
    });
    let slope = xy / xx;
    slope.is_finite().then(|| (slope, xy / (xx * yy).sqrt()))
}

fn rows(nodes: &FlightNodes<'_>) -> Option<Vec<Row>> {
    let [from_s, to_s] = nodes.span_s()?;
    let (middle_s, half_s) = (0.5 * (from_s + to_s), 0.5 * (to_s - from_s));
    let count = ((to_s - from_s - CHANGE_S.value).max(0.0)) as usize;
    let rows: Vec<Row> = (0..count)
        .filter_map(|k| {
            let start_s = from_s + k as f64;
            let end_s = start_s + CHANGE_S.value;
            let change_rad = nodes.heading_at(end_s)? - nodes.heading_at(start_s)?;
            let u = (0.5 * (start_s + end_s) - middle_s) / half_s;
            let [a, b] = [wind_slope(nodes, start_s)?, wind_slope(nodes, end_s)?];
            let by_wind = [b[0] - a[0], b[1] - a[1]];
            Some(Row { u, t_s: [start_s, end_s], change_rad, length_s: CHANGE_S.value, by_wind })
        })
        .collect();
    (rows.len() >= FEWEST_CHANGES.count()).then_some(rows)
}

/// By how much the estimate's heading is off for each metre per second that its wind is off: ψ is the direction of ground
/// velocity less wind, so dψ = (-cos ψ dw_east + sin ψ dw_north) / V.
fn wind_slope(nodes: &FlightNodes<'_>, t_s: f64) -> Option<[f64; 2]> {
    let (sin, cos) = nodes.heading_at(t_s)?.sin_cos();
    let airspeed_mps = nodes.turn_at(t_s)?.airspeed_mps.max(SLOWEST_AIR_MPS.value);
    Some([-cos / airspeed_mps, sin / airspeed_mps])
}

/// Covariance, the degrees of freedom behind it, and the step.
struct Solved {
    covariance: Matrix,
    dof: f64,
    change: Vector,
}

/// One linearised problem.
struct Step {
    rows: Vec<(Vector, f64, f64)>,
    spread: f64,
    correlation: f64,
}

impl Step {
    fn new(rows: &[Row], path: &AttitudePath, width_s: f64, x: &Vector) -> Option<Self> {
        let mut linear: Vec<(Vector, f64, f64)> = Vec::with_capacity(rows.len());
        let (mut seen, mut meant) = (Vec::new(), Vec::new());
        for row in rows {
            let sensor_s = row.t_s.map(|t| t - x[0] - x[1] * row.u);
            let at = |t: f64| path.mean_heading(t, width_s);
            if path.is_steep(sensor_s) {
                continue;
            }
            let delta = 0.1;
            // A mean is enough for a slope, and needs less time about it.
            let mean = |t: f64| path.mean_heading(t, width_s);
            let slope = |t: f64| Some((mean(t + delta)? - mean(t - delta)?) / (2.0 * delta));
            let (Some(a), Some(b), Some(sa), Some(sb)) =
                (at(sensor_s[0]), at(sensor_s[1]), slope(sensor_s[0]), slope(sensor_s[1]))
            else {
                continue;
            };
            let scale = 1.0 + x[3];
            let change = b - a - x[2] * row.length_s;
            let by_time = -scale * (sb - sa);
            let [east, north] = row.by_wind;
            let jacobian = Vector::new(by_time, by_time * row.u, -scale * row.length_s, change, east, north);
            linear.push((jacobian, row.change_rad - scale * change - east * x[4] - north * x[5], 1.0));
            seen.push(change);
            meant.push(row.change_rad);
        }
        if linear.len() < FEWEST_CHANGES.count() {
            return None;
        }
        let spread = spread(&linear.iter().map(|r| r.1).collect::<Vec<_>>()).max(1e-9);
        for row in &mut linear {
            row.2 = huber(row.1 / spread);
        }
        Some(Self { rows: linear, spread, correlation: correlation(&seen, &meant) })
    }

    /// How much larger the variances are than errors that know nothing of each other would make them, by leaving out one
    /// block at a time (linearised): the mean over the parameters of jackknife over plain variance. One factor for all,
    /// because few blocks turn, and single jackknife variances rest on few of them.
    fn inflation(&self, normal: &Matrix, inverse: &Matrix, variance: f64) -> Option<f64> {
        let blocks = self.rows.chunks(BLOCK_S.count());
        let count = blocks.len() as f64;
        let mut sums = Vector::zeros();
        for block in blocks {
            let (mut part, mut score) = (Matrix::zeros(), Vector::zeros());
            for (jacobian, residual, weight) in block {
                part += jacobian * jacobian.transpose() * *weight;
                score += jacobian * (residual * weight);
            }
            let without = (normal - part).try_inverse()? * score;
            sums += without.map(|d| d * d);
        }
        let ratios = Vector::from_fn(|i, _| sums[i] * (count - 1.0) / count / (variance * inverse[(i, i)]));
        Some((ratios.sum() / ratios.len() as f64).max(1.0))
    }

    /// Covariance and the step: least squares with priors, the data's weight lowered by the inflation.
    fn solve(&self, x: &Vector, prior_std_u: &Vector) -> Option<Solved> {
        let (mut normal, mut right, mut squares) = (Matrix::zeros(), Vector::zeros(), 0.0);
        for (jacobian, residual, weight) in &self.rows {
            normal += jacobian * jacobian.transpose() * *weight;
            right += jacobian * (residual * weight);
            squares += residual * residual * weight;
        }
        // A hair of ridge: without any turning in one half the drift would have no information at all.
        let scale = Vector::from_fn(|i, _| normal[(i, i)].max(1e-12));
        let ridged = normal + Matrix::from_diagonal(&(scale * 1e-9));
        let inverse = ridged.try_inverse()?;
        let variance = squares / self.rows.len() as f64;
        let variance = variance * self.inflation(&ridged, &inverse, variance)?;
        let prior = prior_std_u.map(|s| 1.0 / (s * s));
        let pulled = Vector::from_fn(|i, _| prior[i] * x[i]);
        let covariance = (ridged / variance + Matrix::from_diagonal(&prior)).try_inverse()?;
        let change = covariance * (right / variance - pulled);
        // One factor is estimated, from so many blocks.
        let dof = (self.rows.len() as f64 / BLOCK_S.value - 1.0).max(1.0);
        // A time step longer than this leaves the range in which the rates are straight lines.
        let damped = (0.5 / change[0].abs().max(0.5)).min(1.0);
        change.iter().all(|c| c.is_finite()).then_some(Solved { covariance, dof, change: change * damped })
    }
}

fn correlation(a: &[f64], b: &[f64]) -> f64 {
    let n = a.len() as f64;
    let (ma, mb) = (a.iter().sum::<f64>() / n, b.iter().sum::<f64>() / n);
    let (mut aa, mut ab, mut bb) = (0.0, 0.0, 0.0);
    for (x, y) in a.iter().zip(b) {
        aa += (x - ma) * (x - ma);
        ab += (x - ma) * (y - mb);
        bb += (y - mb) * (y - mb);
    }
    ab / (aa * bb).sqrt()
}
