//! Taubin's algebraic circle fit: no iteration over the points, unbiased enough to start the geometric one.
//!
//! G. Taubin, IEEE Trans. PAMI 13 (1991) 1115-1138; the cubic in moments and its Newton root after
//! N. Chernov, *Circular and Linear Regression*, CRC 2010, chapter 5. The plain linear fit (Kåsa) is not used: on an
//! arc of 90° its radius is 14 % low.

use crate::columns::sums;

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
    /// Of points given as two columns.
    pub(super) fn new(east: &[f64], north: &[f64]) -> Self {
        let n = east.len() as f64;
        let mean = sums([east, north], |point| point).map(|sum| sum / n);
        let [xx, yy, xy, xz, yz, zz] = sums([east, north], |[east, north]| {
            let (x, y) = (east - mean[0], north - mean[1]);
            let z = x * x + y * y;
            [x * x, y * y, x * y, x * z, y * z, z * z]
        })
        .map(|sum| sum / n);
        Self { mean, xx, yy, xy, xz, yz, zz }
    }

    pub(super) fn z(&self) -> f64 {
        self.xx + self.yy
    }

    /// Taubin's circle; `None` for a line or a spot.
    pub(super) fn taubin(&self) -> Option<Circle> {
        let &Self { xx, yy, xy, xz, yz, zz, .. } = self;
        let (z, det) = (self.z(), xx * yy - xy * xy);
        let var_z = zz - z * z;
        let eta = newton_from_zero([
            xz * (xz * yy - yz * xy) + yz * (yz * xx - xz * xy) - var_z * det,
            var_z * z + 4.0 * det * z - xz * xz - yz * yz,
            -3.0 * z * z - zz,
            4.0 * z,
        ]);
        let det = (xx - eta) * (yy - eta) - xy * xy;
        let east = (xz * (yy - eta) - yz * xy) / det / 2.0;
        let north = (yz * (xx - eta) - xz * xy) / det / 2.0;
        let radius = (east * east + north * north + z).sqrt();
        let circle = Circle { east: east + self.mean[0], north: north + self.mean[1], radius };
        (radius.is_finite() && circle.east.is_finite() && circle.north.is_finite()).then_some(circle)
    }
}

/// Smallest non-negative root of a cubic (coefficients from the constant up): Newton's method from zero comes from the
/// left and cannot step over it.
fn newton_from_zero(coefficients: [f64; 4]) -> f64 {
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
