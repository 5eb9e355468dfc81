//! The geometric fit: Gauss-Newton with Levenberg's damping on the common centre, radii projected out.
//!
//! For a given centre the best radius of each group is the (weighted) mean distance, so only the two parts of the
//! centre are iterated, whatever the number of groups. With unit vectors `u` from the centre and distances `d`,
//! weighted sums give the reduced normal equations `Σw (u-ū)(u-ū)ᵀ δ = Σw (u-ū) d`.

use super::algebraic::{Circle, Moments};
use super::correlation::variance_inflation;
use super::{CircleError, CircleFit, ConcentricFit};
use driftless_units::{Estimate, Ground, Velocity, Wind, median};
use nalgebra::{Matrix2, Vector2};

/// How large residuals count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Loss {
    /// By their square: least squares.
    Squares,
    /// By their square up to 1.345 robust standard deviations, linearly beyond (P. J. Huber, Ann. Math. Statist. 35
    /// (1964) 73-101): 95 % of the efficiency of least squares on Gaussian noise, bounded pull of gusts and jumps.
    Huber,
}

const HUBER_K: f64 = 1.345;
/// Standard deviation of a Gaussian from its median absolute value.
const MAD_TO_SD: f64 = 1.482_602_218_505_602;
/// A radius beyond this many times the spread of the velocities is an arc below 10°: a line.
const RADIUS_PER_SPREAD: f64 = 20.0;
const MAX_ITERATIONS: usize = 60;
/// The scale of the loss settles in this many rounds and then stays, so that the iteration has a fixed target.
const SCALE_ROUNDS: usize = 4;
/// Mean gradient at which the iteration stops, as a share of the radius: rounding for least squares, which converges
/// fast; a hundred-millionth of the radius for Huber's loss, whose weights settle slowly.
const GRADIENT_SQUARES: f64 = 1e-13;
const GRADIENT_HUBER: f64 = 1e-9;

/// Fits circles round one centre with a given loss: [`super::fit_concentric`], which see.
///
/// # Errors
/// [`CircleError`] when there is no circle to be told.
pub(super) fn fit_concentric_with(groups: &[&[Velocity<Ground>]], loss: Loss) -> Result<ConcentricFit, CircleError> {
    let (circles, first) = fit(groups, loss)?;
    Ok(ConcentricFit { wind: first.wind, circles })
}

/// Fits one circle per group; also hands back the first by itself.
pub(super) fn fit(groups: &[&[Velocity<Ground>]], loss: Loss) -> Result<(Vec<CircleFit>, CircleFit), CircleError> {
    let have: usize = groups.iter().map(|g| g.len()).sum();
    let needed = 2 + groups.len().max(1);
    if have < needed || groups.iter().any(|g| g.is_empty()) {
        return Err(CircleError::TooFew { have, needed });
    }
    let all = || groups.iter().flat_map(|g| g.iter());
    if let Some(index) = all().position(|v| !(v.east_mps.is_finite() && v.north_mps.is_finite())) {
        return Err(CircleError::NotFinite { index });
    }
    let spread = Moments::new(all()).z().sqrt();
    let limit = RADIUS_PER_SPREAD * spread;
    let solved: Vec<Solved> =
        starts(groups, loss).into_iter().filter_map(|start| iterate(groups, start, loss, limit).ok()).collect();
    // Compared at the narrower scale of the two: the circle that more velocities lie on wins.
    let knee = solved.iter().map(|s| s.knee).fold(f64::INFINITY, f64::min);
    let cost = |s: &Solved| pass(groups, s.centre, &s.radii, knee).cost;
    let best = solved.into_iter().min_by(|a, b| cost(a).total_cmp(&cost(b)));
    let solved = best.ok_or(CircleError::NotACircle)?;
    let circles = describe(groups, &solved, loss);
    match circles.first() {
        Some(&first) => Ok((circles, first)),
        None => Err(CircleError::TooFew { have, needed }),
    }
}

/// Taubin's circle of the group whose velocities are most and widest spread; and, for the robust fit, the same
/// without velocities far outside the others, whose squares would drag the first one away.
fn starts(groups: &[&[Velocity<Ground>]], loss: Loss) -> Vec<Circle> {
    let weighed = groups.iter().filter(|g| g.len() > 2).map(|g| (g.len() as f64 * Moments::new(g.iter()).z(), g));
    let group: Vec<Velocity<Ground>> = match weighed.max_by(|a, b| a.0.total_cmp(&b.0)) {
        Some((_, widest)) => widest.to_vec(),
        None => groups.concat(),
    };
    let mut found = Vec::from_iter(Moments::new(group.iter()).taubin());
    if loss == Loss::Huber {
        let east = median(group.iter().map(|v| v.east_mps)).unwrap_or(0.0);
        let north = median(group.iter().map(|v| v.north_mps)).unwrap_or(0.0);
        let distance = |v: &Velocity<Ground>| (v.east_mps - east).hypot(v.north_mps - north);
        let limit = 3.0 * median(group.iter().map(distance)).unwrap_or(0.0);
        let near: Vec<_> = group.iter().filter(|v| distance(v) <= limit).copied().collect();
        if near.len() < group.len() && near.len() > 2 {
            found.extend(Moments::new(near.iter()).taubin());
        }
    }
    found
}

/// Where the iteration ended.
struct Solved {
    centre: Vector2<f64>,
    radii: Vec<f64>,
    /// Inverse of the reduced normal matrix.
    inverse: Matrix2<f64>,
    /// Per group: Σw and mean unit vector.
    groups: Vec<(f64, Vector2<f64>)>,
    /// Residual beyond which the loss is linear.
    knee: f64,
}

/// Weighted sums of one pass.
struct Pass {
    cost: f64,
    normal: Matrix2<f64>,
    gradient: Vector2<f64>,
    radii: Vec<f64>,
    groups: Vec<(f64, Vector2<f64>)>,
}

fn pass(groups: &[&[Velocity<Ground>]], centre: Vector2<f64>, radii: &[f64], knee: f64) -> Pass {
    let mut out = Pass {
        cost: 0.0,
        normal: Matrix2::zeros(),
        gradient: Vector2::zeros(),
        radii: Vec::with_capacity(groups.len()),
        groups: Vec::with_capacity(groups.len()),
    };
    for (group, &radius) in groups.iter().zip(radii) {
        let [mut w_sum, mut ux, mut uy, mut uxx, mut uxy, mut uyy, mut r_sum, mut ur_x, mut ur_y] = [0.0; 9];
        for v in *group {
            let (x, y) = (v.east_mps - centre.x, v.north_mps - centre.y);
            let d = (x * x + y * y).sqrt();
            let (cx, cy) = if d > 0.0 { (x / d, y / d) } else { (0.0, 0.0) };
            let r = d - radius;
            let (w, cost) =
                if r.abs() <= knee { (1.0, 0.5 * r * r) } else { (knee / r.abs(), knee * (r.abs() - 0.5 * knee)) };
            out.cost += cost;
            w_sum += w;
            ux += w * cx;
            uy += w * cy;
            uxx += w * cx * cx;
            uxy += w * cx * cy;
            uyy += w * cy * cy;
            r_sum += w * r;
            ur_x += w * cx * r;
            ur_y += w * cy * r;
        }
        let mean = Vector2::new(ux, uy) / w_sum;
        out.normal += Matrix2::new(uxx, uxy, uxy, uyy) - mean * mean.transpose() * w_sum;
        out.gradient += Vector2::new(ur_x, ur_y) - mean * r_sum;
        out.radii.push(radius + r_sum / w_sum);
        out.groups.push((w_sum, mean));
    }
    out
}

fn residuals<'a>(
    groups: &'a [&[Velocity<Ground>]],
    centre: Vector2<f64>,
    radii: &'a [f64],
) -> impl Iterator<Item = f64> + 'a {
    groups.iter().zip(radii).flat_map(move |(group, radius)| {
        group.iter().map(move |v| (v.east_mps - centre.x).hypot(v.north_mps - centre.y) - radius)
    })
}

fn knee(groups: &[&[Velocity<Ground>]], centre: Vector2<f64>, radii: &[f64], loss: Loss) -> f64 {
    if loss == Loss::Squares {
        return f64::INFINITY;
    }
    let median = median(residuals(groups, centre, radii).map(f64::abs)).unwrap_or(0.0);
    // Three points lie on a circle exactly; a knee of zero would divide by zero.
    HUBER_K * MAD_TO_SD * median.max(1e-9)
}

fn iterate(
    groups: &[&[Velocity<Ground>]],
    start: Circle,
    loss: Loss,
    radius_limit: f64,
) -> Result<Solved, CircleError> {
    let mut centre = Vector2::new(start.east, start.north);
    let mut radii = pass(groups, centre, &vec![start.radius; groups.len()], f64::INFINITY).radii;
    let mut limit = knee(groups, centre, &radii, loss);
    let count = groups.iter().map(|g| g.len()).sum::<usize>() as f64;
    let tolerance = if loss == Loss::Squares { GRADIENT_SQUARES } else { GRADIENT_HUBER };
    let mut damping = 0.0;
    let mut here = pass(groups, centre, &radii, limit);
    for round in 0..MAX_ITERATIONS {
        let mut normal = here.normal;
        let trace = normal.trace().max(f64::MIN_POSITIVE);
        normal += Matrix2::identity() * (damping * trace);
        let step = normal.try_inverse().ok_or(CircleError::NotACircle)? * here.gradient;
        let trial_centre = centre + step;
        // Radii follow the centre to first order, then settle by the mean residual.
        let trial_radii: Vec<f64> =
            here.radii.iter().zip(&here.groups).map(|(r, (_, mean))| r - mean.dot(&step)).collect();
        if !trial_radii.iter().all(|r| *r > 0.0 && *r < radius_limit) {
            if damping > 1e6 || trial_radii.iter().any(|r| !r.is_finite()) {
                return Err(CircleError::NotACircle);
            }
            damping = (damping * 10.0_f64).max(1e-3);
            if round + 1 == MAX_ITERATIONS {
                return Err(CircleError::NotACircle);
            }
            continue;
        }
        let trial = pass(groups, trial_centre, &trial_radii, limit);
        if trial.cost <= here.cost * (1.0 + 1e-12) {
            (centre, radii, here) = (trial_centre, trial_radii, trial);
            damping = if damping > 1e-9 { damping * 0.1 } else { 0.0 };
            if loss == Loss::Huber && round < SCALE_ROUNDS {
                limit = knee(groups, centre, &radii, loss);
                here = pass(groups, centre, &radii, limit);
            }
        } else {
            damping = (damping * 10.0_f64).max(1e-4);
        }
        // Stop on the gradient, not on the step: a small step may be a slow descent along a valley.
        let scale = radii.iter().fold(0.0_f64, |m, r| m.max(*r));
        let settled = loss == Loss::Squares || round >= SCALE_ROUNDS;
        if settled && here.gradient.norm() <= tolerance * count * scale || damping > 1e8 {
            break;
        }
    }
    if !radii.iter().all(|r| *r > 0.0 && *r < radius_limit) {
        return Err(CircleError::NotACircle);
    }
    let inverse = here.normal.try_inverse().ok_or(CircleError::NotACircle)?;
    if !(inverse.m11 > 0.0 && inverse.m22 > 0.0 && inverse.iter().all(|v| v.is_finite())) {
        return Err(CircleError::NotACircle);
    }
    Ok(Solved { centre, radii: here.radii, inverse, groups: here.groups, knee: limit })
}

fn describe(groups: &[&[Velocity<Ground>]], solved: &Solved, loss: Loss) -> Vec<CircleFit> {
    let all: Vec<f64> = residuals(groups, solved.centre, &solved.radii).collect();
    let n = all.len() as f64;
    let dof = n - 2.0 - groups.len() as f64;
    // Huber's covariance: the variance of the clipped residuals over the squared share that is not clipped (P. J.
    // Huber, Robust Statistics, 1981, section 7.6). Least squares is the case with nothing clipped.
    let clipped: Vec<f64> = all.iter().map(|r| r.clamp(-solved.knee, solved.knee)).collect();
    let unclipped = if loss == Loss::Squares {
        1.0
    } else {
        (all.iter().filter(|r| r.abs() <= solved.knee).count() as f64 / n).max(0.25)
    };
    let inflation = variance_inflation(&clipped);
    let effective = n / inflation;
    let effective_dof = (dof / inflation).max(if dof > 0.0 { 1.0 } else { 0.0 });
    let square: f64 = clipped.iter().map(|r| r * r).sum();
    let weight: f64 = solved.groups.iter().map(|g| g.0).sum();
    // The normal matrix carries the weights, whose mean stands for the share that is not clipped.
    let s2 = if dof > 0.0 { square / dof / unclipped.powi(2) * (weight / n) } else { 0.0 } * inflation;
    let wind = Wind::new(solved.centre.x, solved.centre.y);
    let centre_cov = solved.inverse * s2;
    groups
        .iter()
        .zip(&solved.radii)
        .zip(&solved.groups)
        .map(|((group, &radius), (w_sum, mean))| {
            let cross = -(centre_cov * mean);
            let radius_var = s2 / w_sum + mean.dot(&(centre_cov * mean));
            let own: f64 =
                residuals(&[group], solved.centre, &[radius]).map(|r| r.clamp(-solved.knee, solved.knee).powi(2)).sum();
            CircleFit {
                wind,
                airspeed_mps: Estimate::with_dof(radius, radius_var.sqrt(), effective_dof),
                cov: [
                    [centre_cov.m11, centre_cov.m12, cross.x],
                    [centre_cov.m12, centre_cov.m22, cross.y],
                    [cross.x, cross.y, radius_var],
                ],
                residual_mps: (own / group.len() as f64).sqrt(),
                heading_coverage_deg: coverage_deg(group, wind),
                effective_samples: effective * group.len() as f64 / n,
            }
        })
        .collect()
}

/// 360° less the widest run of empty 10° sectors of heading.
fn coverage_deg(group: &[Velocity<Ground>], wind: Wind) -> f64 {
    const SECTORS: usize = 36;
    let mut full = [false; SECTORS];
    for v in group {
        let sector = (wind.air_velocity(*v).direction().bearing_deg() / 10.0) as usize;
        if let Some(slot) = full.get_mut(sector) {
            *slot = true;
        }
    }
    let (mut widest, mut run) = (0, 0);
    for filled in full.iter().chain(&full) {
        run = if *filled { 0 } else { run + 1 };
        widest = widest.max(run.min(SECTORS));
    }
    10.0 * (SECTORS - widest) as f64
}
