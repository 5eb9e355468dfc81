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

#[cfg(test)]
mod tests {
    use super::*;

    /// A pass that says of each level of the air how far the plain step goes from there, of 100 disturbances, and of one span the
    /// variances.
    fn at_levels(plain_steps: [f64; 2], variances: [f64; 2]) -> AtLevels {
        let mut moments = Moments::default();
        let mut plain_step = PerLevel::default();
        for (level, step) in Level::OF_THE_AIR.into_iter().zip(plain_steps) {
            plain_step[level.place()] = step;
            (0..100).for_each(|_| moments.add(level, 1.0, 1.0));
        }
        let [heading_change, steady_rate] = variances;
        AtLevels { moments, plain_step, variances: vec![TurnVariances { heading_change, steady_rate }] }
    }

    /// The formula of the module written out for information that is diagonal: the first level is told by a step back of 0.12,
    /// the second by one of 0.06; the variance of the heading change goes with the first level alone, that of the steady rate with
    /// both.
    #[test]
    fn derived_degrees_of_freedom_follow_from_how_variances_move_with_the_levels() {
        let moved_ln = MOVED_LN.value;
        let found = at_levels([0.0, 0.0], [4.0, 1.0]);
        let moved = [
            at_levels([-0.12, 0.0], [4.0 * (0.5 * moved_ln).exp(), (0.3 * moved_ln).exp()]),
            at_levels([0.0, -0.06], [4.0, (0.2 * moved_ln).exp()]),
        ];
        let information = |back: f64| REAL_SHARE.value * 0.5 * 100.0 * back / moved_ln + LEAST_INFORMATION.value;
        let [of_first, of_second] = [0.12, 0.06].map(information);
        let expected = [2.0 * of_first / 0.25, 2.0 / (0.09 / of_first + 0.04 / of_second)];
        let got = degrees_of_freedom(&found, &moved);
        assert_eq!(got.len(), 1);
        for (got, expected) in got[0].into_iter().zip(expected) {
            assert!((got / expected - 1.0).abs() < 1e-9 && got > FEWEST_DOF.value, "{got} {expected}");
        }
        // Where variances go with the levels as they are, nothing of the levels being told, few are claimed.
        let loose = [0, 1].map(|_| at_levels([0.0, 0.0], [4.0 * moved_ln.exp(), moved_ln.exp()]));
        assert_eq!(degrees_of_freedom(&found, &loose), [[FEWEST_DOF.value; 2]]);
    }
}
