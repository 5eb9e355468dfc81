//! The state of the flight at one node, as the sums see it: a vector, whose parts the blocks name.

use nalgebra::{SMatrix, SVector};

/// A state.
pub(super) type Vector<const N: usize> = SVector<f64, N>;
/// A covariance, or an information matrix: symmetric, and kept whole, so that each of its columns lies in one piece.
pub(super) type Matrix<const N: usize> = SMatrix<f64, N, N>;

/// A linear functional of the state that touches few of its parts: twelve at the most, as that of a compass heading.
pub(super) type Functional = Terms<12>;

/// A linear functional of the state that touches no more than so many of its parts.
#[derive(Debug, Clone, Copy)]
pub(super) struct Terms<const MOST: usize> {
    weights: [f64; MOST],
    parts: [u8; MOST],
    count: u8,
}

impl<const MOST: usize> Terms<MOST> {
    /// Nothing of the state.
    pub(super) const fn zero() -> Self {
        Self { weights: [0.0; MOST], parts: [0; MOST], count: 0 }
    }

    /// One part of the state.
    pub(super) fn pick(part: usize) -> Self {
        Self::zero().plus(part, 1.0)
    }

    /// The sum of some parts, each with a weight.
    pub(super) fn sum(terms: &[(usize, f64)]) -> Self {
        terms.iter().fold(Self::zero(), |sum, (part, weight)| sum.plus(*part, *weight))
    }

    /// This functional and a part with a weight on top.
    pub(super) fn plus(mut self, part: usize, weight: f64) -> Self {
        self.add(part, weight);
        self
    }

    /// Adds a part with a weight.
    #[inline]
    pub(super) fn add(&mut self, part: usize, weight: f64) {
        let at = usize::from(self.count);
        self.parts[at] = part as u8;
        self.weights[at] = weight;
        self.count += 1;
    }

    /// Whether it touches nothing.
    #[inline]
    pub(super) const fn is_zero(&self) -> bool {
        self.count == 0
    }

    /// Its parts, each with its weight.
    #[inline]
    pub(super) fn terms(&self) -> impl Iterator<Item = (usize, f64)> + Clone {
        let count = usize::from(self.count);
        self.parts[..count].iter().map(|part| usize::from(*part)).zip(self.weights[..count].iter().copied())
    }

    /// Its value for a state.
    #[inline]
    pub(super) fn of(&self, x: &[f64]) -> f64 {
        self.terms().map(|(part, weight)| weight * x[part]).sum()
    }

    /// A symmetric matrix times this functional.
    #[inline]
    pub(super) fn through<const N: usize>(&self, matrix: &Matrix<N>) -> [f64; N] {
        let mut sum = [0.0; N];
        for (part, weight) in self.terms() {
            add_scaled(&mut sum, weight, &matrix.data.0[part]);
        }
        sum
    }

    /// This functional on both sides of a symmetric matrix.
    pub(super) fn square_through<const N: usize>(&self, matrix: &Matrix<N>) -> f64 {
        self.terms().map(|(part, weight)| weight * self.of(&matrix.data.0[part])).sum()
    }
}

/// Adds a multiple of one column to another.
#[inline]
pub(super) fn add_scaled<const N: usize>(sum: &mut [f64; N], factor: f64, column: &[f64; N]) {
    for (sum, value) in sum.iter_mut().zip(column) {
        *sum += factor * value;
    }
}

/// A column and multiples of two others.
#[inline(always)]
pub(super) fn with_two_scaled<const N: usize>(
    column: &[f64; N],
    [factor_a, factor_b]: [f64; 2],
    [a, b]: [&[f64; N]; 2],
) -> [f64; N] {
    std::array::from_fn(|i| column[i] + (factor_a * a[i] + factor_b * b[i]))
}

/// A multiple of a column.
#[inline]
pub(super) fn scaled<const N: usize>(factor: f64, column: &[f64; N]) -> [f64; N] {
    std::array::from_fn(|i| factor * column[i])
}

/// A matrix times a column.
#[inline]
pub(super) fn product<const N: usize>(matrix: &Matrix<N>, column: &[f64; N]) -> [f64; N] {
    let mut sum = [0.0; N];
    let ((pairs, last), (factors, last_factor)) = (matrix.data.0.as_chunks::<2>(), column.as_chunks());
    for ([a, b], factors) in pairs.iter().zip(factors) {
        sum = with_two_scaled(&sum, *factors, [a, b]);
    }
    for (column, factor) in last.iter().zip(last_factor) {
        add_scaled(&mut sum, *factor, column);
    }
    sum
}

/// Sum of the products of two columns.
#[inline]
pub(super) fn dot<const N: usize>(a: &[f64; N], b: &[f64; N]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn derived_functional_equals_its_dense_form() {
        let root = Matrix::<4>::from_fn(|i, j| (1.3 * i as f64 + 0.7 * j as f64).sin());
        let matrix = root * root.transpose();
        let functional = Functional::sum(&[(2, 0.5), (0, -1.5), (3, 2.0)]);
        let dense = Vector::<4>::from([-1.5, 0.0, 0.5, 2.0]);
        assert!((Vector::from(functional.through(&matrix)) - matrix * dense).abs().max() < 1e-14);
        assert!((functional.square_through(&matrix) - dense.dot(&(matrix * dense))).abs() < 1e-14);
        assert!((functional.of(matrix.column(1).as_slice()) - dense.dot(&matrix.column(1))).abs() < 1e-14);
    }
}
