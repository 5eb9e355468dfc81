//! A covariance matrix and the few things that happen to it.

/// Covariance of `n` unknowns.
#[derive(Debug, Clone)]
pub(super) struct Covariance {
    n: usize,
    /// Row by row.
    p: Vec<f64>,
}

impl Covariance {
    /// Independent unknowns with these standard deviations.
    pub(super) fn independent(sd: &[f64]) -> Self {
        let n = sd.len();
        let mut p = vec![0.0; n * n];
        for (i, s) in sd.iter().enumerate() {
            p[i * n + i] = s * s;
        }
        Self { n, p }
    }

    /// Variance of one unknown.
    pub(super) fn variance(&self, i: usize) -> f64 {
        self.p[i * self.n + i]
    }

    #[cfg(test)]
    pub(super) fn at(&self, i: usize, j: usize) -> f64 {
        self.p[i * self.n + j]
    }

    /// x_to ← keep · x_to + Σ c · x_from, where no `from` is `to`.
    pub(super) fn combine(&mut self, to: usize, keep: f64, terms: &[(usize, f64)]) {
        let n = self.n;
        let mut row = self.p[to * n..(to + 1) * n].to_vec();
        row.iter_mut().for_each(|r| *r *= keep);
        for (from, c) in terms {
            for (r, p) in row.iter_mut().zip(&self.p[from * n..(from + 1) * n]) {
                *r += c * p;
            }
        }
        // Columns mirror rows; only the crossing takes the combination twice.
        row[to] = keep * row[to] + terms.iter().map(|(from, c)| c * row[*from]).sum::<f64>();
        for (i, r) in row.iter().enumerate() {
            self.p[to * n + i] = *r;
            self.p[i * n + to] = *r;
        }
    }

    /// Adds independent noise to an unknown.
    pub(super) fn disturb(&mut self, i: usize, variance: f64) {
        self.p[i * self.n + i] += variance;
    }

    /// Learns x_a + x_b with a variance of error.
    pub(super) fn learn_sum(&mut self, a: usize, b: usize, variance: f64) {
        let n = self.n;
        let with: Vec<f64> = (0..n).map(|j| self.p[a * n + j] + self.p[b * n + j]).collect();
        let innovation = with[a] + with[b] + variance;
        for i in 0..n {
            let gain = with[i] / innovation;
            for (j, w) in with.iter().enumerate().take(i + 1) {
                let left = self.p[i * n + j] - gain * w;
                self.p[i * n + j] = left;
                self.p[j * n + i] = left;
            }
        }
    }
}
