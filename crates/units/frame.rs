//! Velocities and positions that know their frame. Ground becomes air only by way of a [`Wind`].

use crate::Angle;
use serde::{Deserialize, Serialize};
use std::marker::PhantomData;

/// A horizontal frame of reference.
pub trait Frame: Copy {}

/// Fixed to the ground, axes east and north.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ground {}
/// Carried along with the air mass, axes east and north.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Air {}
impl Frame for Ground {}
impl Frame for Air {}

/// A horizontal velocity in metres per second, seen from frame `F`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Velocity<F: Frame> {
    /// Eastward part, m/s.
    pub east_mps: f64,
    /// Northward part, m/s.
    pub north_mps: f64,
    frame: PhantomData<F>,
}

impl<F: Frame> Velocity<F> {
    /// From east and north parts in m/s.
    pub const fn new(east_mps: f64, north_mps: f64) -> Self {
        Self { east_mps, north_mps, frame: PhantomData }
    }
    /// From a speed in m/s and the direction it points to (course over ground, or heading through the air).
    pub fn from_speed_course(speed_mps: f64, direction: Angle) -> Self {
        let (sin, cos) = direction.rad().sin_cos();
        Self::new(speed_mps * sin, speed_mps * cos)
    }
    /// Length of the vector, m/s.
    pub fn speed_mps(self) -> f64 {
        self.east_mps.hypot(self.north_mps)
    }
    /// Where the vector points to: the course over ground, or the heading through the air. North for a zero vector.
    pub fn direction(self) -> Angle {
        Angle::from_rad(self.east_mps.atan2(self.north_mps))
    }
}

/// A horizontal position in metres, in frame `F`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Position<F: Frame> {
    /// East of the origin, m.
    pub east_m: f64,
    /// North of the origin, m.
    pub north_m: f64,
    frame: PhantomData<F>,
}

impl<F: Frame> Position<F> {
    /// From east and north in metres.
    pub const fn new(east_m: f64, north_m: f64) -> Self {
        Self { east_m, north_m, frame: PhantomData }
    }
}

/// The velocity of the air over the ground. Stored as the vector it blows *to*; named by where it comes *from*.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Wind {
    /// Eastward part of the air's motion, m/s.
    pub east_mps: f64,
    /// Northward part of the air's motion, m/s.
    pub north_mps: f64,
}

impl Wind {
    /// From the vector the air moves along, m/s.
    pub const fn new(east_mps: f64, north_mps: f64) -> Self {
        Self { east_mps, north_mps }
    }
    /// From a speed in m/s and where the wind comes from.
    pub fn from_speed_from(speed_mps: f64, from: Angle) -> Self {
        let (sin, cos) = from.rad().sin_cos();
        Self::new(-speed_mps * sin, -speed_mps * cos)
    }
    /// Speed, m/s.
    pub fn speed_mps(self) -> f64 {
        self.east_mps.hypot(self.north_mps)
    }
    /// Where it comes from, `[0, 360)` degrees. North for still air.
    pub fn from_deg(self) -> f64 {
        if self.east_mps == 0.0 && self.north_mps == 0.0 {
            return 0.0;
        }
        Angle::from_rad((-self.east_mps).atan2(-self.north_mps)).bearing_deg()
    }
    /// A velocity over the ground as seen from the air.
    pub fn air_velocity(self, ground: Velocity<Ground>) -> Velocity<Air> {
        Velocity::new(ground.east_mps - self.east_mps, ground.north_mps - self.north_mps)
    }
    /// A velocity through the air as seen from the ground.
    pub fn ground_velocity(self, air: Velocity<Air>) -> Velocity<Ground> {
        Velocity::new(air.east_mps + self.east_mps, air.north_mps + self.north_mps)
    }
}
