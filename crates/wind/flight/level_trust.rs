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

use super::constants::{FEWEST_DOF, LEAST_INFORMATION, MOVED_LN, REAL_SHARE};
use super::noise::{Level, Levels, Moments, PerLevel};
use super::pass::Pass;
use super::result::TurnVariances;
use super::setting::Edge;
use nalgebra::{Matrix2, Vector2};

/// What a pass at some levels says about the levels, and about the spans.
pub(super) struct AtLevels {
    moments: Moments,
    plain_step: PerLevel,
    variances: Vec<TurnVariances>,
}

impl AtLevels {
    /// Read from a pass that was made at `levels`.
    pub(super) fn read<const N: usize>(pass: &Pass<N>, levels: &Levels, typical: &Levels, edges: &[Edge]) -> Self {
        let moments = pass.by_products.moments;
        let variances = edges.iter().map(|edge| TurnVariances::new(pass, edge.first, edge.last)).collect();
        Self { moments, plain_step: moments.plain_step(levels, typical), variances }
    }
}

/// The levels at which passes have to be made besides those that were found.
pub(super) fn moved_levels(levels: &Levels) -> [Levels; 2] {
    Level::OF_THE_AIR.map(|level| levels.scaled(level, MOVED_LN.value.exp()))
}

/// Degrees of freedom behind the uncertainties of each span: of the heading change, and of the steady rate. `found` is a
/// pass at the levels found, `moved` at the [`moved_levels`].
pub(super) fn degrees_of_freedom(found: &AtLevels, moved: &[AtLevels; 2]) -> Vec<[f64; 2]> {
    let information = Matrix2::from_fn(|row, column| {
        let level = Level::OF_THE_AIR[row];
        let back = found.plain_step[level.place()] - moved[column].plain_step[level.place()];
        REAL_SHARE.value * 0.5 * found.moments.count(level) * back / MOVED_LN.value
    });
    // Two-sided by construction but for rounding and the distance from the fixed point.
    let information = 0.5 * (information + information.transpose()) + LEAST_INFORMATION.value * Matrix2::identity();
    let covariance = information.cholesky().map_or(Matrix2::identity() / LEAST_INFORMATION.value, |c| c.inverse());
    let dof = |e: Vector2<f64>| (2.0 / e.dot(&(covariance * e))).max(FEWEST_DOF.value);
    (0..found.variances.len())
        .map(|k| {
            let slope = |of: fn(&TurnVariances) -> f64| {
                Vector2::from_fn(|column, _| {
                    (of(&moved[column].variances[k]) / of(&found.variances[k])).ln() / MOVED_LN.value
                })
            };
            [dof(slope(|v| v.heading_change)), dof(slope(|v| v.steady_rate))]
        })
        .collect()
}
