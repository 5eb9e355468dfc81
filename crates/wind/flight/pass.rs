//! The result of one pass, and what can be read from it: means and covariances of anything linear in the state.

use super::blocks::air::wind_at;
use super::blocks::aircraft::HEADING;
use super::measurement::{Measurement, Update};
use super::smoother::ByProducts;
use super::state::{Functional, Matrix, Vector, dot, product};
use super::step::Step;

/// What is kept of one node.
#[derive(Debug, Clone)]
pub(super) struct Smoothed<const N: usize> {
    /// Predicted covariance.
    pub(super) predicted_cov: Matrix<N>,
    /// Smoothed mean.
    pub(super) mean: Vector<N>,
    /// The step that leaves this node; of no meaning at the last.
    pub(super) step: Step,
    /// What was measured at this node, in the order in which it was taken in.
    pub(super) measurements: Vec<Measurement>,
    /// What each measurement did.
    pub(super) updates: Vec<Update<N>>,
}

impl<const N: usize> Default for Smoothed<N> {
    fn default() -> Self {
        Self {
            predicted_cov: Matrix::zeros(),
            mean: Vector::zeros(),
            step: Step::default(),
            measurements: Vec::new(),
            updates: Vec::new(),
        }
    }
}

/// The result of one pass.
pub(super) struct Pass<const N: usize> {
    pub(super) nodes: Vec<Smoothed<N>>,
    /// Information from each node on: N of the node before. Empty where no covariances were asked for.
    pub(super) information: Vec<Matrix<N>>,
    /// Log-likelihood of the measurements, up to a constant.
    pub(super) log_likelihood: f64,
    pub(super) by_products: ByProducts,
}

/// Covariance of a linear functional with the state of its node.
struct Spread<const N: usize> {
    /// As predicted.
    predicted: [f64; N],
    /// Times the information from that node on.
    told: [f64; N],
}

impl<const N: usize> Spread<N> {
    /// Posterior covariance with another functional, which spreads so.
    fn with(&self, other: &Self, functional: &Functional) -> f64 {
        functional.of(&self.predicted) - dot(&self.predicted, &other.told)
    }
}

impl<const N: usize> Pass<N> {
    /// Posterior covariance of two linear functionals of the state at node `k`.
    pub(super) fn covariance(&self, k: usize, a: &Functional, b: &Functional) -> f64 {
        self.spread(k, a).with(&self.spread(k, b), b)
    }

    /// Posterior standard uncertainty of a linear functional of the state at node `k`.
    pub(super) fn std_u(&self, k: usize, functional: &Functional) -> f64 {
        let spread = self.spread(k, functional);
        spread.with(&spread, functional).max(0.0).sqrt()
    }

    /// How a linear functional of the state at node `k` spreads.
    fn spread(&self, k: usize, functional: &Functional) -> Spread<N> {
        let predicted = functional.through(&self.nodes[k].predicted_cov);
        Spread { predicted, told: product(&self.information[k], &predicted) }
    }

    /// Posterior covariance of a functional at node `i` with one at a later node `j`.
    pub(super) fn cross_covariance(&self, i: usize, a: &Functional, j: usize, b: &Functional) -> f64 {
        // Durbin & Koopman 4.7: P_i L_iᵀ … L_{j-1}ᵀ (I - N_{j-1} P_j), read from the left as a travelling row.
        let mut row = Vector::from(a.through(&self.nodes[i].predicted_cov));
        for node in &self.nodes[i..j] {
            for (measurement, update) in node.measurements.iter().zip(&node.updates) {
                update.pass_on(measurement, &mut row);
            }
            node.step.apply(&mut row);
        }
        let pb = b.through(&self.nodes[j].predicted_cov);
        b.of(row.as_slice()) - dot(&row.data.0[0], &product(&self.information[j], &pb))
    }

    /// Smoothed trajectory.
    pub(super) fn means(&self) -> Vec<Vector<N>> {
        self.nodes.iter().map(|n| n.mean).collect()
    }

    /// The same covariances about other means.
    pub(super) fn with_means(mut self, means: &[Vector<N>]) -> Self {
        for (node, mean) in self.nodes.iter_mut().zip(means) {
            node.mean = *mean;
        }
        self
    }

    /// Posterior covariance of the mean wind at a height above the reference altitude, m²/s²: ee, en, nn.
    pub(super) fn wind_cov(&self, k: usize, height_m: f64) -> [f64; 3] {
        let [e, n] = wind_at(height_m);
        let [of_e, of_n] = [&e, &n].map(|axis| self.spread(k, axis));
        [of_e.with(&of_e, &e), of_e.with(&of_n, &n), of_n.with(&of_n, &n)]
    }

    /// Smoothed wind at `height_m` above the reference altitude, m/s.
    pub(super) fn wind(&self, k: usize, height_m: f64) -> [f64; 2] {
        wind_at(height_m).map(|axis| axis.of(self.nodes[k].mean.as_slice()))
    }

    /// Largest change of heading against another trajectory, rad.
    pub(super) fn heading_change_from(&self, trajectory: &[Vector<N>]) -> f64 {
        self.nodes.iter().zip(trajectory).map(|(n, x)| (n.mean[HEADING] - x[HEADING]).abs()).fold(0.0, f64::max)
    }
}
