//! Forward, by rolling into turns and pulling around them.
//!
//! In the coordinated turn tan φ = Vω/g the body rolls at dφ/dt about its forward axis and turns at ω sin φ about its
//! right axis (positive in left and right turns alike). Seen in the plane across down, as complex numbers, the rates
//! are e^(iα) (dφ/dt + i ω sin φ) with one unknown angle α, and least squares give it in closed form.

use crate::constants::{FEWEST_FORWARD_MEANS, FORWARD_LEAST_CORRELATION, MOUNTING_MEAN_S};
use crate::log::Stream;
use driftless_units::GRAVITY_MPS2;
use nalgebra::{Complex, Vector3};

/// The turn of the flight at a moment of the sensor's clock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TurnAt {
    /// Turn rate, rad/s, right positive.
    pub rate_rad_s: f64,
    /// Airspeed, m/s.
    pub airspeed_mps: f64,
}

impl TurnAt {
    /// Bank of the coordinated turn, rad.
    pub(crate) fn bank_rad(self) -> f64 {
        (self.airspeed_mps * self.rate_rad_s / GRAVITY_MPS2).atan()
    }
}

/// The sensor's forward axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Forward {
    /// Unit vector across down, sensor axes.
    pub axis: [f64; 3],
    /// Correlation of the rates with those that turns must give.
    pub correlation: f64,
    /// Standard uncertainty of the direction, degrees.
    pub std_u_deg: f64,
}

/// Finds forward; `None` when the flight does not show it. `turn_at` gives the turn at a time of the sensor's clock.
pub fn find_forward(gyro: &Stream, down: [f64; 3], turn_at: impl Fn(f64) -> Option<TurnAt>) -> Option<Forward> {
    let down = Vector3::from(down);
    let (first, second) = across(down);
    let [from_s, to_s] = gyro.span_s()?;
    let mut pairs: Vec<(Complex<f64>, Complex<f64>)> = Vec::new();
    let mut start_s = from_s;
    while start_s + MOUNTING_MEAN_S.value <= to_s {
        let end_s = start_s + MOUNTING_MEAN_S.value;
        let range = gyro.range(start_s, end_s);
        let n = range.len() as f64;
        if let (Some(a), Some(b), Some(m)) = (turn_at(start_s), turn_at(end_s), turn_at(0.5 * (start_s + end_s)))
            && n >= 3.0
        {
            let sum: Vector3<f64> = range.map(|i| Vector3::from(gyro.at(i))).sum();
            let mean = sum / n;
            let roll_rad_s = (b.bank_rad() - a.bank_rad()) / MOUNTING_MEAN_S.value;
            let expected = Complex::new(roll_rad_s, m.rate_rad_s * m.bank_rad().sin());
            pairs.push((Complex::new(mean.dot(&first), mean.dot(&second)), expected));
        }
        start_s = end_s;
    }
    if pairs.len() < FEWEST_FORWARD_MEANS.count() {
        return None;
    }
    // A constant bias is in the rates: both sides without their mean.
    let n = pairs.len() as f64;
    let (seen, meant) =
        pairs.iter().fold((Complex::new(0.0, 0.0), Complex::new(0.0, 0.0)), |s, p| (s.0 + p.0, s.1 + p.1));
    let (seen, meant) = (seen / n, meant / n);
    let (mut cross, mut power_seen, mut power_meant) = (Complex::new(0.0, 0.0), 0.0, 0.0);
    for (rate, expected) in &pairs {
        let (rate, expected) = (rate - seen, expected - meant);
        cross += rate * expected.conj();
        power_seen += rate.norm_sqr();
        power_meant += expected.norm_sqr();
    }
    let correlation = cross.norm() / (power_seen * power_meant).sqrt();
    if !correlation.is_finite() || correlation < FORWARD_LEAST_CORRELATION.value {
        return None;
    }
    let axis = first * cross.arg().cos() + second * cross.arg().sin();
    // A complex coherence γ over n blocks: var(arg) = (1 - γ²)/(2 n γ²) (Bendat & Piersol, Random Data, from memory).
    let variance = (1.0 - correlation * correlation) / (2.0 * n * correlation * correlation);
    Some(Forward { axis: axis.into(), correlation, std_u_deg: variance.max(0.0).sqrt().to_degrees() })
}

/// Two axes across down, such that the second is the first turned right (clockwise seen from above).
pub(crate) fn across(down: Vector3<f64>) -> (Vector3<f64>, Vector3<f64>) {
    // Away from the axis that is nearest to down, so that the cross product is never small.
    let aside = if down.x.abs() < 0.6 { Vector3::x() } else { Vector3::y() };
    let first = (aside - down * aside.dot(&down)).normalize();
    (first, down.cross(&first))
}
