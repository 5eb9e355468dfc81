//! Hard iron from the field alone: no heading of the flight takes part.
//!
//! In level axes, whatever its heading, a compass without iron reads a field of the Earth's strength whose downward part is
//! the Earth's. So the iron is what makes strength and downward part the same all around: a sphere and a plane (for
//! instance Vasconcelos et al., *IEEE Trans. Aerosp. Electron. Syst.* 47 (2011) 1293-1306, for the sphere; from memory). The
//! direction is left for the compass to tell, and the flight's headings are not counted twice.

use super::EarthField;
use crate::constants::{
    ANYWHERE_STD_U_UT, ANYWHERE_UT, EARTH_STD_U_UT, FIELD_ERRORS_TOGETHER, FIRST_FIELD_ERROR_UT, IRON_STEPS, IRON_UT,
    LEAST_FIELD_ERROR_UT,
};
use crate::robust::huber;
use driftless_units::median;
use nalgebra::{Matrix3, SMatrix, SVector, Vector3};

type Matrix = SMatrix<f64, 5, 5>;
type Vector = SVector<f64, 5>;

/// What was read about one time: a mean over half a second, turned into level axes of an unknown north.
pub(super) struct FieldSample {
    /// Mean of the field, µT.
    pub(super) field_ut: Vector3<f64>,
    /// Mean rotation from sensor axes to those axes: what hard iron is multiplied with.
    pub(super) rotation: Matrix3<f64>,
}

impl FieldSample {
    /// The field without some hard iron, in those axes.
    pub(super) fn without(&self, iron_ut: &Vector3<f64>) -> Vector3<f64> {
        self.field_ut - self.rotation * iron_ut
    }
}

/// Hard iron, and the Earth's field that goes with it.
pub(super) struct Iron {
    /// Hard iron, µT, sensor axes.
    pub(super) iron_ut: Vector3<f64>,
    /// Its covariance, µT².
    pub(super) covariance: Matrix3<f64>,
    /// Strength of the rest, µT.
    pub(super) strength_ut: f64,
    /// Its downward part, µT.
    pub(super) down_ut: f64,
}

/// Solves for iron, strength and downward part; `None` when the field does not go around.
pub(super) fn find_iron<'a>(
    samples: impl Iterator<Item = &'a FieldSample>,
    earth: Option<&EarthField>,
) -> Option<Iron> {
    let samples: Vec<&FieldSample> = samples.collect();
    let (meant, known_ut) = match earth {
        Some(earth) => {
            ([earth.strength_ut, earth.strength_ut * earth.inclination_deg.to_radians().sin()], EARTH_STD_U_UT.value)
        }
        None => ([ANYWHERE_UT.value, 0.0], ANYWHERE_STD_U_UT.value),
    };
    let priors = Vector::from([0.0, 0.0, 0.0, meant[0], meant[1]]);
    let precisions = Vector::from([
        IRON_UT.value,
        IRON_UT.value,
        IRON_UT.value,
        known_ut,
        if earth.is_some() { known_ut } else { 1e3 },
    ])
    .map(|sd| 1.0 / (sd * sd));
    let mut weights = vec![1.0; samples.len()];
    let mut error_ut = FIRST_FIELD_ERROR_UT.value;
    let mut found = start(&samples, &priors)?;
    for _ in 0..IRON_STEPS.count() {
        let mut normal = Matrix::from_diagonal(&precisions);
        let mut right = precisions.component_mul(&(priors - found));
        for (sample, weight) in samples.iter().zip(&weights) {
            let share = weight / (error_ut * error_ut * FIELD_ERRORS_TOGETHER.value);
            let (residuals, rows) = residuals_and_rows(sample, &found)?;
            for (residual, row) in residuals.into_iter().zip(rows) {
                normal += row * row.transpose() * share;
                right += row * residual * share;
            }
        }
        found += normal.try_inverse()? * right;
        let sizes: Option<Vec<f64>> =
            samples.iter().map(|s| residuals_and_rows(s, &found).map(|([a, b], _)| a.hypot(b))).collect();
        let sizes = sizes?;
        error_ut = median(sizes.iter().copied()).unwrap_or(f64::NAN).max(LEAST_FIELD_ERROR_UT.value);
        weights = sizes.iter().map(|size| huber(size / error_ut)).collect();
    }
    let mut normal = Matrix::from_diagonal(&precisions);
    for (sample, weight) in samples.iter().zip(&weights) {
        let (_, rows) = residuals_and_rows(sample, &found)?;
        for row in rows {
            normal += row * row.transpose() * (weight / (error_ut * error_ut * FIELD_ERRORS_TOGETHER.value));
        }
    }
    let covariance = normal.try_inverse()?;
    found.iter().all(|v| v.is_finite()).then(|| Iron {
        iron_ut: found.fixed_rows::<3>(0).into_owned(),
        covariance: covariance.fixed_view::<3, 3>(0, 0).into_owned(),
        strength_ut: found[3],
        down_ut: found[4],
    })
}

/// Strength and downward part of a sample over those supposed, and how the suppositions move them.
fn residuals_and_rows(sample: &FieldSample, supposed: &Vector) -> Option<([f64; 2], [Vector; 2])> {
    let field = sample.without(&supposed.fixed_rows::<3>(0).into_owned());
    let strength = field.norm();
    let across = sample.rotation.transpose() * field / (strength > 0.0).then_some(strength)?;
    let below = sample.rotation.row(2);
    Some((
        [strength - supposed[3], field.z - supposed[4]],
        [
            Vector::from([across.x, across.y, across.z, 1.0, 0.0]),
            Vector::from([below[0], below[1], below[2], 0.0, 1.0]),
        ],
    ))
}

/// A start from the squares, |u|² = 2 u·Mh + (F² - h²), which are linear.
fn start(samples: &[&FieldSample], priors: &Vector) -> Option<Vector> {
    let mut normal = Matrix::from_diagonal(&Vector::from([1e-4, 1e-4, 1e-4, 1e-9, 1e-2]));
    let mut right = Vector::from([0.0, 0.0, 0.0, 0.0, 1e-2 * priors[4]]);
    for FieldSample { field_ut, rotation } in samples {
        let across = rotation.transpose() * field_ut / priors[3];
        let below = rotation.row(2);
        let sphere = Vector::from([across.x, across.y, across.z, 1.0, 0.0]);
        let plane = Vector::from([below[0], below[1], below[2], 0.0, 1.0]);
        normal += sphere * sphere.transpose() + plane * plane.transpose();
        right += sphere * (field_ut.norm_squared() / (2.0 * priors[3])) + plane * field_ut.z;
    }
    let mut found = normal.try_inverse()? * right;
    found[3] = priors[3];
    Some(found)
}
