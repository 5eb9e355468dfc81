//! Taubin's algebraic circle fit: no iteration over the points, unbiased enough to start the geometric one.
//!
//! G. Taubin, IEEE Trans. PAMI 13 (1991) 1115-1138; the quartic in moments and its Newton root after
//! N. Chernov, *Circular and Linear Regression*, CRC 2010, chapter 5. The plain linear fit (Kåsa) is not used: on an
//! arc of 90° its radius is 14 % low.

use driftless_units::{Ground, Velocity};

/// Centre and radius.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Circle {
    pub(super) east: f64,
    pub(super) north: f64,
    pub(super) radius: f64,
}

/// Central moments of a cloud, z = x² + y² about its mean.
#[derive(Debug, Clone, Copy)]
pub(super) struct Moments {
    pub(super) mean: [f64; 2],
    pub(super) xx: f64,
    pub(super) yy: f64,
    pub(super) xy: f64,
    pub(super) xz: f64,
    pub(super) yz: f64,
    pub(super) zz: f64,
}

impl Moments {
    pub(super) fn new<'a>(points: impl Iterator<Item = &'a Velocity<Ground>> + Clone) -> Self {
        let (mut n, mut mean) = (0.0, [0.0; 2]);
        for p in points.clone() {
            n += 1.0;
            mean[0] += p.east_mps;
            mean[1] += p.north_mps;
        }
        let mean = mean.map(|m| m / n);
        let mut s = [0.0; 6];
        for p in points {
            let (x, y) = (p.east_mps - mean[0], p.north_mps - mean[1]);
            let z = x * x + y * y;
            for (sum, term) in s.iter_mut().zip([x * x, y * y, x * y, x * z, y * z, z * z]) {
                *sum += term;
            }
        }
        let [xx, yy, xy, xz, yz, zz] = s.map(|sum| sum / n);
        Self { mean, xx, yy, xy, xz, yz, zz }
    }

    pub(super) fn z(&self) -> f64 {
        self.xx + self.yy
    }

    /// The circle that belongs to the root `eta` of a fit's characteristic polynomial; `None` for a line or a spot.
    pub(super) fn circle(&self, eta: f64, radius_term: f64) -> Option<Circle> {
        let det = (self.xx - eta) * (self.yy - eta) - self.xy * self.xy;
        let east = (self.xz * (self.yy - eta) - self.yz * self.xy) / det / 2.0;
        let north = (self.yz * (self.xx - eta) - self.xz * self.xy) / det / 2.0;
        let radius = (east * east + north * north + self.z() + radius_term).sqrt();
        let circle = Circle { east: east + self.mean[0], north: north + self.mean[1], radius };
        (radius.is_finite() && circle.east.is_finite() && circle.north.is_finite()).then_some(circle)
    }

    pub(super) fn taubin(&self) -> Option<Circle> {
        let (z, [a0, a1]) = (self.z(), self.low_coefficients());
        let eta = newton_from_zero([a0, a1, -3.0 * z * z - self.zz, 4.0 * z, 0.0]);
        self.circle(eta, 0.0)
    }

    /// Constant and linear coefficient, shared by the characteristic polynomials of Taubin's and Pratt's fits.
    pub(super) fn low_coefficients(&self) -> [f64; 2] {
        let (z, det) = (self.z(), self.xx * self.yy - self.xy * self.xy);
        let var_z = self.zz - z * z;
        [
            self.xz * (self.xz * self.yy - self.yz * self.xy) + self.yz * (self.yz * self.xx - self.xz * self.xy)
                - var_z * det,
            var_z * z + 4.0 * det * z - self.xz * self.xz - self.yz * self.yz,
        ]
    }
}

/// Smallest non-negative root of a polynomial (coefficients from the constant up): Newton's method from zero comes
/// from the left and cannot step over it.
pub(super) fn newton_from_zero(coefficients: [f64; 5]) -> f64 {
    let mut x = 0.0;
    for _ in 0..50 {
        let (mut value, mut slope) = (0.0, 0.0);
        for c in coefficients.iter().rev() {
            slope = slope * x + value;
            value = value * x + c;
        }
        let next = x - value / slope;
        if !next.is_finite() || next == x || (next - x).abs() <= 1e-15 * x.abs() {
            break;
        }
        x = next;
    }
    x
}
