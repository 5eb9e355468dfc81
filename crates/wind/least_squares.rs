//! Nonlinear least squares in a handful of parameters: Gauss-Newton with Levenberg's damping on the normal equations.
//!
//! D. W. Marquardt, *J. Soc. Indust. Appl. Math.* 11 (1963) 431-441: the damping scales with the diagonal, so that units
//! of the parameters do not matter. The sums of a pass come from the caller, who may weigh residuals (robust loss) and
//! add priors.
//!
//! ```
//! use driftless_wind::least_squares::{Stop, Sums, descend};
//! use nalgebra::{Vector1, Matrix1};
//! // The mean of three numbers, as a fit of one parameter.
//! let sums = |p: &Vector1<f64>| {
//!     let mut sums = Sums::<1>::zero();
//!     for y in [1.0, 2.0, 6.0] {
//!         sums.add(y - p[0], Vector1::new(1.0));
//!     }
//!     sums
//! };
//! let mean = descend(Vector1::new(0.0), sums, Stop::FINE).expect("a mean");
//! assert!((mean[0] - 3.0).abs() < 1e-12);
//! assert!((sums(&mean).inverse().expect("regular") - Matrix1::new(1.0 / 3.0)).abs().max() < 1e-12);
//! ```

use nalgebra::{SMatrix, SVector};

/// Sums of one pass over the data, at some parameters.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sums<const N: usize> {
    /// Half the sum of squares (or what a robust loss makes of it).
    pub cost: f64,
    /// JᵀWJ.
    pub normal: SMatrix<f64, N, N>,
    /// JᵀWr, r being data less model: downhill.
    pub gradient: SVector<f64, N>,
}

impl<const N: usize> Sums<N> {
    /// Of no data.
    pub fn zero() -> Self {
        Self { cost: 0.0, normal: SMatrix::zeros(), gradient: SVector::zeros() }
    }

    /// Adds a datum of weight one: its residual (data less model) and the derivatives of the model.
    pub fn add(&mut self, residual: f64, by_parameter: SVector<f64, N>) {
        self.cost += 0.5 * residual * residual;
        self.normal += by_parameter * by_parameter.transpose();
        self.gradient += by_parameter * residual;
    }

    /// Inverse of the normal matrix: times the variance of the data it is the covariance of the parameters. `None`
    /// when the data do not determine them all.
    pub fn inverse(&self) -> Option<SMatrix<f64, N, N>> {
        Some(self.normal.cholesky()?.inverse())
    }
}

/// When to stop: when the next step promises less than a share of the cost and a floor together.
///
/// The promise is the gradient in the metric of the problem itself; a small step may be a slow descent along a valley.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stop {
    /// Share of the cost. 1e-12 is a millionth of a standard deviation.
    pub share: f64,
    /// In units of the cost; ends fits of exact data, whose cost is rounding.
    pub floor: f64,
    /// Steps tried at the most.
    pub most_steps: usize,
}

impl Stop {
    /// When rounding hides what is left.
    pub const FINE: Self = Self { share: 1e-24, floor: 0.0, most_steps: 400 };
}

/// Goes downhill from `start` until the next step promises nothing; `None` when there is no way or it leads nowhere.
pub fn descend<const N: usize>(
    start: SVector<f64, N>,
    mut sums: impl FnMut(&SVector<f64, N>) -> Sums<N>,
    stop: Stop,
) -> Option<SVector<f64, N>> {
    let mut params = start;
    let mut here = sums(&params);
    let mut damping = 0.0_f64;
    for _ in 0..stop.most_steps {
        let mut normal = here.normal;
        for i in 0..N {
            normal[(i, i)] *= 1.0 + damping;
        }
        let Some(factor) = normal.cholesky() else {
            damping = (10.0 * damping).max(1e-6);
            if damping > 1e6 {
                return None;
            }
            continue;
        };
        let step = factor.solve(&here.gradient);
        let promise = step.dot(&here.gradient);
        if promise <= stop.share * here.cost + stop.floor {
            break;
        }
        let trial_params = params + step;
        let trial = sums(&trial_params);
        if trial.cost < here.cost {
            (params, here) = (trial_params, trial);
            damping = if damping > 1e-9 { 0.1 * damping } else { 0.0 };
        } else {
            damping = (10.0 * damping).max(1e-4);
            // A promise that rounding of the cost can hide, or no way down at any damping.
            if promise <= 1e-10 * here.cost || damping > 1e6 {
                break;
            }
        }
    }
    params.iter().all(|p| p.is_finite()).then_some(params)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Half the squared distance from (3, -1), of which a normal matrix is told that is not the true one.
    fn bowl(normal: [f64; 4]) -> impl FnMut(&SVector<f64, 2>) -> Sums<2> {
        move |x| {
            let gradient = SVector::from([3.0, -1.0]) - x;
            Sums { normal: SMatrix::from_row_slice(&normal), gradient, cost: gradient.norm_squared() }
        }
    }

    #[test]
    fn a_normal_matrix_that_is_not_positive_definite_is_damped_until_it_is() {
        let found = descend(SVector::zeros(), bowl([1.0, 2.0, 2.0, 1.0]), Stop::FINE).unwrap();
        assert!((found - SVector::from([3.0, -1.0])).norm() < 1e-6, "{found}");
    }

    #[test]
    fn where_no_damping_helps_there_is_no_way() {
        assert_eq!(descend(SVector::zeros(), bowl([-1.0, 0.0, 0.0, -1.0]), Stop::FINE), None);
    }

    #[test]
    fn a_start_that_nothing_is_lower_than_is_given_back() {
        let level =
            |_: &SVector<f64, 2>| Sums { normal: SMatrix::identity(), gradient: SVector::from([1.0, 0.0]), cost: 1.0 };
        assert_eq!(descend(SVector::from([7.0, 8.0]), level, Stop::FINE), Some(SVector::from([7.0, 8.0])));
    }
}
