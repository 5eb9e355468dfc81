//! The one module that wraps angles, with half-open ranges.

use serde::{Deserialize, Serialize};
use std::f64::consts::{PI, TAU};

/// An angle, or a difference of two, clockwise positive; stored in radians and never wrapped by itself.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Angle(f64);

impl Angle {
    /// From radians.
    pub const fn from_rad(rad: f64) -> Self {
        Self(rad)
    }
    /// From degrees.
    pub const fn from_deg(deg: f64) -> Self {
        Self(deg * (PI / 180.0))
    }
    /// In radians, unwrapped.
    pub const fn rad(self) -> f64 {
        self.0
    }
    /// In degrees, unwrapped.
    pub const fn deg(self) -> f64 {
        self.0 * (180.0 / PI)
    }
    /// As a compass bearing in degrees, `[0, 360)`.
    pub fn bearing_deg(self) -> f64 {
        wrap_360_deg(self.deg())
    }
    /// The signed smallest turn from `other` to `self`, in `[-180°, 180°)`.
    pub fn signed_from(self, other: Self) -> Self {
        Self(wrap_pi_rad(self.0 - other.0))
    }
}

impl std::ops::Add for Angle {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl std::ops::Sub for Angle {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

/// Wraps degrees into `[0, 360)`.
pub fn wrap_360_deg(deg: f64) -> f64 {
    half_open(deg, 0.0, 360.0)
}

/// Wraps degrees into `[-180, 180)`.
pub fn wrap_180_deg(deg: f64) -> f64 {
    half_open(deg, -180.0, 360.0)
}

/// Wraps radians into `[-π, π)`.
pub fn wrap_pi_rad(rad: f64) -> f64 {
    half_open(rad, -PI, TAU)
}

/// Values already inside are returned to the bit; `rem_euclid` may round up to the open end, which wraps on.
fn half_open(value: f64, low: f64, period: f64) -> f64 {
    if value >= low && value < low + period {
        return value;
    }
    let wrapped = (value - low).rem_euclid(period) + low;
    if wrapped >= low + period { low } else { wrapped }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_are_half_open() {
        assert_eq!(wrap_360_deg(360.0), 0.0);
        assert_eq!(wrap_360_deg(-0.0), 0.0);
        assert_eq!(wrap_180_deg(180.0), -180.0);
        assert_eq!(wrap_180_deg(-180.0), -180.0);
        assert_eq!(wrap_pi_rad(PI), -PI);
        assert!(wrap_360_deg(-1e-18) < 360.0, "a tiny negative angle must not round to the open end");
    }

    #[test]
    fn smallest_turn_has_the_sign_of_the_turn() {
        let turn = Angle::from_deg(10.0).signed_from(Angle::from_deg(350.0));
        assert!((turn.deg() - 20.0).abs() < 1e-12);
    }
}
