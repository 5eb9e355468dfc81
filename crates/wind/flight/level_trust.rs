//! How well the log tells how rough the air was, and what that does to the uncertainties that rest on it.
//!
//! The variance `u²` of a window's turn depends on the levels of gust and wander, `v`, which were estimated from the
//! same windows. With `e = ∂ ln u² / ∂ ln v` and the covariance `C` of `ln v`, the variance of `ln u²` is `eᵀ C e`; a
//! variance estimated with `ν` degrees of freedom has `2/ν` there, so `ν = 2 / (eᵀ C e)` (the idea of Welch and
//! Satterthwaite, JCGM 100:2008 G.4, for levels in place of components).
//!
//! `C` is the inverse of the information on `ln v`. At a fixed point of expectation-maximisation that is half the
//! count of disturbances times how far the plain step moves back when a level is moved away (Dempster, Laird & Rubin,
//! *J. R. Statist. Soc. B* 39 (1977) 1-38, section 3; from memory). Both come from one pass per level, at a level
//! moved by [`MOVED_LN`].

use super::noise::{Level, Levels};
use super::pass::Pass;
use super::result::TurnVariances;
use nalgebra::{Matrix2, Vector2};

/// Change of the logarithm of a variance over which the derivatives are taken.
const MOVED_LN: f64 = 0.3;
/// Fewest degrees of freedom claimed: below that a t interval says little but "hardly known".
const FEWEST_DOF: f64 = 4.0;
/// Share of the information that is real. The windows alone speak for the levels, while their errors come from the whole
/// flight; on the simulator's tuning flights the logarithm of the gust's variance scattered by 0.27 where the
/// information as it stands promised 0.19.
const REAL_SHARE: f64 = 0.5;
/// Information on the logarithm of a level taken for granted, so that the inverse exists: nobody doubts a level by more
/// than a factor of three (one standard deviation of the logarithm of the variance is two).
const LEAST_INFORMATION: f64 = 0.25;

/// Degrees of freedom behind the uncertainties of each span: of the heading change, and of the steady rate.
///
/// `pass_at` makes a pass at given levels; `edges` are the node indices of the spans' edges.
pub(super) fn degrees_of_freedom<const N: usize>(
    levels: &Levels,
    typical: &Levels,
    edges: &[(usize, usize)],
    mut pass_at: impl FnMut(&Levels) -> Pass<N>,
) -> Vec<[f64; 2]> {
    let mut pass_with = |levels: &Levels| {
        let pass = pass_at(levels);
        let variances: Vec<TurnVariances> = edges.iter().map(|(i, j)| TurnVariances::new(&pass, *i, *j)).collect();
        (pass.by_products.moments, pass.by_products.moments.plain_step(levels, typical), variances)
    };
    let (moments, step, variances) = pass_with(levels);
    let moved = Level::OF_THE_AIR.map(|level| pass_with(&levels.scaled(level, MOVED_LN.exp())));
    let information = Matrix2::from_fn(|row, column| {
        let level = Level::OF_THE_AIR[row];
        let back = step[level.place()] - moved[column].1[level.place()];
        REAL_SHARE * 0.5 * moments.count(level) * back / MOVED_LN
    });
    // Two-sided by construction but for rounding and the distance from the fixed point.
    let information = 0.5 * (information + information.transpose()) + LEAST_INFORMATION * Matrix2::identity();
    let covariance = information.cholesky().map_or(Matrix2::identity() / LEAST_INFORMATION, |c| c.inverse());
    let dof = |e: Vector2<f64>| (2.0 / e.dot(&(covariance * e))).max(FEWEST_DOF);
    (0..edges.len())
        .map(|k| {
            let slope = |of: fn(&TurnVariances) -> f64| {
                Vector2::from_fn(|column, _| (of(&moved[column].2[k]) / of(&variances[k])).ln() / MOVED_LN)
            };
            [dof(slope(|v| v.heading_change)), dof(slope(|v| v.steady_rate))]
        })
        .collect()
}
