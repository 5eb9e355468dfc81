//! The geometric fit: Gauss-Newton with Levenberg's damping on the centre, the radius projected out.
//!
//! For a given centre the best radius is the (weighted) mean distance, so only the two parts of the centre are
//! iterated. With unit vectors `u` from the centre and distances `d`, weighted sums give the reduced normal equations
//! `Σw (u-ū)(u-ū)ᵀ δ = Σw (u-ū) d`.

use super::algebraic::{Circle, Moments};
use super::correlation::variance_inflation;
use super::coverage::coverage_deg;
use super::{CircleError, CircleFit};
use crate::columns::{Pair, fill, sums};
use driftless_units::{Estimate, Ground, Velocity, Wind, median};
use nalgebra::{Matrix2, Vector2};

/// Residual beyond which it counts linearly and no longer by its square, in robust standard deviations (P. J. Huber,
/// Ann. Math. Statist. 35 (1964) 73-101): 95 % of the efficiency of least squares on Gaussian noise, bounded pull of
/// gusts and jumps.
pub(super) const HUBER_K: f64 = 1.345;
/// Standard deviation of a Gaussian from its median absolute value.
const MAD_TO_SD: f64 = 1.482_602_218_505_602;
/// A radius beyond this many times the spread of the velocities is an arc below 10°: a line.
const RADIUS_PER_SPREAD: f64 = 20.0;
/// Velocities farther from the median velocity than this many times the median of such distances are left out of the
/// second start (engineering judgement: on a full circle the farthest is at twice the median).
const FAR_PER_MEDIAN: f64 = 3.0;
const MAX_ITERATIONS: usize = 60;
/// The scale of the loss settles in this many rounds and then stays, so that the iteration has a fixed target.
const SCALE_ROUNDS: usize = 4;
/// Mean gradient at which the iteration stops, as a share of the radius: the weights of Huber's loss settle slowly.
const GRADIENT: f64 = 1e-9;
/// The same for plain least squares, which converges fast: rounding.
const GRADIENT_OF_SQUARES: f64 = 1e-13;

/// Fits one circle, with a knee of the loss at so many robust standard deviations; an infinite one is least squares.
///
/// # Errors
/// [`CircleError`] when there is no circle to be told.
pub(super) fn fit(velocities: &[Velocity<Ground>], knee_sds: f64) -> Result<CircleFit, CircleError> {
    const NEEDED: usize = 3;
    if velocities.len() < NEEDED {
        return Err(CircleError::TooFew { have: velocities.len(), needed: NEEDED });
    }
    if let Some(index) = velocities.iter().position(|v| !(v.east_mps.is_finite() && v.north_mps.is_finite())) {
        return Err(CircleError::NotFinite { index });
    }
    let cloud = Cloud {
        east: velocities.iter().map(|v| v.east_mps).collect(),
        north: velocities.iter().map(|v| v.north_mps).collect(),
    };
    let moments = Moments::new(&cloud.east, &cloud.north);
    let radius_limit = RADIUS_PER_SPREAD * moments.z().sqrt();
    let far_left_out = || cloud.near().and_then(|near| Moments::new(&near.east, &near.north).taubin());
    let starts = moments.taubin().into_iter().chain(if knee_sds.is_finite() { far_left_out() } else { None });
    let mut polar = Polar::of(velocities.len());
    let solved: Vec<Solved> =
        starts.filter_map(|start| iterate(&cloud, start, knee_sds, radius_limit, &mut polar).ok()).collect();
    // Compared at the narrower scale of the two: the circle that more velocities lie on wins.
    let knee = solved.iter().map(|s| s.knee).fold(f64::INFINITY, f64::min);
    let best = if solved.len() < 2 {
        solved.into_iter().next()
    } else {
        let mut cost = |s: &Solved| {
            polar.look(&cloud, s.centre);
            polar.cost(s.radius, knee)
        };
        solved.into_iter().map(|s| (cost(&s), s)).min_by(|a, b| a.0.total_cmp(&b.0)).map(|best| best.1)
    };
    let solved = best.ok_or(CircleError::NotACircle)?;
    polar.look(&cloud, solved.centre);
    Ok(describe(&polar, &solved))
}

/// Velocities in two columns.
struct Cloud {
    east: Vec<f64>,
    north: Vec<f64>,
}

impl Cloud {
    /// The velocities without those far outside the others, whose squares would drag an algebraic circle away; `None`
    /// when none is, or too few are left.
    fn near(&self) -> Option<Self> {
        let middle = |column: &[f64]| median(column.iter().copied()).unwrap_or(0.0);
        let (east, north) = (middle(&self.east), middle(&self.north));
        let squared: Vec<f64> =
            self.east.iter().zip(&self.north).map(|(e, n)| (e - east).powi(2) + (n - north).powi(2)).collect();
        let limit = FAR_PER_MEDIAN * FAR_PER_MEDIAN * middle(&squared);
        let count = squared.iter().filter(|s| **s <= limit).count();
        if count == squared.len() || count < 3 {
            return None;
        }
        let keep =
            |column: &[f64]| column.iter().zip(&squared).filter(|(_, s)| **s <= limit).map(|(v, _)| *v).collect();
        Some(Self { east: keep(&self.east), north: keep(&self.north) })
    }
}

/// The velocities as seen from a centre.
struct Polar {
    distance: Vec<f64>,
    /// Unit vector from the centre, east.
    east: Vec<f64>,
    /// Unit vector from the centre, north.
    north: Vec<f64>,
}

/// Weighted sums of one pass.
struct Sums {
    normal: Matrix2<f64>,
    gradient: Vector2<f64>,
    /// Sum of the weights.
    weight: f64,
    /// Mean unit vector.
    mean: Vector2<f64>,
    /// Mean distance off the circle.
    off: f64,
}

impl Polar {
    /// For so many velocities, not yet looked at.
    fn of(count: usize) -> Self {
        Self { distance: vec![0.0; count], east: vec![0.0; count], north: vec![0.0; count] }
    }

    fn look(&mut self, cloud: &Cloud, centre: Vector2<f64>) {
        let Self { distance, east, north } = self;
        fill([distance, east, north], [&cloud.east, &cloud.north], |[e, n]| {
            let (x, y) = (e - centre.x, n - centre.y);
            let distance = (x * x + y * y).sqrt();
            // A velocity at the centre itself has no direction; zero over this is none.
            let inverse = Pair::ONE / distance.fast_max(Pair::splat(f64::MIN_POSITIVE));
            [distance, x * inverse, y * inverse]
        });
    }

    /// Distances off a circle.
    fn off(&self, radius: f64) -> impl Iterator<Item = f64> {
        self.distance.iter().map(move |distance| distance - radius)
    }

    /// What the loss makes of the velocities' distances off a circle.
    fn cost(&self, radius: f64, knee: f64) -> f64 {
        let [cost] = sums([&self.distance], |[distance]| {
            let size = (distance - radius).abs();
            let within = size.fast_min(Pair::splat(knee));
            [within * (size - 0.5 * within)]
        });
        cost
    }

    fn weigh(&self, radius: f64, knee: f64) -> Sums {
        let knee = Pair::splat(knee);
        let [weight, ux, uy, uxx, uxy, uyy, off, ux_off, uy_off] =
            sums([&self.distance, &self.east, &self.north], |[distance, x, y]| {
                let off = distance - radius;
                let size = off.abs();
                let w = knee / size.fast_max(knee);
                let (wx, wy, w_off) = (w * x, w * y, w * off);
                [w, wx, wy, wx * x, wx * y, wy * y, w_off, x * w_off, y * w_off]
            });
        let mean = Vector2::new(ux, uy) / weight;
        Sums {
            normal: Matrix2::new(uxx, uxy, uxy, uyy) - mean * mean.transpose() * weight,
            gradient: Vector2::new(ux_off, uy_off) - mean * off,
            weight,
            mean,
            off: off / weight,
        }
    }

    fn knee(&self, radius: f64, knee_sds: f64) -> f64 {
        if knee_sds.is_infinite() {
            // Finite, as the weight is this over itself.
            return f64::MAX;
        }
        // Three points lie on a circle exactly; a knee of zero would divide by zero.
        knee_sds * MAD_TO_SD * median(self.off(radius).map(f64::abs)).unwrap_or(0.0).max(1e-9)
    }
}

/// Where the iteration ended.
struct Solved {
    centre: Vector2<f64>,
    radius: f64,
    /// Inverse of the reduced normal matrix.
    inverse: Matrix2<f64>,
    /// Sum of the weights.
    weight: f64,
    /// Mean unit vector.
    mean: Vector2<f64>,
    /// Residual beyond which the loss is linear.
    knee: f64,
}

fn iterate(
    cloud: &Cloud,
    start: Circle,
    knee_sds: f64,
    radius_limit: f64,
    polar: &mut Polar,
) -> Result<Solved, CircleError> {
    let squares = knee_sds.is_infinite();
    let tolerance = if squares { GRADIENT_OF_SQUARES } else { GRADIENT };
    let mut centre = Vector2::new(start.east, start.north);
    polar.look(cloud, centre);
    let mut radius = polar.distance.iter().sum::<f64>() / polar.distance.len() as f64;
    let mut knee = polar.knee(radius, knee_sds);
    let mut cost = polar.cost(radius, knee);
    let mut here = polar.weigh(radius, knee);
    let mut damping = 0.0;
    for round in 0..MAX_ITERATIONS {
        let mut normal = here.normal;
        let trace = normal.trace().max(f64::MIN_POSITIVE);
        normal += Matrix2::identity() * (damping * trace);
        let step = normal.try_inverse().ok_or(CircleError::NotACircle)? * here.gradient;
        let trial_centre = centre + step;
        // The radius follows the centre to first order, then settles by the mean residual.
        let trial_radius = radius + here.off - here.mean.dot(&step);
        if !(trial_radius > 0.0 && trial_radius < radius_limit) {
            if damping > 1e6 || !trial_radius.is_finite() || round + 1 == MAX_ITERATIONS {
                return Err(CircleError::NotACircle);
            }
            damping = (damping * 10.0_f64).max(1e-3);
            continue;
        }
        polar.look(cloud, trial_centre);
        let trial_cost = polar.cost(trial_radius, knee);
        if trial_cost <= cost * (1.0 + 1e-12) {
            (centre, radius, cost) = (trial_centre, trial_radius, trial_cost);
            damping = if damping > 1e-9 { damping * 0.1 } else { 0.0 };
            if !squares && round < SCALE_ROUNDS {
                knee = polar.knee(radius, knee_sds);
                cost = polar.cost(radius, knee);
            }
            here = polar.weigh(radius, knee);
        } else {
            damping = (damping * 10.0_f64).max(1e-4);
        }
        // Stop on the gradient, not on the step: a small step may be a slow descent along a valley.
        let settled = squares || round >= SCALE_ROUNDS;
        if settled && here.gradient.norm() <= tolerance * cloud.east.len() as f64 * radius || damping > 1e8 {
            break;
        }
    }
    if !(radius > 0.0 && radius < radius_limit) {
        return Err(CircleError::NotACircle);
    }
    let inverse = here.normal.try_inverse().ok_or(CircleError::NotACircle)?;
    if !(inverse.m11 > 0.0 && inverse.m22 > 0.0 && inverse.iter().all(|v| v.is_finite())) {
        return Err(CircleError::NotACircle);
    }
    Ok(Solved { centre, radius: radius + here.off, inverse, weight: here.weight, mean: here.mean, knee })
}

/// The circle found, with its uncertainty; `polar` is seen from it.
fn describe(polar: &Polar, solved: &Solved) -> CircleFit {
    let &Solved { centre, radius, weight, mean, knee, .. } = solved;
    let n = polar.distance.len() as f64;
    let dof = n - 3.0;
    // Huber's covariance: the variance of the clipped residuals over the squared share that is not clipped (P. J.
    // Huber, Robust Statistics, 1981, section 7.6). Least squares is the case with nothing clipped.
    let clipped: Vec<f64> = polar.off(radius).map(|off| off.clamp(-knee, knee)).collect();
    let unclipped = (polar.off(radius).filter(|off| off.abs() <= knee).count() as f64 / n).max(0.25);
    let inflation = variance_inflation(&clipped);
    let effective_dof = (dof / inflation).max(if dof > 0.0 { 1.0 } else { 0.0 });
    let [square] = sums([&clipped], |[off]| [off * off]);
    // The normal matrix carries the weights, whose mean stands for the share that is not clipped.
    let s2 = if dof > 0.0 { square / dof / unclipped.powi(2) * (weight / n) } else { 0.0 } * inflation;
    let centre_cov = solved.inverse * s2;
    let cross = -(centre_cov * mean);
    let radius_var = s2 / weight + mean.dot(&(centre_cov * mean));
    CircleFit {
        wind: Wind::new(centre.x, centre.y),
        airspeed_mps: Estimate::with_dof(radius, radius_var.sqrt(), effective_dof),
        cov: [
            [centre_cov.m11, centre_cov.m12, cross.x],
            [centre_cov.m12, centre_cov.m22, cross.y],
            [cross.x, cross.y, radius_var],
        ],
        residual_mps: (square / n).sqrt(),
        heading_coverage_deg: coverage_deg(&polar.east, &polar.north),
        effective_samples: n / inflation,
    }
}
